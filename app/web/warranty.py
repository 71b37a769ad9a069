"""The shop's warranty: how long what is warranted, printed with its last days in every handover file."""

from dataclasses import dataclass

from fastapi import APIRouter, Response

from app.actions.errors import Refused
from app.actions.warranty import save_warranty, warranty_terms
from app.build.warranty import CLASSES, MOST_MONTHS, WarrantyTerm
from app.web.findings import Fault
from app.web.forms.drawn import field_id
from app.web.page import go, render
from app.web.sheets import Frame, desk_frame
from app.web.visit import AtDesk, Desk, Posted, text

router = APIRouter()


@dataclass(frozen=True, slots=True)
class WarrantyLine:
    """One class as it is asked for."""

    code: str
    what: str
    by: str
    months: str
    note: str


@dataclass(frozen=True, slots=True)
class WarrantySheet:
    """How long what is warranted.

    Attributes
    ----------
    frame : Frame
        What stands round the page.
    lines : tuple of WarrantyLine
        Workmanship first.
    most : int
        Most months that can be given.
    faults : tuple of Fault
        What must be mended.
    """

    frame: Frame
    lines: tuple[WarrantyLine, ...]
    most: int
    faults: tuple[Fault, ...]


@router.get("/shop/warranty")
def show_warranty(desk: AtDesk) -> Response:
    """What the firm warrants."""
    terms = warranty_terms(desk.db)
    lines = []
    for code, what, by, _ in CLASSES:
        term = terms.get(code, WarrantyTerm(code, None))
        months = str(term.months) if term.months is not None else ""
        lines.append(WarrantyLine(code, what, by, months, term.note))
    return _page(desk, tuple(lines))


@router.post("/shop/warranty")
def save_warranty_form(desk: AtDesk, form: Posted) -> Response:
    """Set what the firm warrants."""
    lines, terms, faults = [], [], []
    for code, what, by, _ in CLASSES:
        months, note = text(form, f"months-{code}", 6), text(form, f"note-{code}", 400)
        lines.append(WarrantyLine(code, what, by, months, note))
        if months and not months.isdecimal():
            words = f"{what}: give whole months, such as 24, or nothing"
            faults.append(Fault(words, field_id(f"months-{code}")))
            continue
        terms.append(WarrantyTerm(code, int(months) if months else None, note))
    if not faults:
        try:
            save_warranty(desk.db, desk.staff, terms, desk.now)
        except Refused as refusal:
            faults.append(Fault(refusal.reason))
    if faults:
        return _page(desk, tuple(lines), tuple(faults))
    return go("/shop/warranty?said=saved")


def _page(desk: Desk, lines: tuple[WarrantyLine, ...], faults: tuple[Fault, ...] = ()) -> Response:
    frame = desk_frame(desk, "Warranty", at="/shop", is_wrong=bool(faults))
    sheet = WarrantySheet(frame, lines, MOST_MONTHS, faults)
    return render(desk.request, "pages/warranty.html", sheet, 422 if faults else 200)
