"""What happened on site: the log, the hold points, the punch list."""

from datetime import date, datetime

from app.actions.database import Database
from app.actions.records import HoldPointSheet, LogEntry, PunchItem, StaffMember


def add_entry(
    db: Database,
    staff: StaffMember,
    job_id: int,
    on: date,
    text: str,
    now: datetime,
    hours_h: float = 0.0,
    people: int = 0,
    weather: str = "",
) -> int:
    """Add a line to the site log; lines are never changed."""
    raise NotImplementedError


def entries(db: Database, job_id: int) -> tuple[LogEntry, ...]:
    """The site log, newest day first."""
    raise NotImplementedError


def hold_points(db: Database, job_id: int, today: date) -> tuple[HoldPointSheet, ...]:
    """The hold points of the day plan and who signed them."""
    raise NotImplementedError


def sign_hold_point(
    db: Database, staff: StaffMember, job_id: int, code: str, name: str, note: str, now: datetime
) -> None:
    """Note that a named person released a hold point."""
    raise NotImplementedError


def add_punch(
    db: Database, staff: StaffMember, job_id: int, text: str, place: str, on: date, now: datetime
) -> int:
    """Add a thing to put right."""
    raise NotImplementedError


def close_punch(db: Database, staff: StaffMember, punch_id: int, on: date, now: datetime) -> None:
    """Note that it was put right."""
    raise NotImplementedError


def punch_list(db: Database, job_id: int) -> tuple[PunchItem, ...]:
    """What is left to put right, open ones first."""
    raise NotImplementedError
