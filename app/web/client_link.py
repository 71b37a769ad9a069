"""The client's side: the link, the offer, the signature last, and the page of thanks."""

from dataclasses import dataclass

from fastapi import APIRouter, Response
from fastapi.responses import PlainTextResponse
from markupsafe import Markup

from app.actions.errors import LinkClosed, Refused
from app.actions.records import OfferView
from app.actions.sign import decline, exchange, offer_for, offer_pdf, sign
from app.agreement.records import Wording
from app.web.drawings import on_page
from app.web.findings import Fault
from app.web.forms.drawn import field_id
from app.web.page import go, render
from app.web.proposal import pdf_answer
from app.web.security import give_cookie
from app.web.sheets import Frame
from app.web.visit import OFFER, AtDoor, Door, Posted, cookie_name, text

router = APIRouter()


@dataclass(frozen=True, slots=True)
class Paragraph:
    """A paragraph, or a list when `items` is not empty."""

    text: str
    items: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class OfferSheet:
    """The offer as the client reads it.

    Attributes
    ----------
    frame : Frame
        What stands round the page.
    offer : OfferView
        Public fields only.
    svg : Markup
        The plan.
    wording : dict of str to (str, tuple of Paragraph)
        Title and paragraphs by code.
    rest : tuple of str
        Codes of the wording that has no place of its own on the page.
    reference : str
        What to quote: job, revision and the head of the fingerprint.
    name : str
        As typed, when it must be typed again.
    faults : tuple of Fault
        What must be mended before it can be signed.
    """

    frame: Frame
    offer: OfferView
    svg: Markup
    wording: dict[str, tuple[str, tuple[Paragraph, ...]]]
    rest: tuple[str, ...]
    reference: str
    name: str
    faults: tuple[Fault, ...]


_PLACED = frozenset({"inclusions", "exclusions", "cautions", "consent"})


@router.get("/robots.txt")
def show_robots() -> Response:
    """Ask every crawler to stay away; nothing here is meant to be found by searching."""
    return PlainTextResponse("User-agent: *\nDisallow: /\n")


@router.get("/s/{token}")
def show_link(door: AtDoor, token: str) -> Response:
    """Trade the link for a cookie and go on to an address without a secret in it."""
    address = door.request.client.host if door.request.client else ""
    cookie = exchange(door.db, token[:200], door.now, address)
    response = go("/offer")
    give_cookie(door.request, response, OFFER, cookie)
    return response


@router.get("/offer")
def show_offer(door: AtDoor) -> Response:
    """The offer."""
    return _page(door, offer_for(door.db, _cookie(door), door.now))


@router.get("/offer/proposal.pdf")
def show_offer_pdf(door: AtDoor) -> Response:
    """The offer's PDF, exactly as it was made."""
    offer = offer_for(door.db, _cookie(door), door.now)
    name = f"{offer.job_number}-revision-{offer.revision.number}.pdf".replace('"', "")
    return pdf_answer(offer_pdf(door.db, _cookie(door), door.now), name)


@router.post("/offer/sign")
def save_signature(door: AtDoor, form: Posted) -> Response:
    """Sign off exactly the document that was shown."""
    name, consent = text(form, "name", 120), form.get("consent") is not None
    faults = []
    if not name:
        faults.append(Fault("Enter your full name", field_id("name")))
    if not consent:
        faults.append(Fault("Tick the box to say that you agree", field_id("consent")))
    if faults:
        return _page(door, offer_for(door.db, _cookie(door), door.now), tuple(faults), name)
    address = door.request.client.host if door.request.client else ""
    browser = door.request.headers.get("user-agent", "")[:300]
    seen = text(form, "fingerprint", 64)
    try:
        sign(door.db, _cookie(door), name, consent, seen, door.now, address, browser)
    except Refused as refusal:
        lines = (Fault(refusal.reason), *map(Fault, refusal.details))
        return _page(door, offer_for(door.db, _cookie(door), door.now), lines, name)
    return go("/offer/thanks")


@router.post("/offer/decline")
def save_decline(door: AtDoor, form: Posted) -> Response:
    """Decline the offer, with a reason if one is given."""
    decline(door.db, _cookie(door), text(form, "reason", 1000), door.now)
    return go("/offer/thanks")


@router.get("/offer/thanks")
def show_thanks(door: AtDoor) -> Response:
    """What was signed or declined, the reference, and what happens next."""
    offer = offer_for(door.db, _cookie(door), door.now)
    if offer.sign_off is None and offer.declined_at is None:
        return go("/offer")
    return render(door.request, "pages/thanks.html", _sheet(offer, "Thank you"))


def _cookie(door: Door) -> str:
    cookie = door.request.cookies.get(cookie_name(door.request, OFFER), "")
    if not cookie:
        raise LinkClosed("unknown")
    return cookie


def _page(door: Door, offer: OfferView, faults: tuple[Fault, ...] = (), name: str = "") -> Response:
    return render(
        door.request,
        "pages/offer.html",
        _sheet(offer, offer.job_title, faults, name),
        422 if faults else 200,
    )


def _sheet(offer: OfferView, title: str, faults: tuple[Fault, ...] = (), name: str = "") -> OfferSheet:
    revision = offer.revision
    reference = f"{offer.job_number}-{revision.number}-{revision.fingerprint[:8].upper()}"
    frame = Frame(
        title=title,
        firm=offer.firm.name,
        cells=(
            ("Firm", offer.firm.name),
            ("Job", f"{offer.job_number}  {offer.job_title}"),
            ("Sheet", "Proposal"),
            ("Client", offer.client.name),
            ("Revision", str(revision.number)),
            ("Date", revision.offered_on.isoformat()),
            ("Valid until", revision.valid_until_on.isoformat()),
            ("Reference", reference),
            ("Sheet number", "1 of 1"),
        ),
        is_wrong=bool(faults),
    )
    return OfferSheet(
        frame=frame,
        offer=offer,
        svg=on_page(offer.plan_svg, "plan"),
        wording={part.code: (part.title, _paragraphs(part)) for part in offer.wording},
        rest=tuple(part.code for part in offer.wording if part.code not in _PLACED),
        reference=reference,
        name=name,
        faults=faults,
    )


def _paragraphs(part: Wording) -> tuple[Paragraph, ...]:
    """The wording's paragraphs; lines that start with a hyphen are a list."""
    found: list[Paragraph] = []
    for block in part.text.replace("\r\n", "\n").split("\n\n"):
        lines = [line.strip() for line in block.splitlines() if line.strip()]
        words = " ".join(line for line in lines if not line.startswith("- "))
        items = tuple(line[2:] for line in lines if line.startswith("- "))
        if words or items:
            found.append(Paragraph(words, items))
    return tuple(found)
