"""What to order and by when, and what was ordered."""

from datetime import date, datetime

from app.actions.database import Database
from app.actions.records import OrderRow, StaffMember


def orders(db: Database, job_id: int, today: date) -> tuple[OrderRow, ...]:
    """What a job needs ordered, soonest first."""
    raise NotImplementedError


def mark_ordered(
    db: Database, staff: StaffMember, job_id: int, item: str, reference: str, now: datetime
) -> None:
    """Note that an item was ordered."""
    raise NotImplementedError


def unmark_ordered(db: Database, staff: StaffMember, job_id: int, item: str, now: datetime) -> None:
    """Take such a note back."""
    raise NotImplementedError
