"""Handover: what the file holds, what it lacks, and the papers put on file."""

from datetime import date, datetime

from app.actions.database import Database
from app.actions.errors import NotFound
from app.actions.records import Completeness, StaffMember
from app.actions.rough_in import run_checks_of
from app.actions.sheet import found, subject
from app.actions.takeoff import work_out
from app.build.handover import PAPERS, HandoverFacts, handover_list, is_complete
from app.build.hold_points import hold_points
from app.build.punch_list import punch_state
from app.build.records import HoldSignature, PunchItem
from app.build.run_checks import open_runs
from app.store import audit, jobs, offers, site
from app.store.records import Paper


def completeness(db: Database, job_id: int, today: date) -> Completeness:
    """What the handover file holds and what it lacks."""
    worked = work_out(db, job_id, today)
    with db.read() as session:
        cards = offers.list_revisions(session, job_id, today)
        released = site.releases(session, job_id).values()
        punch = site.punch_list(session, job_id)
        papers = site.papers(session, job_id)
    signatures = [HoldSignature(one.code, one.name, one.at, one.note) for one in released]
    listed = [
        PunchItem(str(one.id), one.text, one.place, one.added_on, one.due_on, one.closed_on) for one in punch
    ]
    facts = HandoverFacts(
        is_signed=any(card.sign_off for card in cards),
        bases=frozenset(one.basis for one in worked.answer.takeoff.totals.quantities if one.amount),
        papers=frozenset(paper.code for paper in papers),
        hold_points=hold_points(worked.answer.days, signatures, today),
        punch=punch_state(listed, today),
        has_runs=bool(worked.answer.takeoff.rough_in.runs),
        open_runs=open_runs(run_checks_of(db, worked)),
    )
    items = handover_list(facts)
    return Completeness(
        is_complete=is_complete(items),
        present=tuple(item.text for item in items if item.is_present),
        missing=tuple(item.text for item in items if not item.is_present),
        items=items,
        papers=papers,
    )


def put_paper(db: Database, staff: StaffMember, job_id: int, code: str, note: str, now: datetime) -> None:
    """Note that a paper is on file, and where; NotFound when the list knows no such paper."""
    if code not in {known for known, _, _ in PAPERS}:
        raise NotFound("paper", code)
    with db.write() as session:
        found(jobs.find_job(session, job_id, for_change=True), job_id)
        site.put_paper(session, job_id, Paper(code, note.strip()[:400], now, staff.name))
        audit.note(session, now, staff.name, f"put {code} on file", subject(job_id))


def take_paper(db: Database, staff: StaffMember, job_id: int, code: str, now: datetime) -> None:
    """Take the note back; nothing happens when there was none."""
    with db.write() as session:
        found(jobs.find_job(session, job_id, for_change=True), job_id)
        if code in {paper.code for paper in site.papers(session, job_id)}:
            site.take_paper(session, job_id, code)
            audit.note(session, now, staff.name, f"took {code} off the file", subject(job_id))
