"""One job as it stands in the database."""

import json
from collections.abc import Sequence
from functools import lru_cache

from app.actions.database import Database
from app.actions.errors import NotFound
from app.actions.records import JobSheet
from app.job.errors import InputErrors
from app.job.file import read_job
from app.job.job import Job
from app.pricing.job_pricing import JobPricing
from app.store import audit, jobs
from app.store.job_pricing import read_pricing
from app.store.plan_facts import jobs_with_pricing
from app.store.records import AuditEntry, StoredJob


def job_sheet(db: Database, job_id: int, *, with_history: bool = True) -> JobSheet:
    """One job whole, on wish but for its history; NotFound."""
    with db.look() as connection:
        stored = jobs.look_at_job(connection, job_id)
        history = audit.trail(connection, subject(job_id)) if with_history else ()
        pricing, pricing_version = read_pricing(connection, job_id)
    if stored is None:
        raise NotFound("job", job_id)
    return _sheet(stored, pricing, pricing_version, history)


def sheets_to_plan(
    db: Database, job_ids: Sequence[int]
) -> tuple[tuple[JobSheet, ...], tuple[tuple[StoredJob, InputErrors], ...]]:
    """Some jobs whole but for their history, and apart those whose file cannot be read, with why; by id."""
    with db.read() as session:
        stored = jobs_with_pricing(session, job_ids)
    sheets, unreadable = [], []
    for one, pricing, version in stored:
        try:
            sheets.append(_sheet(one, pricing, version, ()))
        except InputErrors as faults:
            unreadable.append((one, faults))
    return tuple(sheets), tuple(unreadable)


def _sheet(
    stored: StoredJob, pricing: JobPricing, pricing_version: int, history: tuple[AuditEntry, ...]
) -> JobSheet:
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
        job=_job_of(stored.document),
        crew_code=stored.crew_code,
        start_on=stored.start_on,
        history=history,
        pricing=pricing,
        pricing_version=pricing_version,
    )


def subject(job_id: int) -> str:
    """Give a job's name in the trail."""
    return f"job:{job_id}"


def found(stored: StoredJob | None, job_id: int) -> StoredJob:
    """Give the job, or raise NotFound."""
    if stored is None:
        raise NotFound("job", job_id)
    return stored


@lru_cache(maxsize=512)
def _job_of(text: str) -> Job:
    """Read a job file; its records are frozen, so that pages may share what one text says."""
    return read_job(json.loads(text))
