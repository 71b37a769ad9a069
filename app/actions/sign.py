"""The client's side: open the link, read, sign or decline."""

import json
from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import date, datetime
from decimal import Decimal
from functools import lru_cache
from typing import Any

from app.actions.brake import count_guess, refuse_guessers
from app.actions.cancel import clock_of, if_signed_on
from app.actions.clock import day_at
from app.actions.database import Database
from app.actions.door import open_link, open_or_closed
from app.actions.errors import Refused
from app.actions.evidence import evidence_of
from app.actions.frozen import FrozenInputs, read_inputs, read_results
from app.actions.never_kept import refuse_numbers
from app.actions.offer_memo import keep_view, kept_view, key_of
from app.actions.records import OfferOption, OfferPhase, OfferView, RevisionCard
from app.actions.sheet import subject
from app.actions.tokens import new_token, token_hash
from app.agreement import sign_off as rules
from app.agreement.cautions import client_cautions
from app.agreement.records import PaymentStage, Revision
from app.agreement.sign_off import Refusal, SignRequest
from app.pricing.job_pricing import Option
from app.pricing.options import is_possible
from app.pricing.shown import has_tax_inside, shown_lines, shown_phases
from app.store import audit, jobs, links, mail, offers, questions, signed
from app.store.job_pricing import add_pricing, read_pricing
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
    fingerprint: str
    today: date


def exchange(db: Database, token: str, now: datetime, address: str = "") -> str:
    """Trade a link's token for a cookie token; LinkClosed, TooOften."""
    limits = ((f"from {address}", _GUESSES),) if address else ()
    refuse_guessers(db, "link", limits, now)
    cookie = new_token()
    hashed = token_hash(token)
    with db.read() as session:
        opening = links.opened_by_token(session, hashed, now)
        if opening is not None:
            open_or_closed(session, opening)
    if opening is None:
        count_guess(db, "link", limits, now)
    with db.write() as session:
        # Looked up again: the link may have been withdrawn since.
        opening = open_or_closed(session, links.opened_by_token(session, hashed, now))
        links.add_cookie(session, opening.link.id, token_hash(cookie), now)
    return cookie


def offer_for(db: Database, cookie: str, now: datetime, ticked: tuple[str, ...] | None = None) -> OfferView:
    """What the client may see, with options ticked; LinkClosed, Refused when they do not go together."""
    hashed = token_hash(cookie)
    with db.read() as session:
        stamp = links.stamp_of(session, hashed)
        key = key_of(stamp, now, ticked) if stamp else None
        kept = kept_view(key, now) if key else None
        if kept is not None:
            return kept
        view = _view(session, _read(session, open_link(session, cookie, now), now, ticked))
    if key is not None:
        keep_view(key, view)
    return view


def offer_pdf(db: Database, cookie: str, now: datetime) -> bytes:
    """The PDF as offered; LinkClosed."""
    with db.write() as session:
        opening = open_link(session, cookie, now)
        links.add_event(session, opening.link.id, signed.PDF_FETCHED, now)
        pdf = offers.pdf_of(session, opening.link.revision_id)
    assert pdf is not None
    return pdf


def sign(  # noqa: PLR0913 - what the client sends, each part by name
    db: Database,
    cookie: str,
    name: str,
    consent: bool,
    fingerprint_seen: str,
    now: datetime,
    address: str,
    browser: str,
    *,
    ticked: tuple[str, ...] = (),
    drawn: str = "",
    needs_code: bool = False,
) -> OfferView:
    """Sign off one fingerprint, options in; signing again changes nothing. Refused, LinkClosed."""
    refuse_numbers(name)
    with db.write() as session:
        opening = open_link(session, cookie, now)
        offers.lock_revision(session, opening.link.revision_id)
        read = _read(session, opening, now, ticked)
        card = read.card
        if card.was_signed is not None:
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
        _refuse_before_its_time(session, read, needs_code=needs_code)
        revision = replace(_revision(card), fingerprint=read.fingerprint)
        given = rules.sign(revision, newest, request, read.today, None)
        if isinstance(given, Refusal):
            raise Refused(given.text)
        total = read_results(read.results).estimate.total
        kept = evidence_of(session, opening, card, read.inputs, total, read.fingerprint, drawn, now)
        given = replace(given, options=read.inputs.ticked, fingerprint=read.fingerprint, evidence=kept)
        offers.add_sign_off(session, card.id, opening.link.id, read.fingerprint, given)
        _keep_ticked(session, read, given.name, now)
        links.add_event(session, opening.link.id, "signed", now)
        stored = jobs.find_job(session, card.job_id, for_change=True)
        assert stored is not None
        if stored.state == "offered":
            jobs.put_state(session, card.job_id, "signed", now)
        with_options = f" with {', '.join(given.options)}" if given.options else ""
        seal = signed.seal_in(session, card.id)[: signed.SEAL_SHOWN]
        mark = read.fingerprint[:12]
        what = f"signed revision {card.number}{with_options}, fingerprint {mark}, seal {seal}"
        audit.note(session, now, f"client: {given.name}", what, subject(card.job_id))
        return _view(session, _read(session, opening, now))


def consent_to_records(db: Database, cookie: str, now: datetime) -> None:
    """Note the client's consent to electronic records, given on opening the proposal; LinkClosed."""
    with db.write() as session:
        opening = open_link(session, cookie, now)
        links.consent_to_records(session, opening, now)
        what = "consented to electronic records"
        audit.note(session, now, "client", what, subject(opening.job_id))


def decline(db: Database, cookie: str, reason: str, now: datetime) -> OfferView:
    """Decline the offer with a reason; declining again changes nothing. Refused, LinkClosed."""
    refuse_numbers(reason)
    with db.write() as session:
        opening = open_link(session, cookie, now)
        offers.lock_revision(session, opening.link.revision_id)
        card = _read(session, opening, now).card
        if card.declined_at is None:
            _refuse_closed(card)
            offers.decline(session, card.id, reason.strip()[:2000], now)
            links.add_event(session, opening.link.id, "declined", now)
            what = f"declined revision {card.number}: {reason.strip()[:400] or 'no reason given'}"
            audit.note(session, now, "client", what, subject(card.job_id))
        return _view(session, _read(session, opening, now))


def _read(
    session: Session, opening: Opening, now: datetime, ticked: tuple[str, ...] | None = None
) -> _Reading:
    """Read what a link leads to, as it stands on the site's own day, with options ticked or as signed."""
    revision_id = opening.link.revision_id
    base = offers.frozen_with(session, revision_id, "")
    assert base is not None
    plain = read_inputs(base.inputs)
    today = day_at(now, plain.time_zone)
    card = offers.find_revision(session, revision_id, today)
    assert card is not None
    wanted = card.was_signed.options if card.was_signed else tuple(ticked or ())
    if not wanted:
        return _Reading(opening, card, plain, base.results, base.fingerprint, today)
    options = plain.pricing.options
    codes = tuple(option.code for option in options if option.code in wanted)
    if set(codes) != set(wanted) or not is_possible(options, codes):
        raise Refused(_why_apart(options, wanted))
    frozen = offers.frozen_with(session, revision_id, "+".join(codes))
    if frozen is None:
        raise Refused("This combination was not offered. Ask the firm.")
    inputs = read_inputs(frozen.inputs)
    return _Reading(opening, card, inputs, frozen.results, frozen.fingerprint, today)


def _why_apart(options: tuple[Option, ...], wanted: tuple[str, ...]) -> str:
    """Say why options do not go together."""
    name = {option.code: option.name for option in options}
    for option in options:
        if option.code not in wanted:
            continue
        missing = [name[code] for code in option.needs if code not in wanted]
        if missing:
            return f"{option.name} comes only together with {', '.join(missing)}."
        against = [name[code] for code in option.excludes if code in wanted]
        if against:
            return f"{option.name} and {', '.join(against)} do not go together; tick one of them."
    return "There is no such option in this proposal."


def _refuse_before_its_time(session: Session, read: _Reading, *, needs_code: bool) -> None:
    """Refuse a signature that something must come before."""
    visit = links.visit_of(session, read.opening)
    if read.inputs.terms.asks_records_consent and visit.records_consent_at is None:
        raise Refused("First say that you agree to electronic records, or ask the firm for paper.")
    if needs_code and visit.code_given_at is None:
        raise Refused("First enter the code that was sent to your e-mail address.")


def _keep_ticked(session: Session, read: _Reading, name: str, now: datetime) -> None:
    """Build the job with the options that were signed, as far as they stand in it still."""
    pricing, version = read_pricing(session, read.card.job_id)
    known = {option.code for option in pricing.options}
    ticked = tuple(code for code in read.inputs.ticked if code in known)
    if ticked != pricing.ticked:
        chosen = replace(pricing, ticked=ticked)
        add_pricing(session, read.card.job_id, version + 1, chosen, f"client: {name}", now)


def _refuse_closed(card: RevisionCard) -> None:
    if card.cancelled is not None:
        raise Refused("The proposal was cancelled. Ask the firm for a new one.")
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
    estimate, detail = results.estimate, inputs.pricing.detail
    visit = links.visit_of(session, read.opening)
    clock, names = clock_of(session, card, inputs, read.today), _names_in(inputs.job)
    return OfferView(
        firm=inputs.firm,
        client=inputs.client,
        job_number=inputs.job_number,
        job_title=str(inputs.job["title"]),
        revision=_revision(card, results.stages),
        document_sha256=card.document_sha256,
        state=card.state,
        phases=_rows(shown_phases(estimate)) if detail == "phase" else (),
        price=estimate.price,
        contract_tax=estimate.contract_tax,
        total=estimate.total,
        taxes=estimate.taxes if has_tax_inside(estimate) else (),
        start_on=results.days.start_on,
        end_on=results.days.end_on,
        stages=results.stages,
        wording=inputs.wording,
        cautions=client_cautions(results.findings, names),
        plan_svg=results.plan_svg,
        sign_off=card.was_signed,
        declined_at=card.declined_at,
        can_sign=not why_not,
        why_not=why_not,
        expires_at=read.opening.link.expires_at,
        detail=detail,
        lines=_rows(shown_lines(estimate)) if detail == "line" else (),
        options=_options(session, read, estimate.total),
        ticked=inputs.ticked,
        fingerprint=read.fingerprint,
        terms=inputs.terms,
        working_days=len(results.days.days),
        dead_kg=results.dead_kg,
        wants_records_consent=inputs.terms.asks_records_consent and visit.records_consent_at is None,
        has_code=visit.code_given_at is not None,
        cancel_until=clock.last_day_on if clock else None,
        clock=clock,
        counter_sign=card.counter_sign,
        cancelled=card.cancelled,
        parts=results.parts,
        walls=results.walls,
        night_svg=results.night_svg,
        findings=results.findings,
        assumptions=results.assumptions + results.days.assumptions,
        tasks=tuple((one.task.name, one.start_on, one.end_on) for one in results.days.tasks),
        typed=frozenset(names.values()),
        said=questions.list_questions(session, card.job_id),
        needs_code=mail.read_server(session) is not None,
        cancel_by=if_signed_on(inputs, read.today),
    )


def _rows(shown: Iterable[tuple[str, Decimal]]) -> tuple[OfferPhase, ...]:
    return tuple(OfferPhase(name, price) for name, price in shown)


def _names_in(document: dict[str, Any]) -> dict[str, str]:
    """Give the names that things of the plan were given, by their ids."""
    plan = document.get("plan", {})
    things = (thing for group in plan.values() if isinstance(group, list) for thing in group)
    named = (thing for thing in things if isinstance(thing, dict) and thing.get("name"))
    return {str(thing.get("id", "")): str(thing["name"]) for thing in named}


def _options(session: Session, read: _Reading, total: Decimal) -> tuple[OfferOption, ...]:
    """Every option, and what ticking or unticking it would add to what is shown."""
    options = read.inputs.pricing.options
    if not options:
        return ()
    totals = {"": _base_total(session, read)}
    for codes, _, text in offers.combinations_of(session, read.card.id):
        totals[codes] = _total_of(text)
    shown = []
    for option in options:
        other = set(read.inputs.ticked) ^ {option.code}
        key = "+".join(one.code for one in options if one.code in other)
        more = totals[key] - total if key in totals else None
        is_ticked = option.code in read.inputs.ticked
        shown.append(
            OfferOption(option.code, option.name, option.text, is_ticked, more, option.needs, option.excludes)
        )
    return tuple(shown)


@lru_cache(maxsize=256)
def _total_of(text: str) -> Decimal:
    return Decimal(json.loads(text)["results"]["estimate"]["total"])


def _base_total(session: Session, read: _Reading) -> Decimal:
    base = offers.frozen_with(session, read.card.id, "")
    assert base is not None
    return Decimal(json.loads(base.results)["estimate"]["total"])
