"""A new thing on the price list."""

from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal

from fastapi import APIRouter, Response

from app.actions.errors import Refused
from app.actions.price import add_price_item
from app.pricing.records import PriceItem
from app.web.findings import Fault
from app.web.forms.drawn import Field, field_id
from app.web.forms.plain import Entry, as_day, as_decimal, draw, missing, typed
from app.web.page import go, render
from app.web.sheets import Frame, desk_frame
from app.web.visit import AtDesk, Desk, Posted

router = APIRouter()
_UNITS = tuple((unit, unit) for unit in ("each", "m", "m2", "m3", "kg"))
_ITEM = (
    Entry("item", "Code", "code", "Letters, digits, points and dashes."),
    Entry("name", "Name", hint="What a supplier would call it."),
    Entry("unit", "Unit of the quantity it serves", "choice", options=_UNITS),
    Entry("pack", "Units in one pack", "number", "Whole packs are bought."),
    Entry("pack_price", "Price of one pack, before tax", "number"),
    Entry("supplier", "Supplier", is_needed=False),
    Entry("lead_days", "From order to delivery", "count", unit="working days"),
    Entry("mass_kg", "Mass of one unit", "number", unit="kg", is_needed=False),
    Entry("length_mm", "Length of one piece", "number", unit="mm", is_needed=False),
    Entry("spares_pct", "Spares for the client", "number", "Over what is needed.", unit="%", is_needed=False),
    Entry(
        "tax_code",
        "Tax code",
        hint="Blank: the usual rate. Codes stand in the shop’s rules.",
        is_needed=False,
    ),
    Entry("from_on", "Price holds from", "date"),
)
_AMOUNTS = ("pack", "pack_price", "mass_kg", "length_mm", "spares_pct")


@dataclass(frozen=True, slots=True)
class NewItemSheet:
    """What is asked of a new item.

    Attributes
    ----------
    frame : Frame
        What stands round the page.
    fields : tuple of Field
        The item.
    faults : tuple of Fault
        What must be mended.
    """

    frame: Frame
    fields: tuple[Field, ...]
    faults: tuple[Fault, ...]


@router.get("/shop/items/new")
def show_new_item(desk: AtDesk) -> Response:
    """The form for a new item."""
    return _page(desk, {"from_on": desk.today.isoformat(), "pack": "1", "lead_days": "5"}, {})


@router.post("/shop/items/new")
def save_new_item(desk: AtDesk, form: Posted) -> Response:
    """Add an item to the price list."""
    values = typed(_ITEM, form)
    faults = missing(_ITEM, values)
    item = _item(values, faults)
    if faults:
        return _page(desk, values, faults)
    try:
        add_price_item(desk.db, desk.staff, item, desk.now)
    except Refused as refusal:
        return _page(desk, values, {"item": refusal.reason})
    return go(f"/shop/prices/{item.item}?said=added")


def _item(values: dict[str, str], faults: dict[str, str]) -> PriceItem:
    """The item as typed; what cannot be read is put into `faults`."""
    amounts = {name: as_decimal(values[name] or "0") for name in _AMOUNTS}
    for name, amount in amounts.items():
        if amount is None or amount < 0:
            faults.setdefault(name, f"{_label(name)}: give a number, such as 12.5")
    from_on = as_day(values["from_on"])
    if from_on is None:
        faults.setdefault("from_on", "Give the day as year-month-day, such as 2026-05-04")
    if not values["lead_days"].isdecimal() or int(values["lead_days"]) > 400:
        faults.setdefault("lead_days", "Give the working days as a whole number up to 400")
    if not values["item"].replace("-", "").replace(".", "").replace("_", "").isalnum():
        faults.setdefault("item", "Code: use letters, digits, points and dashes only")
    if values["unit"] not in dict(_UNITS):
        faults.setdefault("unit", "Choose the unit")
    blank = PriceItem("", "", "each", Decimal(1), Decimal(0), "", 0, date.min)
    if faults or from_on is None:
        return blank
    return replace(
        blank,
        item=values["item"],
        name=values["name"],
        unit=values["unit"],
        pack=amounts["pack"] or Decimal(0),
        pack_price=amounts["pack_price"] or Decimal(0),
        supplier=values["supplier"],
        lead_days=int(values["lead_days"]),
        priced_on=from_on,
        mass_kg=float(amounts["mass_kg"] or 0) or None,
        length_mm=float(amounts["length_mm"] or 0) or None,
        spares_pct=amounts["spares_pct"] or Decimal(0),
        tax_code=values["tax_code"],
    )


def _label(name: str) -> str:
    return next(entry.label for entry in _ITEM if entry.name == name)


def _page(desk: Desk, values: dict[str, str], faults: dict[str, str]) -> Response:
    sheet = NewItemSheet(
        frame=desk_frame(desk, "New item", at="/shop", is_wrong=bool(faults)),
        fields=draw(_ITEM, values, faults),
        faults=tuple(Fault(words, field_id(name)) for name, words in faults.items()),
    )
    return render(desk.request, "pages/new_item.html", sheet, 422 if faults else 200)
