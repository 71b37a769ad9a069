"""Sheet 8, Proposal: what blocks it, its revisions, and the client's links."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, datetime

from fastapi import APIRouter, Response

from app.actions.after_signing import certificate_of, counter_sign, events_of, send_copies
from app.actions.errors import NotFound, Refused
from app.actions.facts import cancel_clock
from app.actions.jobs import job_sheet
from app.actions.mail import mail_server
from app.actions.offer import links, make_link, offer, revision_pdf, revisions, revoke_link
from app.actions.offer_page import offer_points, old_law, send_link
from app.actions.price import shop
from app.actions.questions import Said, answer, said_about
from app.actions.records import JobSheet, JobState, LinkCard, RevisionCard
from app.actions.takeoff import work_out
from app.agreement.checklist import POINTS, Point
from app.agreement.terms import LANGUAGES, Language
from app.job.findings import Finding
from app.pricing.records import Estimate
from app.web.findings import Fault
from app.web.page import go, render
from app.web.sheets import Frame, job_frame
from app.web.visit import AtDesk, Desk, Posted, number, renderer, text

router = APIRouter()
_STATES: tuple[JobState, ...] = (
    "enquiry",
    "surveyed",
    "priced",
    "offered",
    "signed",
    "on the roof",
    "handed over",
    "let go",
)
_MOST_DAYS = 60


@dataclass(frozen=True, slots=True)
class ProposalSheet:
    """The offer in the making and the offers made.

    Attributes
    ----------
    frame : Frame
        What stands round the page.
    job : JobSheet
        Its state and version.
    estimate : Estimate
        The price as it stands now.
    stops, checks : tuple of Finding
        What blocks the offer, and what a licensed person must confirm.
    revisions : tuple of RevisionCard
        Newest first.
    links : tuple of LinkCard
        Newest first.
    new_link : str
        A link just made; shown this once.
    faults : tuple of Fault
        Why the last wish was refused.
    states : tuple of str
        All states a job can have.
    points : tuple of Point
        What an offer should say, and what of it is there.
    said : tuple of Said
        Questions and answers, in order.
    blocked : tuple of str
        What must wait while the right to cancel runs; empty when it does not.
    cancel_until : date or None
        Its last day.
    has_mail : bool
        Whether a link can be sent by mail.
    clock_begun : bool
        False while the clock of the right to cancel waits for the signed copy.
    old_law : tuple of str
        What of the law was read or checked too long ago.
    reasons : mapping of int to str
        Why points of the checklist are not said.
    languages, language : tuple of str, str
        Those an offer can be made in, and the firm's own.
    events : mapping of int to tuple of (datetime, str)
        What was done through each link.
    """

    frame: Frame
    job: JobSheet
    estimate: Estimate
    stops: tuple[Finding, ...]
    checks: tuple[Finding, ...]
    revisions: tuple[RevisionCard, ...]
    links: tuple[LinkCard, ...]
    new_link: str
    faults: tuple[Fault, ...]
    states: tuple[JobState, ...]
    points: tuple[Point, ...]
    said: tuple[Said, ...]
    blocked: tuple[str, ...]
    cancel_until: date | None
    has_mail: bool
    clock_begun: bool
    old_law: tuple[str, ...]
    reasons: Mapping[int, str]
    languages: tuple[Language, ...]
    language: Language
    events: Mapping[int, tuple[tuple[datetime, str], ...]]


@router.get("/jobs/{job_id}/proposal")
def show_proposal(desk: AtDesk, job_id: int) -> Response:
    """Sheet 8."""
    return _page(desk, job_id)


@router.post("/jobs/{job_id}/proposal")
def save_revision(desk: AtDesk, form: Posted, job_id: int) -> Response:
    """Freeze the job as the next revision, with a reason for every point that it does not say."""
    reasons = {figure: text(form, f"reason-{figure}", 400) for figure in range(1, POINTS + 1)}
    reasons = {figure: words for figure, words in reasons.items() if words}
    language = next((one for one in LANGUAGES if one == form.get("language")), None)
    try:
        offer(
            desk.db,
            desk.staff,
            job_id,
            desk.now,
            renderer(desk.request),
            reasons=reasons,
            language=language,
        )
    except Refused as refusal:
        return _page(desk, job_id, refusal=refusal, reasons=reasons, language=language)
    return go(f"/jobs/{job_id}/proposal?said=offered")


@router.get("/jobs/{job_id}/proposal/{revision_id}.pdf")
def show_revision_pdf(desk: AtDesk, job_id: int, revision_id: int) -> Response:
    """The PDF of one revision, exactly as it was offered."""
    card = _card_of(desk, job_id, revision_id)
    name = f"{job_sheet(desk.db, job_id).number}-revision-{card.number}.pdf".replace('"', "")
    return pdf_answer(revision_pdf(desk.db, revision_id), name)


@router.get("/jobs/{job_id}/proposal/{revision_id}/certificate.pdf")
def show_certificate_pdf(desk: AtDesk, job_id: int, revision_id: int) -> Response:
    """The certificate of the signature under one revision."""
    card = _card_of(desk, job_id, revision_id)
    name = f"{job_sheet(desk.db, job_id).number}-revision-{card.number}-certificate.pdf".replace('"', "")
    return pdf_answer(certificate_of(desk.db, revision_id, desk.now), name)


@router.post("/jobs/{job_id}/proposal/{revision_id}/sign")
def save_counter_signature(desk: AtDesk, form: Posted, job_id: int, revision_id: int) -> Response:
    """Sign for the firm, below the client."""
    _card_of(desk, job_id, revision_id)
    try:
        counter_sign(desk.db, desk.staff, revision_id, text(form, "name", 120), desk.now)
    except Refused as refusal:
        return _page(desk, job_id, refusal=refusal)
    send_copies(desk.db, revision_id, desk.now)
    return go(f"/jobs/{job_id}/proposal?said=counter-signed")


@router.post("/jobs/{job_id}/proposal/{revision_id}/copies")
def save_copies(desk: AtDesk, form: Posted, job_id: int, revision_id: int) -> Response:
    """Send the signed copy to both by mail, once more."""
    _card_of(desk, job_id, revision_id)
    faults = send_copies(desk.db, revision_id, desk.now)
    if faults:
        return _page(desk, job_id, refusal=Refused("The copies did not all go out.", faults))
    return go(f"/jobs/{job_id}/proposal?said=sent")


def _card_of(desk: Desk, job_id: int, revision_id: int) -> RevisionCard:
    card = next((card for card in revisions(desk.db, job_id) if card.id == revision_id), None)
    if card is None:
        raise NotFound("revision", revision_id)
    return card


@router.post("/jobs/{job_id}/links")
def save_link(desk: AtDesk, form: Posted, job_id: int) -> Response:
    """Make a client's link; its address is shown on this answer and never again."""
    wanted = str(form.get("days_valid") or "").strip()
    if not wanted.isdecimal() or not 1 <= int(wanted) <= _MOST_DAYS:
        refusal = Refused(f"Days the link stays open: give a whole number from 1 to {_MOST_DAYS}.")
        return _page(desk, job_id, refusal=refusal)
    revision_id = number(form, "revision")
    if all(card.id != revision_id for card in revisions(desk.db, job_id)):
        raise NotFound("revision", revision_id)
    try:
        token = make_link(desk.db, desk.staff, revision_id, int(wanted), desk.now)
    except Refused as refusal:
        return _page(desk, job_id, refusal=refusal)
    address = str(desk.request.url_for("show_link", token=token))
    if form.get("by_mail") is None:
        return _page(desk, job_id, new_link=address)
    try:
        send_link(desk.db, desk.staff, job_id, address, desk.now)
    except Refused as refusal:
        return _page(desk, job_id, new_link=address, refusal=refusal)
    return go(f"/jobs/{job_id}/proposal?said=sent")


@router.post("/jobs/{job_id}/questions")
def save_answer_to_client(desk: AtDesk, form: Posted, job_id: int) -> Response:
    """Answer the client on its own page."""
    try:
        answer(desk.db, desk.staff, job_id, text(form, "answer", 4000), desk.now)
    except Refused as refusal:
        return _page(desk, job_id, refusal=refusal)
    return go(f"/jobs/{job_id}/proposal?said=answered#questions")


@router.post("/jobs/{job_id}/links/{link_id}/revoke")
def save_revoked_link(desk: AtDesk, form: Posted, job_id: int, link_id: int) -> Response:
    """Withdraw a link at once."""
    if all(card.id != link_id for card in links(desk.db, job_id, desk.now)):
        raise NotFound("link", link_id)
    revoke_link(desk.db, desk.staff, link_id, desk.now)
    return go(f"/jobs/{job_id}/proposal?said=revoked")


def pdf_answer(content: bytes, name: str) -> Response:
    """A PDF to be saved under a name."""
    return Response(
        content,
        media_type="application/pdf",
        headers={"content-disposition": f'attachment; filename="{name}"'},
    )


def _page(
    desk: Desk,
    job_id: int,
    *,
    new_link: str = "",
    refusal: Refused | None = None,
    reasons: Mapping[int, str] | None = None,
    language: Language | None = None,
) -> Response:
    worked = work_out(desk.db, job_id, desk.today)
    whole = worked.answer
    found = (*whole.takeoff.findings, *whole.estimate.findings, *whole.days.findings)
    clock = cancel_clock(desk.db, job_id, desk.today)
    terms = shop(desk.db).terms
    lines = (Fault(refusal.reason), *map(Fault, refusal.details)) if refusal else ()
    sheet = ProposalSheet(
        frame=job_frame(desk, worked.sheet, 8, is_wrong=bool(lines)),
        job=worked.sheet,
        estimate=whole.estimate,
        stops=tuple(finding for finding in found if finding.grade == "stop"),
        checks=tuple(finding for finding in found if finding.grade == "check"),
        revisions=revisions(desk.db, job_id, desk.today),
        links=links(desk.db, job_id, desk.now),
        new_link=new_link,
        faults=lines,
        states=_STATES,
        points=offer_points(desk.db, worked, language),
        said=said_about(desk.db, job_id),
        blocked=clock.blocked if clock else (),
        cancel_until=clock.last_day_on if clock else None,
        has_mail=mail_server(desk.db) is not None,
        clock_begun=clock.has_begun if clock else True,
        old_law=old_law(desk.db, desk.today),
        reasons={**dict(terms.not_needed), **(reasons or {})},
        languages=LANGUAGES,
        language=language or terms.language,
        events=events_of(desk.db, job_id, desk.now),
    )
    return render(desk.request, "pages/proposal.html", sheet, 422 if lines else 200)
