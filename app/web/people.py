"""People: whoever may sign in, added, changed and shut out by the owner."""

from dataclasses import dataclass

from fastapi import APIRouter, Response

from app.actions.accounts import (
    ask_for_factor,
    asks_for_factor,
    end_sessions_of,
    give_password,
    set_role,
    shut_account,
)
from app.actions.errors import NotFound, Refused
from app.actions.records import Role, StaffMember
from app.actions.sign_in import add_staff, list_staff, sign_out_everywhere
from app.web.findings import Fault
from app.web.forms.drawn import Field, field_id
from app.web.forms.plain import Entry, draw, missing, typed
from app.web.page import go, render
from app.web.security import take_cookie
from app.web.sheets import Frame, desk_frame
from app.web.visit import SESSION, AtDesk, Desk, Posted, text

router = APIRouter()
_ROLES: tuple[tuple[Role, str], ...] = (
    ("office", "office: everything but the shop"),
    ("crew", "crew: the drawings, the days and the log, no prices"),
    ("owner", "owner: everything"),
)
_PERSON = (
    Entry("name", "Name"),
    Entry("email", "E-mail address", "email"),
    Entry("role", "Role", "choice", options=_ROLES),
    Entry(
        "password",
        "First password",
        "secret",
        "Hand it over in person; it is changed at the first sign-in, and runs out after 7 days.",
        fill="new-password",
    ),
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
    own_id : int
        Who looks.
    roles : tuple of (str, str)
        The roles there are, each with what it may do.
    fields : tuple of Field
        The form for a new colleague.
    faults : tuple of Fault
        What must be mended.
    asks_factor : bool
        Whether owner and office must have a second factor.
    """

    frame: Frame
    people: tuple[StaffMember, ...]
    own_id: int
    roles: tuple[tuple[Role, str], ...]
    fields: tuple[Field, ...]
    faults: tuple[Fault, ...]
    asks_factor: bool


@router.get("/shop/people")
def show_people(desk: AtDesk) -> Response:
    """Who may sign in, the form for a new colleague, and what the owner may do with an account."""
    return _page(desk, {}, {})


@router.post("/shop/people")
def save_person(desk: AtDesk, form: Posted) -> Response:
    """Add a colleague."""
    values = typed(_PERSON, form)
    faults = missing(_PERSON, values)
    role = _role(values["role"] or "office")
    if role is None:
        faults["role"] = "Choose a role"
    if faults or role is None:
        return _page(desk, values, faults)
    account = (values["name"], values["email"], values["password"])
    try:
        add_staff(desk.db, desk.staff, *account, desk.now, role)
    except Refused as refusal:
        return _page(desk, values, {"password": refusal.reason})
    return go("/shop/people?said=added")


@router.post("/shop/people/sign-out")
def save_sign_out_everywhere(desk: AtDesk, form: Posted) -> Response:
    """End every session of whoever asks, on all devices."""
    sign_out_everywhere(desk.db, desk.staff)
    response = go("/sign-in?said=signed-out")
    take_cookie(desk.request, response, SESSION)
    return response


@router.post("/shop/people/second-factor")
def save_factor_rule(desk: AtDesk, form: Posted) -> Response:
    """Set whether owner and office must have a second factor."""
    ask_for_factor(desk.db, desk.staff, text(form, "asks") == "yes", desk.now)
    return go("/shop/people?said=saved")


@router.post("/shop/people/{staff_id}")
def save_account(desk: AtDesk, staff_id: int, form: Posted) -> Response:
    """Give somebody another role or first password, end their sessions, or shut the account."""
    what = text(form, "what")
    role = _role(text(form, "role"))
    if what == "role" and role is not None:
        set_role(desk.db, desk.staff, staff_id, role, desk.now)
    elif what == "password":
        give_password(desk.db, desk.staff, staff_id, str(form.get("password") or ""), desk.now)
    elif what == "sessions":
        end_sessions_of(desk.db, desk.staff, staff_id, desk.now)
    elif what == "shut":
        shut_account(desk.db, desk.staff, staff_id, desk.now)
    else:
        raise NotFound("change called", what)
    return go("/shop/people?said=saved")


def _role(typed_role: str) -> Role | None:
    return next((role for role, _ in _ROLES if role == typed_role), None)


def _page(desk: Desk, values: dict[str, str], faults: dict[str, str]) -> Response:
    sheet = PeopleSheet(
        frame=desk_frame(desk, "People", at="/shop", is_wrong=bool(faults)),
        people=list_staff(desk.db),
        own_id=desk.staff.id,
        roles=_ROLES,
        fields=draw(_PERSON, values, faults),
        faults=tuple(Fault(words, field_id(name)) for name, words in faults.items()),
        asks_factor=asks_for_factor(desk.db),
    )
    return render(desk.request, "pages/people.html", sheet, 422 if faults else 200)
