"""Jobs: the list, one sheet, a new one, its state."""

import re
from datetime import datetime
from typing import Any

from app.actions.clock import day_of
from app.actions.database import Database
from app.actions.errors import NotFound, Refused
from app.actions.facts import facts_for
from app.actions.job_file import as_text
from app.actions.never_kept import refuse_numbers, refuse_numbers_in
from app.actions.records import JobCard, JobPage, JobState, StaffMember
from app.actions.sheet import found, job_sheet, subject
from app.actions.starting import starting_document
from app.agreement.states import why_not
from app.job.file import read_job
from app.store import audit, clients, jobs, shop

__all__ = ["add_job", "find_jobs", "job_sheet", "jobs_of_client", "let_go", "list_jobs", "set_state"]
PAGE_ROWS = 50


def list_jobs(db: Database) -> tuple[JobCard, ...]:
    """All jobs, the last changed first."""
    with db.read() as session:
        return jobs.list_jobs(session)


def jobs_of_client(db: Database, client_id: int) -> tuple[JobCard, ...]:
    """All jobs of one client, the last changed first."""
    with db.read() as session:
        return jobs.list_jobs(session, client_id=client_id)


def find_jobs(db: Database, search: str = "", page: int = 1) -> JobPage:
    """One page of the jobs that match words of title, client, state or number, the last changed first."""
    page = max(1, page)
    with db.read() as session:
        rows = jobs.list_jobs(session, search=search, rows=((page - 1) * PAGE_ROWS, PAGE_ROWS))
        # A first page that is not full tells itself how many there are.
        found = len(rows)
        if page > 1 or found == PAGE_ROWS:
            found = jobs.count_found(session, search)
        pages = max(1, -(-found // PAGE_ROWS))
        if page > pages:
            page = pages
            rows = jobs.list_jobs(session, search=search, rows=((page - 1) * PAGE_ROWS, PAGE_ROWS))
    return JobPage(rows, search, page, pages, found)


def add_job(
    db: Database,
    staff: StaffMember,
    client_id: int,
    title: str,
    document: dict[str, Any] | None,
    now: datetime,
) -> int:
    """Add a job and give its id; without a document it starts with a small roof to be measured.

    InputErrors when the document cannot be read, NotFound when there is no such client.
    """
    with db.read() as session:
        currency = shop.read_rules(session).currency if shop.has_shop(session) else "USD"
    slug = re.sub(r"[^a-z0-9]+", "-", title.lower()).strip("-")[:40].strip("-") or "job"
    whole = document or starting_document(slug, title.strip(), day_of(now), currency)
    if title.strip():
        whole = {**whole, "title": title.strip()}
    job = read_job(whole)
    refuse_numbers_in(whole)
    state: JobState = "enquiry" if document is None else "surveyed"
    with db.write() as session:
        if clients.find_client(session, client_id) is None:
            raise NotFound("client", client_id)
        job_id = jobs.add_job(session, client_id, job.title, as_text(whole), state, now)
        audit.note(session, now, staff.name, f"added job {job.title}", subject(job_id), (None, 1))
    return job_id


def set_state(db: Database, staff: StaffMember, job_id: int, state: JobState, now: datetime) -> None:
    """Move a job to another state; Refused when the order of work forbids it."""
    _move(db, staff, job_id, state, now, "")


def let_go(db: Database, staff: StaffMember, job_id: int, reason: str, now: datetime) -> None:
    """Let a job go, with the reason; Refused without one."""
    _move(db, staff, job_id, "let go", now, reason)


def _move(db: Database, staff: StaffMember, job_id: int, state: JobState, now: datetime, reason: str) -> None:
    refuse_numbers(reason)
    sheet = job_sheet(db, job_id)
    refusal = why_not(sheet.state, state, facts_for(db, sheet, state, day_of(now), reason))
    if refusal:
        raise Refused(refusal)
    with db.write() as session:
        stored = found(jobs.find_job(session, job_id, for_change=True), job_id)
        if (stored.state, stored.version) != (sheet.state, sheet.version):
            raise Refused("Somebody changed the job at the same moment. Look at it again, then move it.")
        jobs.put_state(session, job_id, state, now)
        what = f"{stored.state} → {state}" + (f": {reason.strip()}" if reason.strip() else "")
        audit.note(session, now, staff.name, what, subject(job_id), (stored.version, stored.version))
