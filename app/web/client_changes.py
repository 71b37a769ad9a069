"""Changes on the client's link: read, sign or decline, on the same link as the proposal."""

from dataclasses import dataclass

from fastapi import APIRouter, Response

from app.actions.client_changes import ClientChanges, answer_change, changes_for, client_paper
from app.actions.errors import LinkClosed, Refused
from app.documents.words import words_of
from app.web.findings import Fault
from app.web.forms.drawn import field_id
from app.web.page import go, render
from app.web.proposal import pdf_answer
from app.web.sheets import Frame
from app.web.visit import OFFER, AtDoor, Door, Posted, cookie_name, number, text

router = APIRouter()


@dataclass(frozen=True, slots=True)
class ClientChangesSheet:
    """Changes as the client reads them.

    Attributes
    ----------
    frame : Frame
        What stands round the page.
    seen : ClientChanges
        Public fields only.
    name : str
        As typed, when it must be typed again.
    faults : tuple of Fault
        What must be mended.
    """

    frame: Frame
    seen: ClientChanges
    name: str
    faults: tuple[Fault, ...]


@router.get("/offer/changes")
def show_client_changes(door: AtDoor) -> Response:
    """All changes, those that wait for an answer first."""
    return _page(door)


@router.post("/offer/changes")
def save_answer(door: AtDoor, form: Posted) -> Response:
    """Sign or decline one change order."""
    name = text(form, "name", 120)
    answer = (
        text(form, "do") == "sign",
        name,
        form.get("consent") is not None,
        text(form, "fingerprint", 64),
    )
    address = door.request.client.host if door.request.client else ""
    where = (address, door.request.headers.get("user-agent", ""))
    try:
        answer_change(door.db, _cookie(door), number(form, "change"), answer, door.now, where)
    except Refused as refusal:
        return _page(door, (Fault(refusal.reason, field_id(f"name-{number(form, 'change')}")),), name)
    return go("/offer/changes")


@router.get("/offer/changes/{change_id}.pdf")
def show_client_change_pdf(door: AtDoor, change_id: int) -> Response:
    """The document of one change order, exactly as it was made."""
    name, made = client_paper(door.db, _cookie(door), change_id, door.now)
    return pdf_answer(made, name)


def _cookie(door: Door) -> str:
    cookie = door.request.cookies.get(cookie_name(door.request, OFFER), "")
    if not cookie:
        raise LinkClosed("unknown")
    return cookie


def _page(door: Door, faults: tuple[Fault, ...] = (), name: str = "") -> Response:
    seen = changes_for(door.db, _cookie(door), door.now)
    say = words_of(seen.language)
    sheet = ClientChangesSheet(
        frame=Frame(
            title=say("Changes"),
            firm=seen.firm.name,
            cells=(
                (say("Firm"), seen.firm.name),
                (say("Job"), f"{seen.job_number}  {seen.job_title}"),
                (say("Sheet"), say("Changes")),
            ),
            is_wrong=bool(faults),
            language=seen.language,
        ),
        seen=seen,
        name=name,
        faults=tuple(Fault(say(fault.text), fault.field_id) for fault in faults),
    )
    return render(door.request, "pages/client_changes.html", sheet, 422 if faults else 200)
