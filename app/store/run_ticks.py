"""Checks of hidden runs that were ticked off."""

from sqlalchemy import delete, select
from sqlalchemy.orm import Session

from app.store.models import RunTickRow
from app.store.records import RunTicked


def ticks(session: Session, job_id: int) -> tuple[RunTicked, ...]:
    """Give everything ticked off for the runs of a job."""
    query = select(RunTickRow).where(RunTickRow.job_id == job_id).order_by(RunTickRow.id)
    return tuple(RunTicked(row.run, row.ends, row.what, row.by, row.at) for row in session.scalars(query))


def put_tick(session: Session, job_id: int, new: RunTicked) -> None:
    """Tick a check off; an older tick for it gives way."""
    take_tick(session, job_id, new.run, new.what)
    session.add(RunTickRow(job_id=job_id, run=new.run, ends=new.ends, what=new.what, by=new.by, at=new.at))
    session.flush()


def take_tick(session: Session, job_id: int, run: str, what: str) -> None:
    """Take a tick back."""
    session.execute(
        delete(RunTickRow).where(RunTickRow.job_id == job_id, RunTickRow.run == run, RunTickRow.what == what)
    )
