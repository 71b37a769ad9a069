"""When and who: a job's crew and start, the crews, this week."""

from datetime import date, datetime

from app.actions.database import Database
from app.actions.records import StaffMember, WeekView
from app.schedule.records import Crew


def set_days(
    db: Database,
    staff: StaffMember,
    job_id: int,
    version: int,
    crew_code: str,
    start_on: date | None,
    now: datetime,
) -> int:
    """Set who builds a job and from when, and give the new version."""
    raise NotImplementedError


def crews(db: Database) -> tuple[Crew, ...]:
    """All crews."""
    raise NotImplementedError


def save_crew(db: Database, staff: StaffMember, crew: Crew, now: datetime) -> None:
    """Add a crew or change it, by its code."""
    raise NotImplementedError


def this_week(db: Database, today: date) -> WeekView:
    """Days across, crews down, orders due, and who waits for an answer."""
    raise NotImplementedError
