"""People: whoever may sign in, added by the owner."""

from dataclasses import dataclass

from fastapi import APIRouter, Response

from app.actions.errors import Refused
from app.actions.records import StaffMember
from app.actions.sign_in import add_staff, list_staff, sign_out_everywhere
from app.web.findings import Fault
from app.web.forms.drawn import Field, field_id
from app.web.forms.plain import Entry, draw, missing, typed
from app.web.page import go, render
from app.web.security import take_cookie
from app.web.sheets import Frame, desk_frame
from app.web.visit import SESSION, AtDesk, Desk, Posted

router = APIRouter()
_PERSON = (
    Entry("name", "Name"),
    Entry("email", "E-mail address", "email"),
    Entry("password", "First password", "secret", "Hand it over in person.", fill="new-password"),
)


@dataclass(frozen=True, slots=True)
class PeopleSheet:
    """Who may sign in.

    Attributes
    ----------
    frame : Frame
        What stands round the page.
    people : tuple of StaffMember
        Whoever has an account.
    is_owner : bool
        Whether whoever looks may add people.
    fields : tuple of Field
        The form for a new colleague.
    faults : tuple of Fault
        What must be mended.
    """

    frame: Frame
    people: tuple[StaffMember, ...]
    is_owner: bool
    fields: tuple[Field, ...]
    faults: tuple[Fault, ...]


@router.get("/shop/people")
def show_people(desk: AtDesk) -> Response:
    """The form for a new colleague, and the way to end every session of one's own."""
    return _page(desk, {}, {})


@router.post("/shop/people")
def save_person(desk: AtDesk, form: Posted) -> Response:
    """Add a colleague."""
    values = typed(_PERSON, form)
    faults = missing(_PERSON, values)
    if faults:
        return _page(desk, values, faults)
    try:
        add_staff(desk.db, desk.staff, values["name"], values["email"], values["password"], desk.now)
    except Refused as refusal:
        if desk.staff.role != "owner":
            raise
        return _page(desk, values, {"password": refusal.reason})
    return go("/shop/people?said=added")


@router.post("/shop/people/sign-out")
def save_sign_out_everywhere(desk: AtDesk, form: Posted) -> Response:
    """End every session of whoever asks, on all devices."""
    sign_out_everywhere(desk.db, desk.staff)
    response = go("/sign-in?said=signed-out")
    take_cookie(desk.request, response, SESSION)
    return response


def _page(desk: Desk, values: dict[str, str], faults: dict[str, str]) -> Response:
    sheet = PeopleSheet(
        frame=desk_frame(desk, "People", at="/shop", is_wrong=bool(faults)),
        people=list_staff(desk.db),
        is_owner=desk.staff.role == "owner",
        fields=draw(_PERSON, values, faults),
        faults=tuple(Fault(words, field_id(name)) for name, words in faults.items()),
    )
    return render(desk.request, "pages/people.html", sheet, 422 if faults else 200)
