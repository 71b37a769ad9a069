"""Jobs: the list, one sheet, a new one, its state."""

import json
import re
from datetime import datetime
from typing import Any

from app.actions.clock import day_of
from app.actions.database import Database
from app.actions.errors import NotFound
from app.actions.job_file import as_text, read_document
from app.actions.records import JobCard, JobSheet, JobState, StaffMember
from app.actions.starting import starting_document
from app.agreement.states import check_move
from app.store import audit, clients, jobs, shop
from app.store.records import StoredJob


def list_jobs(db: Database) -> tuple[JobCard, ...]:
    """All jobs, the last changed first."""
    with db.read() as session:
        return jobs.list_jobs(session)


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
    job = read_document(whole)
    state: JobState = "enquiry" if document is None else "surveyed"
    with db.write() as session:
        if clients.find_client(session, client_id) is None:
            raise NotFound("client", client_id)
        job_id = jobs.add_job(session, client_id, job.title, as_text(whole), state, now)
        audit.note(session, now, staff.name, f"added job {job.title}", subject(job_id), (None, 1))
    return job_id


def job_sheet(db: Database, job_id: int) -> JobSheet:
    """One job whole; NotFound."""
    with db.read() as session:
        stored = jobs.find_job(session, job_id)
        history = audit.trail(session, subject(job_id))
    if stored is None:
        raise NotFound("job", job_id)
    document = json.loads(stored.document)
    return JobSheet(
        id=stored.id,
        number=stored.number,
        title=stored.title,
        client=stored.client,
        state=stored.state,
        version=stored.version,
        document=document,
        document_sha256=stored.document_sha256,
        job=read_document(document),
        crew_code=stored.crew_code,
        start_on=stored.start_on,
        history=history,
    )


def set_state(db: Database, staff: StaffMember, job_id: int, state: JobState, now: datetime) -> None:
    """Move a job to another state; Refused when the order of work forbids it."""
    with db.write() as session:
        stored = found(jobs.find_job(session, job_id, for_change=True), job_id)
        if stored.state == state:
            return
        check_move(stored.state, state)
        jobs.put_state(session, job_id, state, now)
        versions = (stored.version, stored.version)
        audit.note(session, now, staff.name, f"{stored.state} → {state}", subject(job_id), versions)


def let_go(db: Database, staff: StaffMember, job_id: int, reason: str, now: datetime) -> None:
    """Let a job go, with the reason."""
    with db.write() as session:
        stored = found(jobs.find_job(session, job_id, for_change=True), job_id)
        check_move(stored.state, "let go")
        jobs.put_state(session, job_id, "let go", now)
        what = f"{stored.state} → let go: {reason.strip() or 'no reason given'}"
        audit.note(session, now, staff.name, what, subject(job_id), (stored.version, stored.version))


def subject(job_id: int) -> str:
    """Give a job's name in the trail."""
    return f"job:{job_id}"


def found(stored: StoredJob | None, job_id: int) -> StoredJob:
    """Give the job, or raise NotFound."""
    if stored is None:
        raise NotFound("job", job_id)
    return stored
