"""The client's side: the link, the offer, the signature last, and the page of thanks."""

import json
from functools import lru_cache
from http import HTTPStatus

from fastapi import APIRouter, Response
from fastapi.responses import PlainTextResponse
from markupsafe import Markup

from app.actions.after_signing import (
    certificate_through,
    receipt_of_cancelling,
    saw,
    signed_copies,
    was_copy_sent,
)
from app.actions.cancel import cancel
from app.actions.errors import LinkClosed, Refused
from app.actions.questions import ask
from app.actions.records import OfferView
from app.actions.sign import consent_to_records, decline, exchange, offer_for, offer_pdf, sign
from app.actions.sign_code import give_code, needs_code, send_code
from app.agreement.terms import Language
from app.documents.proposal import particulars_of
from app.documents.words import drawing_in, event_of, words_of
from app.web.drawings import on_page
from app.web.findings import Fault
from app.web.forms.drawn import field_id
from app.web.offer_sheet import CertificateSheet, OfferSheet, paragraphs_of
from app.web.page import go, render
from app.web.proposal import pdf_answer
from app.web.security import give_cookie
from app.web.sheets import Frame
from app.web.visit import OFFER, AtDoor, Door, Posted, cookie_name, text

router = APIRouter()


_PLACED = frozenset({"inclusions", "exclusions", "cautions", "care", "consent", "records", "cancellation"})
_MOST_OPTIONS = 16


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
    """The offer, with the options that are ticked."""
    ticked = tuple(door.request.query_params.getlist("with"))[:_MOST_OPTIONS]
    try:
        offer = offer_for(door.db, _cookie(door), door.now, ticked)
    except Refused as refusal:
        offer = offer_for(door.db, _cookie(door), door.now)
        return _page(door, offer, (Fault(refusal.reason, "options"),))
    return _page(door, offer)


@router.get("/offer/proposal.pdf")
def show_offer_pdf(door: AtDoor) -> Response:
    """The offer's PDF, exactly as it was made."""
    offer = offer_for(door.db, _cookie(door), door.now)
    name = f"{offer.job_number}-revision-{offer.revision.number}.pdf".replace('"', "")
    return pdf_answer(offer_pdf(door.db, _cookie(door), door.now), name)


@router.post("/offer/sign")
def save_signature(door: AtDoor, form: Posted) -> Response:
    """Sign off exactly the document that was shown, with the options that were ticked."""
    name, consent = text(form, "name", 120), form.get("consent") is not None
    ticked = tuple(str(code)[:40] for code in form.getlist("with"))[:_MOST_OPTIONS]
    faults = []
    if not name:
        faults.append(Fault("Enter your full name", field_id("name")))
    if not consent:
        faults.append(Fault("Tick the box to say that you agree", field_id("consent")))
    if faults:
        return _again(door, tuple(faults), name, ticked)
    address = door.request.client.host if door.request.client else ""
    browser = door.request.headers.get("user-agent", "")[:300]
    try:
        sign(
            door.db,
            _cookie(door),
            name,
            consent,
            text(form, "fingerprint", 64),
            door.now,
            address,
            browser,
            ticked=ticked,
            drawn=text(form, "drawn", 40_000),
            needs_code=needs_code(door.db),
        )
    except Refused as refusal:
        lines = (Fault(refusal.reason), *map(Fault, refusal.details))
        return _again(door, lines, name, ticked)
    signed_copies(door.db, _cookie(door), door.now)
    return go("/offer/thanks")


@router.post("/offer/cancel")
def save_cancellation(door: AtDoor, form: Posted) -> Response:
    """Take the client's notice that it cancels, and send both a receipt where mail is set up."""
    address = door.request.client.host if door.request.client else ""
    browser = door.request.headers.get("user-agent", "")[:300]
    name, words = text(form, "name", 120), text(form, "words", 2000)
    try:
        cancel(door.db, _cookie(door), name, words, door.now, address, browser)
    except Refused as refusal:
        clock = offer_for(door.db, _cookie(door), door.now).clock
        is_there = clock is not None and clock.is_running
        return _again(door, (Fault(refusal.reason, field_id("cancel-name") if is_there else ""),))
    receipt_of_cancelling(door.db, _cookie(door), door.now)
    return go("/offer/thanks")


@router.post("/offer/seen")
def save_seen(door: AtDoor, form: Posted) -> Response:
    """Note that a part of the page was looked at."""
    saw(door.db, _cookie(door), text(form, "part", 20), door.now)
    return Response(status_code=HTTPStatus.NO_CONTENT)


@router.post("/offer/records")
def save_records_consent(door: AtDoor, form: Posted) -> Response:
    """Take the client's consent to electronic records, or say what is missing for it."""
    if form.get("records") is None:
        fault = Fault("Tick the box to agree to electronic records, or ask the firm for paper", "f-records")
        return _again(door, (fault,))
    consent_to_records(door.db, _cookie(door), door.now)
    return go("/offer#sign")


@router.post("/offer/ask")
def save_question(door: AtDoor, form: Posted) -> Response:
    """Keep a question of the client."""
    try:
        offer = offer_for(door.db, _cookie(door), door.now)
        ask(door.db, _cookie(door), offer.client.name, text(form, "question", 4000), door.now)
    except Refused as refusal:
        return _again(door, (Fault(refusal.reason, field_id("question")),))
    return go("/offer#questions")


@router.post("/offer/code")
def save_code(door: AtDoor, form: Posted) -> Response:
    """Send a code to the client's e-mail address, or hold the one that was typed against it."""
    try:
        if text(form, "do") == "send":
            send_code(door.db, _cookie(door), door.now)
        else:
            give_code(door.db, _cookie(door), text(form, "code", 20), door.now)
    except Refused as refusal:
        return _again(door, (Fault(refusal.reason, field_id("code")),))
    return go("/offer#sign")


@router.get("/offer/certificate")
def show_certificate(door: AtDoor) -> Response:
    """What was signed, by whom, when, and with which evidence."""
    offer = offer_for(door.db, _cookie(door), door.now)
    if offer.sign_off is None:
        return go("/offer")
    language = offer.terms.language
    sheet = CertificateSheet(
        frame=_frame(offer, words_of(language)("Certificate"), ()),
        offer=offer,
        reference=_reference(offer),
        evidence=json.loads(offer.sign_off.evidence),
        done=event_of(language),
    )
    return render(door.request, "pages/certificate.html", sheet)


@router.get("/offer/certificate.pdf")
def show_certificate_pdf(door: AtDoor) -> Response:
    """The certificate to keep."""
    offer = offer_for(door.db, _cookie(door), door.now)
    name = f"{offer.job_number}-revision-{offer.revision.number}-certificate.pdf".replace('"', "")
    return pdf_answer(certificate_through(door.db, _cookie(door), door.now), name)


@router.post("/offer/decline")
def save_decline(door: AtDoor, form: Posted) -> Response:
    """Decline the offer, with a reason if one is given."""
    try:
        decline(door.db, _cookie(door), text(form, "reason", 1000), door.now)
    except Refused as refusal:
        return _again(door, (Fault(refusal.reason, field_id("reason")),))
    return go("/offer/thanks")


@router.get("/offer/thanks")
def show_thanks(door: AtDoor) -> Response:
    """What was signed or declined, the reference, and what happens next."""
    offer = offer_for(door.db, _cookie(door), door.now)
    if offer.sign_off is None and offer.declined_at is None:
        return go("/offer")
    title = words_of(offer.terms.language)("Received" if offer.cancelled else "Thank you")
    sheet = _sheet(offer, title, copy_sent=was_copy_sent(door.db, _cookie(door), door.now))
    return render(door.request, "pages/thanks.html", sheet)


def _cookie(door: Door) -> str:
    cookie = door.request.cookies.get(cookie_name(door.request, OFFER), "")
    if not cookie:
        raise LinkClosed("unknown")
    return cookie


def _again(door: Door, faults: tuple[Fault, ...], name: str = "", ticked: tuple[str, ...] = ()) -> Response:
    """The offer once more, with what must be mended and the options as they were ticked."""
    try:
        offer = offer_for(door.db, _cookie(door), door.now, ticked)
    except Refused:
        offer = offer_for(door.db, _cookie(door), door.now)
    return _page(door, offer, faults, name)


def _page(door: Door, offer: OfferView, faults: tuple[Fault, ...] = (), name: str = "") -> Response:
    response = render(
        door.request,
        "pages/offer.html",
        _sheet(offer, offer.job_title, faults, name),
        422 if faults else 200,
    )
    response.headers["hx-push-url"] = "false"
    return response


def _reference(offer: OfferView) -> str:
    return f"{offer.job_number}-{offer.revision.number}-{offer.fingerprint[:8].upper()}"


def _frame(offer: OfferView, title: str, faults: tuple[Fault, ...]) -> Frame:
    revision, say = offer.revision, words_of(offer.terms.language)
    return Frame(
        title=title,
        firm=offer.firm.name,
        cells=(
            (say("Firm"), offer.firm.name),
            (say("Job"), f"{offer.job_number}  {offer.job_title}"),
            (say("Sheet"), say("Proposal")),
            (say("Client"), offer.client.name),
            (say("Revision"), str(revision.number)),
            (say("Date"), revision.offered_on.isoformat()),
            (say("Valid until"), revision.valid_until_on.isoformat()),
            (say("Reference"), _reference(offer)),
            (say("Sheet number"), say("1 of 1")),
        ),
        is_wrong=bool(faults),
        language=offer.terms.language,
    )


@lru_cache(maxsize=64)
def _drawn(drawings: tuple[tuple[str, str], ...], language: Language) -> tuple[Markup, ...]:
    """Drawings fit to stand in a page together, each given with the mark of its ids."""
    return tuple(on_page(drawing_in(svg, language), mark) for mark, svg in drawings)


def _sheet(
    offer: OfferView,
    title: str,
    faults: tuple[Fault, ...] = (),
    name: str = "",
    *,
    copy_sent: bool = False,
) -> OfferSheet:
    language = offer.terms.language
    walls = tuple((f"wall-{place}", svg) for place, (_, svg) in enumerate(offer.walls))
    night = (("night", offer.night_svg),) if offer.night_svg else ()
    plan, *others = _drawn((("plan", offer.plan_svg), *walls, *night), language)
    elevations = others[: len(walls)]
    say = words_of(language)
    faults = tuple(Fault(say(fault.text), fault.field_id) for fault in faults)
    return OfferSheet(
        frame=_frame(offer, title, faults),
        offer=offer,
        svg=plan,
        wording={part.code: (part.title, paragraphs_of(part)) for part in offer.wording},
        rest=tuple(part.code for part in offer.wording if part.code not in _PLACED),
        reference=_reference(offer),
        name=name,
        faults=faults,
        said=offer.said,
        needs_code=offer.needs_code,
        walls=tuple((wall, svg) for (wall, _), svg in zip(offer.walls, elevations, strict=True)),
        night=others[-1] if night else None,
        particulars=particulars_of(offer.terms),
        cancel_by=offer.cancel_by,
        typed=offer.typed,
        copy_sent=copy_sent,
    )
