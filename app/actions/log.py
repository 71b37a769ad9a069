"""What happened on site: the log, the hold points, the punch list."""

from datetime import date, datetime

from app.actions.database import Database
from app.actions.errors import NotFound, Refused
from app.actions.records import HoldPointSheet, LogEntry, PunchItem, StaffMember, WorkedOut
from app.actions.sheet import found, subject
from app.actions.takeoff import work_out
from app.store import audit, jobs, site
from app.store.records import Release

_LONGEST_TEXT = 4000


def add_entry(  # noqa: PLR0913 - one line of the log, each part by name
    db: Database,
    staff: StaffMember,
    job_id: int,
    on: date,
    text: str,
    now: datetime,
    *,
    hours_h: float = 0.0,
    people: int = 0,
    weather: str = "",
) -> int:
    """Add a line to the site log and give its id; lines are never changed. Refused when empty."""
    if not 0 <= hours_h <= 24 * 50 or not 0 <= people <= 50:
        raise Refused(
            f"{people} people and {hours_h:g} h cannot be one day's work; up to 50 people would do."
        )
    with db.write() as session:
        found(jobs.find_job(session, job_id), job_id)
        entry = LogEntry(0, on, _text(text), hours_h, people, weather.strip()[:120], staff.name, now)
        entry_id = site.add_entry(session, job_id, entry)
        audit.note(session, now, staff.name, f"wrote in the site log of {on.isoformat()}", subject(job_id))
    return entry_id


def entries(db: Database, job_id: int) -> tuple[LogEntry, ...]:
    """The site log, newest day first."""
    with db.read() as session:
        return site.entries(session, job_id)


def hold_points(db: Database, job_id: int, today: date) -> tuple[HoldPointSheet, ...]:
    """The hold points of the day plan and who released them; one released earlier is never dropped."""
    return hold_points_of(db, work_out(db, job_id, today))


def hold_points_of(db: Database, worked: WorkedOut) -> tuple[HoldPointSheet, ...]:
    """The hold points of a job that is worked out already."""
    with db.read() as session:
        released = site.releases(session, worked.sheet.id)
    planned = [one for one in worked.answer.days.tasks if one.task.is_hold_point]
    rows = [
        _hold_point(one.task.code, one.task.name, one.end_on, released.get(one.task.code)) for one in planned
    ]
    codes = {one.task.code for one in planned}
    rows += [_hold_point(code, code, None, one) for code, one in released.items() if code not in codes]
    return tuple(rows)


def sign_hold_point(
    db: Database, staff: StaffMember, job_id: int, code: str, name: str, note: str, now: datetime
) -> None:
    """Note that a named person released a hold point; NotFound, Refused when it was released before."""
    if not name.strip():
        raise Refused("A hold point is released by a named person; type the name.")
    known = {point.code for point in hold_points(db, job_id, now.astimezone().date())}
    if code not in known:
        raise NotFound("hold point", code)
    with db.write() as session:
        found(jobs.find_job(session, job_id, for_change=True), job_id)
        before = site.releases(session, job_id).get(code)
        if before is not None:
            raise Refused(f"{before.name} released this hold point on {before.at:%Y-%m-%d}.")
        release = Release(code, name.strip()[:200], note.strip()[:_LONGEST_TEXT], now, staff.name)
        site.add_release(session, job_id, release)
        audit.note(session, now, staff.name, f"{release.name} released {code}", subject(job_id))


def add_punch(
    db: Database, staff: StaffMember, job_id: int, text: str, place: str, on: date, now: datetime
) -> int:
    """Add a thing to put right and give its id; Refused when empty."""
    with db.write() as session:
        found(jobs.find_job(session, job_id), job_id)
        punch_id = site.add_punch(session, job_id, _text(text), place.strip()[:80], on, staff.name)
        audit.note(session, now, staff.name, f"put on the punch list: {text.strip()[:80]}", subject(job_id))
    return punch_id


def close_punch(db: Database, staff: StaffMember, punch_id: int, on: date, now: datetime) -> None:
    """Note that it was put right; NotFound."""
    with db.write() as session:
        job_id = site.close_punch(session, punch_id, on, staff.name)
        if job_id is None:
            raise NotFound("punch item", punch_id)
        audit.note(session, now, staff.name, f"put right punch item {punch_id}", subject(job_id))


def punch_list(db: Database, job_id: int) -> tuple[PunchItem, ...]:
    """What there was to put right, open ones first."""
    with db.read() as session:
        return site.punch_list(session, job_id)


def _hold_point(code: str, name: str, planned_on: date | None, release: Release | None) -> HoldPointSheet:
    return HoldPointSheet(
        code=code,
        name=name,
        planned_on=planned_on,
        signed_name=release.name if release else "",
        note=release.note if release else "",
        signed_at=release.at if release else None,
        entered_by=release.entered_by if release else "",
    )


def _text(text: str) -> str:
    if not text.strip():
        raise Refused("Write what it is about.")
    if len(text) > _LONGEST_TEXT:
        raise Refused(f"At most {_LONGEST_TEXT} characters; this has {len(text)}.")
    return text.strip()
