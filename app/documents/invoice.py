"""The invoice for one payment."""

from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from app.agreement.records import Party
from app.documents.purchase_order import Titled
from app.documents.render import pdf
from app.pricing.rule_parts import TaxShare


@dataclass(frozen=True, slots=True)
class InvoiceInputs:
    """All that an invoice is printed from."""

    firm: Party
    client: Party
    job_number: str
    job_title: str
    number: int
    title: str
    amount: Decimal
    contract_total: Decimal
    invoiced_before: Decimal
    currency: str
    tax_words: str
    taxes: tuple[TaxShare, ...]
    made_on: date
    due_on: date

    @property
    def before_tax(self) -> Decimal:
        """The amount without the tax in it."""
        return self.amount - sum((share.tax for share in self.taxes), Decimal(0))

    @property
    def left_after(self) -> Decimal:
        """What of the contract is still to be invoiced."""
        return self.contract_total - self.invoiced_before - self.amount


def invoice_pdf(inputs: InvoiceInputs) -> bytes:
    """Print an invoice; the same inputs give the same bytes."""
    context = {
        "firm": inputs.firm,
        "job_number": inputs.job_number,
        "job": Titled(inputs.job_title),
        "invoice": inputs,
    }
    return pdf("invoice.html", context)
