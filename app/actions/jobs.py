"""Jobs: the list, one sheet, a new one, its state."""

from datetime import datetime
from typing import Any

from app.actions.database import Database
from app.actions.records import JobCard, JobSheet, JobState, StaffMember


def list_jobs(db: Database) -> tuple[JobCard, ...]:
    """All jobs, the last changed first."""
    raise NotImplementedError


def add_job(
    db: Database,
    staff: StaffMember,
    client_id: int,
    title: str,
    document: dict[str, Any] | None,
    now: datetime,
) -> int:
    """Add a job and give its id; without a document it starts with a small survey to be measured."""
    raise NotImplementedError


def job_sheet(db: Database, job_id: int) -> JobSheet:
    """One job whole; NotFound."""
    raise NotImplementedError


def set_state(db: Database, staff: StaffMember, job_id: int, state: JobState, now: datetime) -> None:
    """Move a job to another state; Refused when the order of work forbids it."""
    raise NotImplementedError


def let_go(db: Database, staff: StaffMember, job_id: int, reason: str, now: datetime) -> None:
    """Let a job go, with the reason."""
    raise NotImplementedError
