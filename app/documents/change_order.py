"""The change order: what changes, what it costs, what it does to the days, and what the contract comes to."""

from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from app.agreement.records import Party
from app.agreement.terms import Language
from app.documents.purchase_order import Titled
from app.documents.render import pdf
from app.documents.words import day_of, filled, money_of, words_of

CONSENT = (
    "I agree to this change, to its price and to its days. It becomes part of the contract; everything else "
    "in the contract stays as it was."
)


@dataclass(frozen=True, slots=True)
class ChangeOrderInputs:
    """All that a change order is printed from; `rows` are what, signed, now and change, as printed."""

    firm: Party
    client: Party
    job_number: str
    job_title: str
    number: int
    title: str
    reason: str
    rows: tuple[tuple[str, str, str, str], ...]
    price_change: Decimal
    days_change: int
    sum_before: Decimal
    sum_after: Decimal
    end_before_on: date
    end_after_on: date
    currency: str
    said_by: str
    said_on: date | None
    made_on: date
    language: Language = "en"


def change_order_pdf(inputs: ChangeOrderInputs) -> bytes:
    """Print a change order; the same inputs give the same bytes."""
    return pdf("change_order.html", context_of(inputs))


def context_of(inputs: ChangeOrderInputs) -> dict[str, object]:
    """Give what the change order is filled from, in the language of what was signed."""
    say, write = words_of(inputs.language), money_of(inputs.language)
    return {
        "firm": inputs.firm,
        "job_number": inputs.job_number,
        "job": Titled(inputs.job_title),
        "change": inputs,
        "consent": say(CONSENT),
        "_": say,
        "fill": filled(inputs.language),
        "on": day_of(inputs.language),
        "money": lambda amount: write(amount, inputs.currency),
        "lang": inputs.language,
    }
