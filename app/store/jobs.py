"""Jobs: the job file as typed, its version, its state, who builds it and from when."""

import hashlib
from collections.abc import Iterator
from datetime import date, datetime
from typing import Any, cast

from sqlalchemy import ColumnElement, Connection, Row, bindparam, func, or_, select
from sqlalchemy.orm import Session

from app.agreement.states import JobState
from app.store import clients
from app.store.models import ClientRow, JobRow, RevisionRow, ShopRow
from app.store.records import ClientCard, JobCard, StoredJob

_newest = RevisionRow.__table__.alias("newest")
# For each job that is shown, not for all there are: a look into the index of jobs and numbers.
_NEWEST = select(func.max(_newest.c.number)).where(_newest.c.job_id == JobRow.id).scalar_subquery()
# Columns, not rows: the job file of every job need not be read to list them.
_LISTED = (
    select(
        JobRow.id,
        JobRow.made_at,
        JobRow.sequence,
        JobRow.title,
        JobRow.client_id,
        ClientRow.name,
        JobRow.state,
        JobRow.crew_code,
        JobRow.start_on,
        JobRow.changed_at,
        RevisionRow.total,
        RevisionRow.currency,
    )
    .join(ClientRow, ClientRow.id == JobRow.client_id)
    .outerjoin(RevisionRow, (RevisionRow.job_id == JobRow.id) & (RevisionRow.number == _NEWEST))
    .order_by(JobRow.changed_at.desc(), JobRow.id.desc())
)
# Statements of hot paths are made once, with places for values: to make one anew takes longer than to run it.
_LOOKED_AT = (
    select(
        JobRow.id,
        JobRow.made_at,
        JobRow.sequence,
        JobRow.title,
        JobRow.document,
        JobRow.document_sha256,
        JobRow.version,
        JobRow.state,
        JobRow.crew_code,
        JobRow.start_on,
        JobRow.changed_at,
        JobRow.client_id,
        ClientRow.version.label("client_version"),
        ClientRow.name,
        ClientRow.email,
        ClientRow.phone,
        ClientRow.address,
    )
    .join(ClientRow, ClientRow.id == JobRow.client_id)
    .where(JobRow.id == bindparam("job_id"))
)
_COUNTED = select(func.count()).select_from(JobRow).join(ClientRow, ClientRow.id == JobRow.client_id)


_PAGE = _LISTED.offset(bindparam("first")).limit(bindparam("most"))


def count_jobs(session: Session) -> int:
    """Give how many jobs there are."""
    return session.scalar(select(func.count()).select_from(JobRow)) or 0


def list_jobs(
    session: Session,
    *,
    states: tuple[JobState, ...] = (),
    client_id: int | None = None,
    search: str = "",
    rows: tuple[int, int] | None = None,
) -> tuple[JobCard, ...]:
    """Give jobs, the last changed first, each with the total of its newest revision.

    All of them, or those in some states, of one client, that match a search; `rows` are the first and how
    many.
    """
    query = _LISTED if rows is None else _PAGE
    if conditions := tuple(_conditions(states, client_id, search)):
        query = query.where(*conditions)
    places = {} if rows is None else {"first": rows[0], "most": rows[1]}
    return tuple(
        JobCard(
            id=job_id,
            number=f"{made_at.year}-{sequence:03d}",
            title=title,
            client_id=client,
            client_name=name,
            state=cast("JobState", state),
            crew_code=crew_code,
            start_on=start_on,
            changed_at=changed_at,
            total=total,
            currency=currency or "",
        )
        for (
            job_id,
            made_at,
            sequence,
            title,
            client,
            name,
            state,
            crew_code,
            start_on,
            changed_at,
            total,
            currency,
        ) in session.execute(query, places)
    )


def count_found(session: Session, search: str) -> int:
    """Give how many jobs match a search."""
    return session.scalar(_COUNTED.where(*_conditions((), None, search))) or 0


def _conditions(
    states: tuple[JobState, ...], client_id: int | None, search: str
) -> Iterator[ColumnElement[bool]]:
    if states:
        yield JobRow.state.in_(states)
    if client_id is not None:
        yield JobRow.client_id == client_id
    for word in search.split():
        pattern = f"%{word.replace('%', '').replace('_', '')}%"
        found = or_(JobRow.title.ilike(pattern), ClientRow.name.ilike(pattern), JobRow.state.ilike(pattern))
        place = word.rpartition("-")[2]
        # 2026-017, or 17 alone: the place in the row of all jobs.
        is_number = place.isascii() and place.isdecimal() and len(place) < 9
        yield or_(found, JobRow.sequence == int(place)) if is_number else found


def find_job(session: Session, job_id: int, *, for_change: bool = False) -> StoredJob | None:
    """Give one job, or None; locked until the end of the transaction when it is to be changed."""
    query = select(JobRow).where(JobRow.id == job_id)
    row = session.scalar(query.with_for_update(of=JobRow) if for_change else query)
    return stored(row) if row else None


def look_at_job(connection: Connection, job_id: int) -> StoredJob | None:
    """Give one job, or None, by its columns alone: every sheet of a job begins with it."""
    row = connection.execute(_LOOKED_AT, {"job_id": job_id}).one_or_none()
    if row is None:
        return None
    client = ClientCard(row.client_id, row.client_version, row.name, row.email, row.phone, row.address)
    return _stored(row, client)


def jobs_in(session: Session, states: tuple[JobState, ...]) -> tuple[StoredJob, ...]:
    """Give all jobs in some states, by number."""
    query = select(JobRow).where(JobRow.state.in_(states)).order_by(JobRow.sequence)
    return tuple(stored(row) for row in session.scalars(query))


def add_job(
    session: Session, client_id: int, title: str, document: str, state: JobState, now: datetime
) -> int:
    """Add a job with the next number and give the id."""
    # Two writers must not take the same number: they queue on the shop's row.
    session.execute(select(ShopRow.id).with_for_update())
    last = session.scalar(select(func.max(JobRow.sequence))) or 0
    row = JobRow(
        sequence=last + 1,
        client_id=client_id,
        title=title,
        document=document,
        document_sha256=text_sha256(document),
        version=1,
        state=state,
        crew_code="",
        start_on=None,
        made_at=now,
        changed_at=now,
    )
    session.add(row)
    session.flush()
    return row.id


def put_document(session: Session, job_id: int, title: str, document: str, now: datetime) -> int:
    """Put a job file in place of the old one and give the new version."""
    row = session.get_one(JobRow, job_id)
    row.title, row.document, row.document_sha256 = title, document, text_sha256(document)
    return _next_version(row, now)


def put_days(session: Session, job_id: int, crew_code: str, start_on: date | None, now: datetime) -> int:
    """Set who builds a job and from when, and give the new version."""
    row = session.get_one(JobRow, job_id)
    row.crew_code, row.start_on = crew_code, start_on
    return _next_version(row, now)


def put_state(session: Session, job_id: int, state: JobState, now: datetime) -> None:
    """Move a job to another state; its version stays, since nothing that is edited has changed."""
    row = session.get_one(JobRow, job_id)
    row.state, row.changed_at = state, now


def number(row: JobRow | Row[*tuple[Any, ...]]) -> str:
    """Give the number of a job as printed: the year it came in, and its place in the row of all jobs."""
    return f"{row.made_at.year}-{row.sequence:03d}"


def text_sha256(text: str) -> str:
    """Give the SHA-256 of a text, in hex."""
    return hashlib.sha256(text.encode()).hexdigest()


def _next_version(row: JobRow, now: datetime) -> int:
    row.version += 1
    row.changed_at = now
    return row.version


def stored(row: JobRow) -> StoredJob:
    return _stored(row, clients.card(row.client))


def _stored(row: JobRow | Row[*tuple[Any, ...]], client: ClientCard) -> StoredJob:
    return StoredJob(
        id=row.id,
        number=number(row),
        title=row.title,
        client=client,
        document=row.document,
        document_sha256=row.document_sha256,
        version=row.version,
        state=cast("JobState", row.state),
        crew_code=row.crew_code,
        start_on=row.start_on,
        changed_at=row.changed_at,
    )
