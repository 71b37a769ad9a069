"""Mail: how the firm's own server is reached, a letter to try it, and what was sent."""

from dataclasses import dataclass
from http import HTTPStatus

from fastapi import APIRouter, Response

from app.actions.errors import Refused
from app.actions.mail import (
    SECURITIES,
    Letter,
    LetterCard,
    MailServer,
    Security,
    list_letters,
    mail_server,
    save_mail_server,
    send,
)
from app.web.findings import Fault
from app.web.forms.drawn import Field, field_id
from app.web.forms.plain import Entry, draw, typed
from app.web.page import go, render
from app.web.sheets import Frame, desk_frame
from app.web.visit import AtDesk, Desk, Posted, text

router = APIRouter()
_SERVER = (
    Entry("host", "Mail server", hint="Such as mail.example.org. Blank: no mail.", is_needed=False),
    Entry("port", "Port", "count", "587 for STARTTLS, 465 for TLS."),
    Entry(
        "security",
        "The line is closed by",
        "choice",
        options=(
            ("starttls", "STARTTLS"),
            ("tls", "TLS from the start"),
            ("none", "nothing: own machine only"),
        ),
    ),
    Entry(
        "user",
        "User",
        hint="Its password stands in the environment as UPSTAND_MAIL_PASSWORD, never here.",
        is_needed=False,
    ),
    Entry("sender", "Letters come from", "email", is_needed=False),
)


@dataclass(frozen=True, slots=True)
class MailSheet:
    """The mail server and the letters.

    Attributes
    ----------
    frame : Frame
        What stands round the page.
    server : MailServer or None
        As set up.
    letters : tuple of LetterCard
        The last ones, newest first.
    fields : tuple of Field
        The form.
    own : str
        Address of whoever looks, for the letter to try.
    faults : tuple of Fault
        What must be mended.
    """

    frame: Frame
    server: MailServer | None
    letters: tuple[LetterCard, ...]
    fields: tuple[Field, ...]
    own: str
    faults: tuple[Fault, ...]


@router.get("/shop/mail")
def show_mail(desk: AtDesk) -> Response:
    """The mail server and the letters."""
    return _page(desk, _stored(mail_server(desk.db)), {})


@router.post("/shop/mail")
def save_mail(desk: AtDesk, form: Posted) -> Response:
    """Save how the mail server is reached, or send a letter to try it."""
    stored = _stored(mail_server(desk.db))
    if text(form, "do") == "try":
        letter = Letter(
            desk.staff.email, "Mail works", "This letter was sent to try the mail server. It arrived.\n"
        )
        try:
            send(desk.db, letter, desk.now)
        except Refused as refusal:
            return _page(desk, stored, {"host": refusal.reason})
        return go("/shop/mail?said=tried")
    values = typed(_SERVER, form)
    security: Security = next((known for known in SECURITIES if known == values["security"]), "starttls")
    if not values["port"].isdecimal():
        return _page(desk, values, {"port": "Port: give a whole number, such as 587"})
    server = MailServer(values["host"], int(values["port"][:6]), security, values["user"], values["sender"])
    try:
        save_mail_server(desk.db, desk.staff, server, desk.now)
    except Refused as refusal:
        return _page(desk, values, {"host": refusal.reason})
    return go("/shop/mail?said=saved")


def _stored(server: MailServer | None) -> dict[str, str]:
    if server is None:
        return {"port": "587", "security": "starttls"}
    return {
        "host": server.host,
        "port": str(server.port),
        "security": server.security,
        "user": server.user,
        "sender": server.sender,
    }


def _page(desk: Desk, values: dict[str, str], faults: dict[str, str]) -> Response:
    sheet = MailSheet(
        frame=desk_frame(desk, "Mail", at="/shop", is_wrong=bool(faults)),
        server=mail_server(desk.db),
        letters=list_letters(desk.db),
        fields=draw(_SERVER, values, faults),
        own=desk.staff.email,
        faults=tuple(Fault(words, field_id(name)) for name, words in faults.items()),
    )
    status = HTTPStatus.UNPROCESSABLE_ENTITY if faults else HTTPStatus.OK
    return render(desk.request, "pages/mail.html", sheet, status)
