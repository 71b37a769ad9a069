"""When and who: a job's crew and start, the crews, this week."""

from datetime import date, datetime, timedelta

from app.actions.clock import day_of
from app.actions.database import Database
from app.actions.errors import NotFound, Refused, Saved, StaleSave
from app.actions.records import StaffMember, WeekView
from app.actions.sheet import found, subject
from app.actions.week import week_of
from app.schedule.records import Crew
from app.store import audit, jobs
from app.store import shop as shop_store

_FURTHEST_START = timedelta(days=5 * 366)


def set_days(
    db: Database,
    staff: StaffMember,
    job_id: int,
    version: int,
    crew_code: str,
    start_on: date | None,
    now: datetime,
) -> int:
    """Set who builds a job and from when, and give the new version; StaleSave, NotFound, Refused."""
    if start_on is not None and abs(start_on - day_of(now)) > _FURTHEST_START:
        raise Refused(f"{start_on.isoformat()} is more than five years away; check the year.")
    with db.write() as session:
        stored = found(jobs.find_job(session, job_id, for_change=True), job_id)
        if crew_code and crew_code not in {crew.code for crew in shop_store.list_crews(session)}:
            raise NotFound("crew", crew_code)
        old = {"crew": stored.crew_code, "start": _said(stored.start_on)}
        new = {"crew": crew_code, "start": _said(start_on)}
        if stored.version != version:
            by = audit.who_saved(session, subject(job_id), stored.version)
            raise StaleSave(Saved(stored.version, by, dict(old)), Saved(version, staff.name, dict(new)))
        changed = [
            f"{key} {old[key] or 'open'} → {new[key] or 'open'}" for key in old if old[key] != new[key]
        ]
        if not changed:
            return version
        after = jobs.put_days(session, job_id, crew_code, start_on, now)
        audit.note(session, now, staff.name, ", ".join(changed), subject(job_id), (version, after))
    return after


def crews(db: Database) -> tuple[Crew, ...]:
    """All crews by code."""
    with db.read() as session:
        return shop_store.list_crews(session)


def save_crew(db: Database, staff: StaffMember, crew: Crew, now: datetime) -> None:
    """Add a crew or change it, by its code; Refused when a figure cannot be."""
    if not crew.code.strip() or not crew.name.strip():
        raise Refused("A crew needs a code and a name.")
    if not 1 <= crew.people <= 50 or not 0 < crew.day_h <= 24:
        raise Refused(f"A crew has 1 to 50 people who work up to 24 h a day: {crew.name}.")
    with db.write() as session:
        shop_store.put_crew(session, crew)
        what = f"saved crew {crew.name}: {crew.people} people, {crew.day_h:g} h a day"
        audit.note(session, now, staff.name, what, f"crew:{crew.code}")


def this_week(db: Database, today: date) -> WeekView:
    """Days across, crews down, orders due, and who waits for an answer."""
    return week_of(db, today)


def _said(start_on: date | None) -> str:
    return start_on.isoformat() if start_on else ""
