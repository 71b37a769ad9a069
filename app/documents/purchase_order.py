"""The purchase order to a supplier, as a page and as a table that a spreadsheet opens without harm."""

import csv
import io
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from app.agreement.records import Party
from app.documents.render import pdf

# A cell that begins like this would be run as a formula by a spreadsheet.
_RUNS = ("=", "+", "-", "@", "\t", "\r")


@dataclass(frozen=True, slots=True)
class Titled:
    """What the running head of a document names."""

    title: str


@dataclass(frozen=True, slots=True)
class PurchaseOrderInputs:
    """All that a purchase order is printed from; `lines` are item, name, packs, unit, cost."""

    firm: Party
    job_number: str
    job_title: str
    site_address: str
    number: str
    supplier: str
    lines: tuple[tuple[str, str, int, str, str], ...]
    needed_on: date
    ordered_on: date
    access_notes: str
    currency: str


def purchase_order_pdf(inputs: PurchaseOrderInputs) -> bytes:
    """Print a purchase order; the same inputs give the same bytes."""
    context = {
        "firm": inputs.firm,
        "job_number": inputs.job_number,
        "job": Titled(inputs.job_title),
        "order": inputs,
        "total": total_of(inputs),
    }
    return pdf("purchase_order.html", context)


def total_of(inputs: PurchaseOrderInputs) -> Decimal | None:
    """Give what the lines come to as priced; None when one of them has no price."""
    costs = [cost for *_, cost in inputs.lines]
    return sum((Decimal(cost) for cost in costs), Decimal("0.00")) if all(costs) else None


def purchase_order_csv(inputs: PurchaseOrderInputs) -> bytes:
    """Write a purchase order as CSV (RFC 4180, UTF-8)."""
    text = io.StringIO()
    rows = csv.writer(text)
    rows.writerow(("order", "supplier", "item", "name", "packs", "unit", "needed on"))
    for item, name, packs, unit, _ in inputs.lines:
        row = (inputs.number, inputs.supplier, item, name, packs, unit, inputs.needed_on.isoformat())
        rows.writerow(plain_cell(value) for value in row)
    return text.getvalue().encode()


def plain_cell(value: object) -> object:
    """Give a cell that no spreadsheet takes for a formula."""
    if isinstance(value, str) and value.startswith(_RUNS):
        return f"'{value}"
    return value
