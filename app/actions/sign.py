"""The client's side: open the link, read, sign or decline."""

from dataclasses import dataclass
from datetime import date, datetime

from app.actions.brake import count_guess, refuse_guessers
from app.actions.clock import day_at
from app.actions.database import Database
from app.actions.errors import LinkClosed, Refused
from app.actions.frozen import FrozenInputs, read_inputs, read_results
from app.actions.records import OfferPhase, OfferView, RevisionCard
from app.actions.sheet import subject
from app.actions.tokens import new_token, token_hash
from app.agreement import sign_off as rules
from app.agreement.records import PaymentStage, Revision
from app.agreement.sign_off import Refusal, SignRequest
from app.store import audit, jobs, links, offers
from app.store.links import Opening
from app.store.sessions import Session

_GUESSES = 30


@dataclass(frozen=True, slots=True)
class _Reading:
    """What a link leads to, on one day."""

    opening: Opening
    card: RevisionCard
    inputs: FrozenInputs
    results: str
    today: date


def exchange(db: Database, token: str, now: datetime, address: str = "") -> str:
    """Trade a link's token for a cookie token; LinkClosed, TooOften."""
    limits = ((f"from {address}", _GUESSES),) if address else ()
    refuse_guessers(db, "link", limits, now)
    cookie = new_token()
    hashed = token_hash(token)
    with db.read() as session:
        opening = links.opened_by_token(session, hashed, now)
    if opening is None:
        count_guess(db, "link", limits, now)
    _open_or_closed(opening)
    with db.write() as session:
        # Looked up again: the link may have been withdrawn since.
        opening = _open_or_closed(links.opened_by_token(session, hashed, now))
        links.add_cookie(session, opening.link.id, token_hash(cookie), now)
    return cookie


def offer_for(db: Database, cookie: str, now: datetime) -> OfferView:
    """What the client may see; LinkClosed."""
    with db.read() as session:
        return _view(session, _read(session, _opening(session, cookie, now), now))


def offer_pdf(db: Database, cookie: str, now: datetime) -> bytes:
    """The PDF as offered; LinkClosed."""
    with db.write() as session:
        opening = _opening(session, cookie, now)
        links.add_event(session, opening.link.id, "PDF fetched", now)
        pdf = offers.pdf_of(session, opening.link.revision_id)
    assert pdf is not None
    return pdf


def sign(
    db: Database,
    cookie: str,
    name: str,
    consent: bool,
    fingerprint_seen: str,
    now: datetime,
    address: str,
    browser: str,
) -> OfferView:
    """Sign off one fingerprint; signing again changes nothing. Refused, LinkClosed."""
    with db.write() as session:
        opening = _opening(session, cookie, now)
        offers.lock_revision(session, opening.link.revision_id)
        read = _read(session, opening, now)
        card = read.card
        if card.sign_off is not None:
            return _view(session, read)
        _refuse_closed(card)
        request = SignRequest(
            name=name,
            has_consented=consent,
            consent=_consent_words(read.inputs),
            fingerprint=fingerprint_seen,
            signed_at=now,
            address=address,
            browser=browser,
            document_sha256=card.document_sha256,
        )
        newest = offers.next_number(session, card.job_id) - 1
        given = rules.sign(_revision(card), newest, request, read.today, None)
        if isinstance(given, Refusal):
            raise Refused(given.text)
        offers.add_sign_off(session, card.id, opening.link.id, card.fingerprint, given)
        links.add_event(session, opening.link.id, "signed", now)
        stored = jobs.find_job(session, card.job_id, for_change=True)
        assert stored is not None
        if stored.state == "offered":
            jobs.put_state(session, card.job_id, "signed", now)
        what = f"signed revision {card.number}, fingerprint {card.fingerprint[:12]}"
        audit.note(session, now, f"client: {given.name}", what, subject(card.job_id))
        return _view(session, _read(session, opening, now))


def decline(db: Database, cookie: str, reason: str, now: datetime) -> OfferView:
    """Decline the offer with a reason; declining again changes nothing. Refused, LinkClosed."""
    with db.write() as session:
        opening = _opening(session, cookie, now)
        offers.lock_revision(session, opening.link.revision_id)
        card = _read(session, opening, now).card
        if card.declined_at is None:
            _refuse_closed(card)
            offers.decline(session, card.id, reason.strip()[:2000], now)
            links.add_event(session, opening.link.id, "declined", now)
            what = f"declined revision {card.number}: {reason.strip()[:400] or 'no reason given'}"
            audit.note(session, now, "client", what, subject(card.job_id))
        return _view(session, _read(session, opening, now))


def _opening(session: Session, cookie: str, now: datetime) -> Opening:
    return _open_or_closed(links.opened_by_cookie(session, token_hash(cookie), now))


def _open_or_closed(opening: Opening | None) -> Opening:
    if opening is None:
        raise LinkClosed("unknown")
    if opening.link.state != "live":
        raise LinkClosed(opening.link.state)
    return opening


def _read(session: Session, opening: Opening, now: datetime) -> _Reading:
    """Read what a link leads to, as it stands on the site's own day."""
    frozen = offers.frozen_with(session, opening.link.revision_id)
    assert frozen is not None
    inputs = read_inputs(frozen.inputs)
    today = day_at(now, inputs.time_zone)
    card = offers.find_revision(session, opening.link.revision_id, today)
    assert card is not None
    return _Reading(opening, card, inputs, frozen.results, today)


def _refuse_closed(card: RevisionCard) -> None:
    if card.sign_off is not None:
        raise Refused("The proposal is signed already.")
    if card.declined_at is not None:
        raise Refused("The proposal was declined. Ask the firm for a new one.")


def _why_not(card: RevisionCard, newest: int, today: date) -> str:
    """Say why the proposal cannot be signed any more; empty when it can."""
    try:
        _refuse_closed(card)
    except Refused as closed:
        return closed.reason
    refusal = rules.why_not_sign(_revision(card), newest, today)
    return refusal.text if refusal else ""


def _revision(card: RevisionCard, stages: tuple[PaymentStage, ...] = ()) -> Revision:
    return Revision(
        card.number,
        card.offered_on,
        card.valid_until_on,
        card.fingerprint,
        card.total,
        card.currency,
        stages,
    )


def _consent_words(inputs: FrozenInputs) -> str:
    """Give the words agreed to, as they were frozen with the revision."""
    return next((text.text for text in inputs.wording if text.code == "consent"), "")


def _view(session: Session, read: _Reading) -> OfferView:
    """Give the public side of a revision; cost, wages, hours and markup stay behind."""
    card, inputs, results = read.card, read.inputs, read_results(read.results)
    why_not = _why_not(card, offers.next_number(session, card.job_id) - 1, read.today)
    return OfferView(
        firm=inputs.firm,
        client=inputs.client,
        job_number=inputs.job_number,
        job_title=str(inputs.job["title"]),
        revision=_revision(card, results.stages),
        document_sha256=card.document_sha256,
        state=card.state,
        phases=tuple(OfferPhase(phase.phase, phase.price) for phase in results.estimate.phases),
        price=results.estimate.price,
        contract_tax=results.estimate.contract_tax,
        total=results.estimate.total,
        start_on=results.days.start_on,
        end_on=results.days.end_on,
        stages=results.stages,
        wording=inputs.wording,
        cautions=tuple(finding.text for finding in results.findings if finding.grade == "check"),
        plan_svg=results.plan_svg,
        sign_off=card.sign_off,
        declined_at=card.declined_at,
        can_sign=not why_not,
        why_not=why_not,
        expires_at=read.opening.link.expires_at,
    )
