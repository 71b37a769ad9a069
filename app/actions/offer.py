"""Offering: a frozen revision, and the client's link to it."""

import hashlib
from collections.abc import Mapping
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from decimal import Decimal
from importlib.metadata import version

from app.actions.cancel import last_days, rule_of
from app.actions.clock import day_at, day_of, zone_of
from app.actions.database import Database
from app.actions.errors import NotFound, Refused, Saved, StaleSave
from app.actions.facts import is_measured, stops_of
from app.actions.frozen import FrozenInputs, FrozenResults, as_text, both, read_results
from app.actions.offer_page import Unsaid, points_of, spoken, unsaid_points
from app.actions.options import combined, names_of
from app.actions.records import (
    JobSheet,
    LinkCard,
    ProposalInputs,
    Renderer,
    RevisionCard,
    Shop,
    StaffMember,
    WorkedOut,
)
from app.actions.sheet import found, job_sheet, subject
from app.actions.takeoff import shop_of
from app.actions.tokens import new_token, token_hash
from app.agreement.fingerprint import fingerprint_of_text
from app.agreement.records import Party
from app.agreement.revision import make_revision
from app.agreement.stages import DEPOSIT_CAPS, DepositCap, cap_for_job, payment_stages
from app.agreement.terms import Language
from app.agreement.wording import gaps
from app.documents.parts import parts_of
from app.documents.records import Earlier, OfferedCombination, OfferedOption
from app.drawings.night import night_svg
from app.drawings.plan import plan_svg
from app.drawings.walls import wall_svgs
from app.job.errors import InputErrors
from app.pricing.job_pricing import JobPricing
from app.pricing.options import combinations_of
from app.pricing.records import PriceBook
from app.pricing.rule_parts import TaxShown
from app.pricing.shown import shown_phases
from app.store import audit, jobs, offers
from app.store import links as link_store
from app.store.records import NewCombination, NewRevision
from app.store.sessions import Session

LONGEST_LINK_DAYS = 90
# A change offered after signing is a revision of its own and moves the job no way back.
_STAYS = ("signed", "on the roof")
_CLOSED = ("handed over", "let go")
Combinations = tuple[tuple[tuple[str, ...], WorkedOut], ...]


def offer(
    db: Database,
    staff: StaffMember,
    job_id: int,
    now: datetime,
    renderer: Renderer,
    *,
    reasons: Mapping[int, str] | None = None,
    language: Language | None = None,
) -> RevisionCard:
    """Freeze inputs, results and PDF as the next revision, in a language.

    Refused while a *stop* stands, when the job is closed, or when a point of the checklist is missing and no
    reason is given for it; StaleSave when the job was changed while the PDF was being printed.
    """
    sheet = job_sheet(db, job_id)
    today = day_at(now, zone_of(sheet.job))
    if sheet.state in _CLOSED:
        raise Refused(f"The job is {sheet.state}; it is not offered any more.")
    if not is_measured(sheet):
        raise Refused("The roof is not measured yet: put a name to the survey first.")
    book, firm = shop_of(db, today, sheet.job)
    firm = spoken(firm, language or firm.terms.language)
    worked, others = _every_combination(sheet, book, firm, today)
    missing = gaps(firm.wording)
    if missing:
        named = "" if firm.terms.language == "en" else f" in the language {firm.terms.language}"
        raise Refused(f"The shop's wording is not whole{named}; a proposal needs every text.", missing)
    unsaid = unsaid_points(points_of(worked, firm), firm.terms.not_needed, reasons or {})
    with db.read() as session:
        number = offers.next_number(session, job_id)
        earlier = _earlier(session, job_id, today, worked.answer.estimate.tax_shown)
    new, card_text = freeze(worked, firm, number, now, renderer, others, earlier, unsaid)
    with db.write() as session:
        stored = found(jobs.find_job(session, job_id, for_change=True), job_id)
        if stored.version != sheet.version or offers.next_number(session, job_id) != number:
            by = audit.who_saved(session, subject(job_id), stored.version)
            raise StaleSave(Saved(stored.version, by, {}), Saved(sheet.version, staff.name, {}))
        revision_id = offers.add_revision(session, job_id, number, staff.name, new)
        if stored.state not in _STAYS:
            jobs.put_state(session, job_id, "offered", now)
        audit.note(session, now, staff.name, card_text, subject(job_id), (stored.version, stored.version))
        card = offers.find_revision(session, revision_id, today)
    assert card is not None
    return card


def freeze(
    worked: WorkedOut,
    firm: Shop,
    number: int,
    now: datetime,
    renderer: Renderer,
    others: Combinations = (),
    earlier: Earlier | None = None,
    unsaid: Unsaid = (),
) -> tuple[NewRevision, str]:
    """Print a proposal and give all that is kept of it, and the sentence for the trail."""
    sheet, answer, today = worked.sheet, worked.answer, worked.today
    inputs, results = _inputs(worked, firm, (), unsaid), _results(worked, firm)
    frozen = {"inputs": inputs, "results": results}
    try:
        revision = make_revision(
            number, today, answer.estimate, firm.rules, frozen, cap_of(firm, sheet.pricing)
        )
    except ValueError as fault:
        raise Refused(str(fault)) from fault
    kept = tuple(_combination(other, firm, codes, answer.estimate.total, unsaid) for codes, other in others)
    rule = rule_of(firm)
    pdf = renderer(
        ProposalInputs(
            firm=firm.firm,
            client=inputs.client,
            job=sheet.job,
            job_number=sheet.number,
            answer=answer,
            revision=revision,
            wording=firm.wording,
            site_address=sheet.client.address,
            detail=sheet.pricing.detail,
            options=tuple(OfferedOption(o.code, o.name, o.text) for o in sheet.pricing.options),
            combinations=tuple(shown for _, shown in kept),
            terms=firm.terms,
            withdrawal=rule,
            cancel_by=last_days(rule, (today, revision.valid_until_on)),
            earlier=earlier,
            unsaid=unsaid,
        )
    )
    new = NewRevision(
        offered_at=now,
        offered_on=today,
        valid_until_on=revision.valid_until_on,
        total=revision.total,
        currency=revision.currency,
        fingerprint=revision.fingerprint,
        inputs=as_text(inputs),
        results=as_text(results),
        pdf=pdf,
        document_sha256=hashlib.sha256(pdf).hexdigest(),
        combinations=tuple(frozen for frozen, _ in kept),
    )
    mark = revision.fingerprint[:12]
    return new, f"offered revision {number}: {revision.total} {revision.currency}, fingerprint {mark}"


def cap_of(firm: Shop, pricing: JobPricing) -> DepositCap | None:
    """Give the cap on deposits that the firm chose, for one job, or None."""
    cap = next((cap for cap in DEPOSIT_CAPS if cap.code == firm.deposit_cap), None)
    return cap_for_job(cap, pricing.special_orders)


def _every_combination(
    sheet: JobSheet, book: PriceBook, firm: Shop, today: date
) -> tuple[WorkedOut, Combinations]:
    """Work out the offer without options and with every combination; Refused when one cannot be offered."""
    found = []
    for codes in combinations_of(sheet.pricing.options):
        named = " with " + ", ".join(names_of(sheet.pricing.options, codes)) if codes else ""
        try:
            worked = combined(sheet, codes, book, firm, today)
        except InputErrors as wrong:
            details = tuple(f"{fault.path}: {fault.wanted}" for fault in wrong.errors)
            raise Refused(f"The job{named} cannot be worked out.", details) from wrong
        stops = stops_of(worked)
        if stops:
            raise Refused(f"Settle what stops the job{named} before offering it.", stops)
        # The options stay with every combination, so that what was offered is told whole.
        whole = replace(worked, sheet=replace(worked.sheet, pricing=sheet.pricing))
        found.append((codes, whole))
    return found[0][1], tuple(found[1:])


def _inputs(worked: WorkedOut, firm: Shop, codes: tuple[str, ...], unsaid: Unsaid) -> FrozenInputs:
    sheet = worked.sheet
    return FrozenInputs(
        package_version=version("upstand"),
        job_number=sheet.number,
        job=sheet.document,
        prices=worked.prices,
        crew=worked.crew,
        calendar=worked.calendar,
        start_on=worked.start_on,
        today=worked.today,
        firm=firm.firm,
        client=Party(sheet.client.name, sheet.client.address, sheet.client.phone, sheet.client.email),
        site_address=sheet.client.address,
        wording=firm.wording,
        time_zone=zone_of(sheet.job),
        pricing=sheet.pricing,
        ticked=codes,
        withdrawal=firm.withdrawal,
        terms=firm.terms,
        clock=rule_of(firm),
        unsaid=unsaid,
    )


def _results(worked: WorkedOut, firm: Shop) -> FrozenResults:
    answer, rules, job = worked.answer, firm.rules, worked.sheet.job
    cap = cap_of(firm, worked.sheet.pricing)
    total, phases = answer.estimate.total, answer.estimate.phases
    return FrozenResults(
        stages=payment_stages(total, phases, rules.deposit_pct, rules.holdback_pct, cap),
        estimate=answer.estimate,
        days=answer.days,
        quantities=answer.takeoff.totals.quantities,
        findings=answer.takeoff.findings,
        assumptions=answer.takeoff.assumptions,
        plan_svg=plan_svg(job, answer.takeoff, job.units),
        dead_kg=answer.takeoff.totals.dead_kg,
        parts=tuple((part.name, part.text) for part in parts_of(job, answer.takeoff.layout)),
        walls=tuple(wall_svgs(job, answer.takeoff, job.units)),
        night_svg=night_svg(job, answer.takeoff, job.units) if job.plan.fixtures else "",
    )


def _combination(
    worked: WorkedOut, firm: Shop, codes: tuple[str, ...], base_total: Decimal, unsaid: Unsaid
) -> tuple[NewCombination, OfferedCombination]:
    """Freeze one combination, and give what the proposal prints of it."""
    text = both(as_text(_inputs(worked, firm, codes, unsaid)), as_text(_results(worked, firm)))
    mark = fingerprint_of_text(text)
    answer = worked.answer
    shown = OfferedCombination(
        names=names_of(worked.sheet.pricing.options, codes),
        total=answer.estimate.total,
        more=answer.estimate.total - base_total,
        working_days=len(answer.days.days),
        dead_kg=answer.takeoff.totals.dead_kg,
        fingerprint=mark,
    )
    return NewCombination("+".join(codes), mark, text), shown


def _earlier(session: Session, job_id: int, today: date, tax_shown: TaxShown) -> Earlier | None:
    """Give the newest revision there is, for the page of changes, its prices shown as those of this one."""
    cards = offers.list_revisions(session, job_id, today)
    frozen = offers.frozen_with(session, cards[0].id) if cards else None
    if frozen is None:
        return None
    then = read_results(frozen.results)
    phases = shown_phases(replace(then.estimate, tax_shown=tax_shown))
    return Earlier(cards[0].number, cards[0].offered_on, then.estimate.total, phases, then.plan_svg)


def revisions(db: Database, job_id: int, today: date | None = None) -> tuple[RevisionCard, ...]:
    """All revisions of a job, newest first; without a day none is called run out."""
    with db.read() as session:
        return offers.list_revisions(session, job_id, today or date.min)


def revision_pdf(db: Database, revision_id: int) -> bytes:
    """The PDF exactly as it was offered; NotFound."""
    with db.read() as session:
        pdf = offers.pdf_of(session, revision_id)
    if pdf is None:
        raise NotFound("revision", revision_id)
    return pdf


def make_link(db: Database, staff: StaffMember, revision_id: int, days_valid: int, now: datetime) -> str:
    """Make a client's link and give its token, shown this once; Refused, NotFound."""
    if not 1 <= days_valid <= LONGEST_LINK_DAYS:
        raise Refused(f"A link is open for 1 to {LONGEST_LINK_DAYS} days, not {days_valid}.")
    token = new_token()
    with db.write() as session:
        card = offers.find_revision(session, revision_id, day_of(now))
        if card is None:
            raise NotFound("revision", revision_id)
        if card.state not in {"live", "signed"}:
            raise Refused(f"Revision {card.number} is {card.state}; make the link for one that holds.")
        expires_at = now + timedelta(days=days_valid)
        link_id = link_store.add_link(session, revision_id, token_hash(token), staff.name, now, expires_at)
        what = f"made link {link_id} to revision {card.number}, open until {expires_at:%Y-%m-%d %H:%M} UTC"
        audit.note(session, now, staff.name, what, subject(card.job_id))
    return token


def links(db: Database, job_id: int, now: datetime | None = None) -> tuple[LinkCard, ...]:
    """All links of a job, newest first; without an instant none is called expired."""
    with db.read() as session:
        return link_store.list_links(session, job_id, now or datetime.min.replace(tzinfo=UTC))


def revoke_link(db: Database, staff: StaffMember, link_id: int, now: datetime) -> None:
    """Withdraw one link at once; browsers that opened it are shut out too. NotFound."""
    with db.write() as session:
        opening = link_store.find_link(session, link_id, now)
        if opening is None:
            raise NotFound("link", link_id)
        link_store.revoke(session, link_id, now)
        audit.note(session, now, staff.name, f"withdrew link {link_id}", subject(opening.job_id))
