"""The first day: the firm's own name, over example values to be replaced."""

from dataclasses import dataclass

from fastapi import APIRouter, Response

from app.actions.first_shop import open_with_examples
from app.actions.shop import has_shop
from app.agreement.records import Party
from app.web.findings import Fault
from app.web.forms.drawn import Field, field_id
from app.web.forms.plain import Entry, draw, missing, typed
from app.web.page import go, render
from app.web.sheets import Frame, desk_frame
from app.web.visit import AtDesk, Desk, Posted

router = APIRouter()
FIRM = (
    Entry("name", "Name of the firm", fill="organization"),
    Entry("address", "Address", "words", fill="street-address"),
    Entry("phone", "Phone", is_needed=False, fill="tel"),
    Entry("email", "E-mail address", "email", is_needed=False, fill="email"),
    Entry("registration", "Registration or licence, as printed", is_needed=False),
)


@dataclass(frozen=True, slots=True)
class FirstShopSheet:
    """What is asked before anything can be priced.

    Attributes
    ----------
    frame : Frame
        What stands round the page.
    fields : tuple of Field
        The firm as printed.
    faults : tuple of Fault
        What must be mended.
    """

    frame: Frame
    fields: tuple[Field, ...]
    faults: tuple[Fault, ...]


@router.get("/shop/open")
def show_first_shop(desk: AtDesk) -> Response:
    """The firm's first form; a firm that is entered goes on to the shop."""
    return go("/shop") if has_shop(desk.db) else _page(desk, {}, {})


@router.post("/shop/open")
def save_first_shop(desk: AtDesk, form: Posted) -> Response:
    """Enter the firm, with the example price list, assemblies, rules, crews and wording."""
    values = typed(FIRM, form)
    faults = missing(FIRM, values)
    if faults:
        return _page(desk, values, faults)
    open_with_examples(desk.db, desk.staff, Party(**values), desk.now)
    return go("/shop/rules?said=added")


def _page(desk: Desk, values: dict[str, str], faults: dict[str, str]) -> Response:
    sheet = FirstShopSheet(
        frame=desk_frame(desk, "Open the shop", at="/shop", is_wrong=bool(faults)),
        fields=draw(FIRM, values, faults),
        faults=tuple(Fault(words, field_id(name)) for name, words in faults.items()),
    )
    return render(desk.request, "pages/first_shop.html", sheet, 422 if faults else 200)
