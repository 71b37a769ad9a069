"""Clients: the list, one client, a new one."""

from dataclasses import asdict, dataclass

from fastapi import APIRouter, Response

from app.actions.clients import add_client, change_client, client, list_clients
from app.actions.errors import StaleSave
from app.actions.jobs import jobs_of_client
from app.actions.records import ClientCard, JobCard
from app.web.findings import Fault
from app.web.forms.drawn import Field, field_id
from app.web.forms.plain import Entry, draw, missing, typed
from app.web.page import go, render
from app.web.sheets import Frame, desk_frame
from app.web.stale import show_stale
from app.web.visit import AtDesk, Desk, Posted, number

router = APIRouter()
_CLIENT = (
    Entry("name", "Name"),
    Entry("email", "E-mail address", "email", is_needed=False),
    Entry("phone", "Phone", is_needed=False),
    Entry("address", "Address of the roof", "words", is_needed=False),
)


@dataclass(frozen=True, slots=True)
class ClientsSheet:
    """All clients.

    Attributes
    ----------
    frame : Frame
        What stands round the page.
    clients : tuple of ClientCard
        By name.
    """

    frame: Frame
    clients: tuple[ClientCard, ...]


@dataclass(frozen=True, slots=True)
class ClientSheet:
    """One client, to be read and changed; a new one has no jobs and no version.

    Attributes
    ----------
    frame : Frame
        What stands round the page.
    action : str
        Where the form is sent.
    client_id, version : int
        Zero for a new client.
    fields : tuple of Field
        Name, e-mail, phone, address.
    faults : tuple of Fault
        What must be mended.
    jobs : tuple of JobCard
        Theirs.
    """

    frame: Frame
    action: str
    client_id: int
    version: int
    fields: tuple[Field, ...]
    faults: tuple[Fault, ...]
    jobs: tuple[JobCard, ...]


@router.get("/clients")
def show_clients(desk: AtDesk) -> Response:
    """All clients."""
    sheet = ClientsSheet(desk_frame(desk, "Clients", at="/clients"), list_clients(desk.db))
    return render(desk.request, "pages/clients.html", sheet)


@router.get("/clients/new")
def show_new_client(desk: AtDesk) -> Response:
    """The form for a new client."""
    return _page(desk, None, {}, {})


@router.post("/clients/new")
def save_new_client(desk: AtDesk, form: Posted) -> Response:
    """Add a client."""
    values = typed(_CLIENT, form)
    faults = _wrong(values)
    if faults:
        return _page(desk, None, values, faults)
    added = add_client(
        desk.db, desk.staff, values["name"], values["email"], values["phone"], values["address"], desk.now
    )
    return go(f"/clients/{added}?said=added")


@router.get("/clients/{client_id}")
def show_client(desk: AtDesk, client_id: int) -> Response:
    """One client and their jobs."""
    card = client(desk.db, client_id)
    return _page(desk, card, {key: str(value) for key, value in asdict(card).items()}, {})


@router.post("/clients/{client_id}")
def save_client(desk: AtDesk, form: Posted, client_id: int) -> Response:
    """Change a client."""
    card = client(desk.db, client_id)
    values = typed(_CLIENT, form)
    faults = _wrong(values)
    if faults:
        return _page(desk, card, values, faults)
    try:
        change_client(desk.db, desk.staff, client_id, number(form, "version"), **values, now=desk.now)
    except StaleSave as stale:
        return show_stale(desk, stale, back=f"/clients/{client_id}")
    return go(f"/clients/{client_id}?said=saved")


def _wrong(values: dict[str, str]) -> dict[str, str]:
    faults = missing(_CLIENT, values)
    if values["email"] and "@" not in values["email"]:
        faults["email"] = "Enter an e-mail address with an @, such as name@example.org"
    return faults


def _page(desk: Desk, card: ClientCard | None, values: dict[str, str], faults: dict[str, str]) -> Response:
    jobs = jobs_of_client(desk.db, card.id) if card else ()
    sheet = ClientSheet(
        frame=desk_frame(desk, card.name if card else "New client", at="/clients", is_wrong=bool(faults)),
        action=f"/clients/{card.id}" if card else "/clients/new",
        client_id=card.id if card else 0,
        version=card.version if card else 0,
        fields=draw(_CLIENT, values, faults),
        faults=tuple(Fault(words, field_id(name)) for name, words in faults.items()),
        jobs=jobs,
    )
    return render(desk.request, "pages/client.html", sheet, 422 if faults else 200)
