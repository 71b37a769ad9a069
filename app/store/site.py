"""What happened: orders placed, the site log, hold points, the punch list."""

from collections.abc import Sequence
from datetime import date, datetime

from sqlalchemy import delete, func, select
from sqlalchemy.orm import Session

from app.store.models import HoldPointRow, LogEntryRow, OrderPlacedRow, PaperRow, PunchRow
from app.store.records import LogEntry, OrderPlaced, Paper, PunchItem, Release


def orders_placed(session: Session, job_id: int) -> dict[str, OrderPlaced]:
    """Give what was ordered for a job, by item."""
    rows = session.scalars(select(OrderPlacedRow).where(OrderPlacedRow.job_id == job_id))
    return {row.item: OrderPlaced(row.item, row.reference, row.at, row.by) for row in rows}


def items_ordered(session: Session, job_ids: Sequence[int]) -> dict[int, set[str]]:
    """Give the items that were ordered for some jobs, in one question."""
    query = select(OrderPlacedRow.job_id, OrderPlacedRow.item).where(OrderPlacedRow.job_id.in_(job_ids))
    found: dict[int, set[str]] = {job_id: set() for job_id in job_ids}
    for job_id, item in session.execute(query):
        found[job_id].add(item)
    return found


def place_order(session: Session, job_id: int, item: str, reference: str, who: str, now: datetime) -> None:
    """Note that an item was ordered; a second note for it takes the place of the first."""
    take_back_order(session, job_id, item)
    session.add(OrderPlacedRow(job_id=job_id, item=item, reference=reference, at=now, by=who))
    session.flush()


def take_back_order(session: Session, job_id: int, item: str) -> None:
    """Remove the note that an item was ordered."""
    session.execute(
        delete(OrderPlacedRow).where(OrderPlacedRow.job_id == job_id, OrderPlacedRow.item == item)
    )


def add_entry(session: Session, job_id: int, entry: LogEntry) -> int:
    """Add a line to the site log and give its id; what a device sent before is not added again."""
    if entry.device_key:
        known = session.scalar(select(LogEntryRow.id).where(LogEntryRow.device_key == entry.device_key))
        if known is not None:
            return known
    row = LogEntryRow(
        job_id=job_id,
        day=entry.on,
        text=entry.text,
        hours_h=entry.hours_h,
        phase=entry.phase,
        people=entry.people,
        weather=entry.weather,
        who=entry.who,
        at=entry.at,
        device_key=entry.device_key,
        kind=entry.kind,
        person=entry.person,
        task_code=entry.task_code,
        done_pct=entry.done_pct,
    )
    session.add(row)
    session.flush()
    return row.id


def count_entries(session: Session, job_id: int) -> int:
    """Give how many lines the site log of a job has."""
    query = select(func.count()).select_from(LogEntryRow).where(LogEntryRow.job_id == job_id)
    return session.scalar(query) or 0


def entries(session: Session, job_id: int) -> tuple[LogEntry, ...]:
    """Give the site log, newest day first."""
    query = (
        select(LogEntryRow)
        .where(LogEntryRow.job_id == job_id)
        .order_by(LogEntryRow.day.desc(), LogEntryRow.id.desc())
    )
    return tuple(
        LogEntry(
            row.id,
            row.day,
            row.text,
            row.hours_h,
            row.people,
            row.weather,
            row.who,
            row.at,
            row.phase,
            row.kind,
            row.person,
            row.task_code,
            row.done_pct,
            row.device_key,
        )
        for row in session.scalars(query)
    )


def releases(session: Session, job_id: int) -> dict[str, Release]:
    """Give the hold points of a job that were released, by code."""
    rows = session.scalars(select(HoldPointRow).where(HoldPointRow.job_id == job_id))
    return {row.code: Release(row.code, row.name, row.note, row.at, row.entered_by) for row in rows}


def add_release(session: Session, job_id: int, release: Release) -> None:
    """Note that a hold point was released; once only."""
    session.add(
        HoldPointRow(
            job_id=job_id,
            code=release.code,
            name=release.name,
            note=release.note,
            at=release.at,
            entered_by=release.entered_by,
        )
    )
    session.flush()


def add_punch(session: Session, job_id: int, new: PunchItem) -> int:
    """Add a thing to put right and give its id (the one in `new` is not looked at)."""
    row = PunchRow(
        job_id=job_id,
        text=new.text,
        place=new.place,
        added_on=new.added_on,
        added_by=new.added_by,
        due_on=new.due_on,
        closed_on=None,
        closed_by="",
    )
    session.add(row)
    session.flush()
    return row.id


def close_punch(session: Session, punch_id: int, on: date, who: str) -> int | None:
    """Note that it was put right and give its job; None when there is no such thing."""
    row = session.get(PunchRow, punch_id)
    if row is None:
        return None
    row.closed_on, row.closed_by = on, who
    return row.job_id


def punch_list(session: Session, job_id: int) -> tuple[PunchItem, ...]:
    """Give what there was to put right, open ones first."""
    query = (
        select(PunchRow)
        .where(PunchRow.job_id == job_id)
        .order_by(PunchRow.closed_on.is_not(None), PunchRow.id)
    )
    return tuple(
        PunchItem(
            row.id,
            row.text,
            row.place,
            row.added_on,
            row.added_by,
            row.closed_on,
            row.closed_by,
            row.due_on,
        )
        for row in session.scalars(query)
    )


def papers(session: Session, job_id: int) -> tuple[Paper, ...]:
    """Give the papers on file of a job, by code."""
    query = select(PaperRow).where(PaperRow.job_id == job_id).order_by(PaperRow.code)
    return tuple(Paper(row.code, row.note, row.at, row.by) for row in session.scalars(query))


def put_paper(session: Session, job_id: int, paper: Paper) -> None:
    """Note that a paper is on file; a second note for it takes the place of the first."""
    take_paper(session, job_id, paper.code)
    session.add(PaperRow(job_id=job_id, code=paper.code, note=paper.note, at=paper.at, by=paper.by))
    session.flush()


def take_paper(session: Session, job_id: int, code: str) -> None:
    """Remove the note that a paper is on file."""
    session.execute(delete(PaperRow).where(PaperRow.job_id == job_id, PaperRow.code == code))
