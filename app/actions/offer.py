"""Offering: a frozen revision, and the client's link to it."""

import hashlib
from datetime import UTC, date, datetime, timedelta
from importlib.metadata import version

from app.actions.clock import day_at, day_of, zone_of
from app.actions.database import Database
from app.actions.errors import NotFound, Refused, Saved, StaleSave
from app.actions.facts import is_measured, stops_of
from app.actions.frozen import FrozenInputs, FrozenResults, as_text
from app.actions.records import (
    LinkCard,
    ProposalInputs,
    Renderer,
    RevisionCard,
    Shop,
    StaffMember,
    WorkedOut,
)
from app.actions.sheet import found, job_sheet, subject
from app.actions.takeoff import shop_of, work_out_sheet
from app.actions.tokens import new_token, token_hash
from app.agreement.records import Party
from app.agreement.revision import make_revision
from app.agreement.stages import DEPOSIT_CAPS, payment_stages
from app.agreement.wording import gaps
from app.drawings.plan import plan_svg
from app.store import audit, jobs, offers
from app.store import links as link_store
from app.store.records import NewRevision

LONGEST_LINK_DAYS = 90
# A change offered after signing is a revision of its own and moves the job no way back.
_STAYS = ("signed", "on the roof")
_CLOSED = ("handed over", "let go")


def offer(db: Database, staff: StaffMember, job_id: int, now: datetime, renderer: Renderer) -> RevisionCard:
    """Freeze inputs, results and PDF as the next revision.

    Refused while a *stop* stands, or when the job is closed; StaleSave when the job was changed while the
    PDF was being printed.
    """
    sheet = job_sheet(db, job_id)
    today = day_at(now, zone_of(sheet.job))
    if sheet.state in _CLOSED:
        raise Refused(f"The job is {sheet.state}; it is not offered any more.")
    if not is_measured(sheet):
        raise Refused("The roof is not measured yet: put a name to the survey first.")
    book, firm = shop_of(db, today, sheet.job)
    worked = work_out_sheet(sheet, book, firm, today)
    stops = stops_of(worked)
    if stops:
        raise Refused("Settle what stops the job before offering it.", stops)
    missing = gaps(firm.wording)
    if missing:
        raise Refused("The shop's wording is not whole; a proposal needs every text.", missing)
    with db.read() as session:
        number = offers.next_number(session, job_id)
    new, card_text = freeze(worked, firm, number, now, renderer)
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
    worked: WorkedOut, firm: Shop, number: int, now: datetime, renderer: Renderer
) -> tuple[NewRevision, str]:
    """Print a proposal and give all that is kept of it, and the sentence for the trail."""
    sheet, answer, today, rules = worked.sheet, worked.answer, worked.today, firm.rules
    estimate = answer.estimate
    client = Party(sheet.client.name, sheet.client.address, sheet.client.phone, sheet.client.email)
    inputs = FrozenInputs(
        package_version=version("upstand"),
        job_number=sheet.number,
        job=sheet.document,
        prices=worked.prices,
        crew=worked.crew,
        calendar=worked.calendar,
        start_on=worked.start_on,
        today=today,
        firm=firm.firm,
        client=client,
        site_address=sheet.client.address,
        wording=firm.wording,
        time_zone=zone_of(sheet.job),
    )
    cap = next((cap for cap in DEPOSIT_CAPS if cap.code == firm.deposit_cap), None)
    results = FrozenResults(
        stages=payment_stages(estimate.total, estimate.phases, rules.deposit_pct, rules.holdback_pct, cap),
        estimate=estimate,
        days=answer.days,
        quantities=answer.takeoff.totals.quantities,
        findings=answer.takeoff.findings,
        assumptions=answer.takeoff.assumptions,
        plan_svg=plan_svg(sheet.job, answer.takeoff, sheet.job.units),
    )
    try:
        revision = make_revision(number, today, estimate, rules, {"inputs": inputs, "results": results}, cap)
    except ValueError as fault:
        raise Refused(str(fault)) from fault
    pdf = renderer(
        ProposalInputs(
            firm.firm, client, sheet.job, sheet.number, answer, revision, firm.wording, sheet.client.address
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
    )
    mark = revision.fingerprint[:12]
    return new, f"offered revision {number}: {revision.total} {revision.currency}, fingerprint {mark}"


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
