"""An invoice read back: what is to be paid, and the tax that is in it."""

import io
from dataclasses import replace
from datetime import date
from decimal import Decimal

import pypdf

from app.agreement.records import Party
from app.documents.invoice import InvoiceInputs, invoice_pdf
from app.pricing.rule_parts import TaxShare

INPUTS = InvoiceInputs(
    firm=Party("Skerrow Roof Carpentry", "9 Quay Rise", "", "office@example.org"),
    client=Party("Ines Haugan", "2 Slip Lane", "", "ines@example.org"),
    job_number="2026-002",
    job_title="Quay loft",
    number=7,
    title="Frame set and level",
    amount=Decimal("12000.00"),
    contract_total=Decimal("40000.00"),
    invoiced_before=Decimal("4000.00"),
    currency="EUR",
    tax_words="Tax on the contract is in the amount.",
    taxes=(TaxShare(Decimal(20), Decimal("10000.00"), Decimal("2000.00")),),
    made_on=date(2026, 11, 25),
    due_on=date(2026, 12, 9),
)


def read(inputs: InvoiceInputs) -> str:
    made = invoice_pdf(inputs)
    assert made == invoice_pdf(inputs), "the same inputs give the same bytes"
    return " ".join(page.extract_text() for page in pypdf.PdfReader(io.BytesIO(made)).pages)


def test_an_invoice_says_the_tax_in_it_and_what_it_is_without() -> None:
    words = read(INPUTS)
    for said in ("Invoice 7", "€12,000.00", "In it: tax of 20 %", "€2,000.00", "€10,000.00", "€24,000.00"):
        assert said in words, said


def test_with_two_rates_each_says_what_it_is_of_and_without_tax_nothing_is_said() -> None:
    two = (
        TaxShare(Decimal(10), Decimal("3000.00"), Decimal("300.00")),
        TaxShare(Decimal(20), Decimal("7250.00"), Decimal("1450.00")),
    )
    words = read(replace(INPUTS, taxes=two))
    for said in ("tax of 10 % on €3,000.00", "tax of 20 % on €7,250.00", "€10,250.00"):
        assert said in words, said
    assert "In it" not in read(replace(INPUTS, taxes=()))
