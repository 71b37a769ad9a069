"""What happened on site: the log, the hold points, the punch list."""

from datetime import date, datetime

from app.actions.database import Database
from app.actions.errors import NotFound, Refused
from app.actions.never_kept import refuse_numbers
from app.actions.plans import dated
from app.actions.records import HoldPointSheet, LogEntry, PunchItem, StaffMember, WorkedOut
from app.actions.rough_in import refuse_open_runs, waits_for
from app.actions.sheet import found, subject
from app.actions.takeoff import work_out
from app.build.hold_points import hold_points as build_hold_points
from app.build.log import PhaseHours, hours_by_phase
from app.build.records import HoldSignature, LogHours
from app.pricing.records import PHASES
from app.store import audit, jobs, site
from app.store.records import Release

_LONGEST_TEXT = 4000
KINDS = ("note", "hours", "progress", "delivery", "weather", "visitor", "mishap", "inspection")


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
    phase: str = "",
    kind: str = "note",
    person: str = "",
    task_code: str = "",
    done_pct: int | None = None,
    device_key: str = "",
) -> int:
    """Add a line to the site log and give its id; lines are never changed. Refused when empty.

    A line that a device sends twice under the same key is kept once.
    """
    if kind not in KINDS:
        raise Refused(f"There is no kind of line {kind}; there are {', '.join(KINDS)}.")
    if done_pct is not None and not 0 <= done_pct <= 100:
        raise Refused(f"{done_pct} % done cannot be; give 0 to 100.")
    if not 0 <= hours_h <= 24 * 50 or not 0 <= people <= 50:
        raise Refused(
            f"{people} people and {hours_h:g} h cannot be one day's work; up to 50 people would do."
        )
    if phase and phase not in PHASES:
        raise Refused(f"There is no phase {phase}; there are {', '.join(PHASES)}.")
    refuse_numbers(text, weather, person)
    with db.write() as session:
        found(jobs.find_job(session, job_id), job_id)
        weather = weather.strip()[:120]
        entry = LogEntry(
            0,
            on,
            _text(text),
            hours_h,
            people,
            weather,
            staff.name,
            now,
            phase,
            kind,
            person.strip()[:120],
            task_code[:80],
            done_pct,
            device_key[:64] or None,
        )
        before = site.count_entries(session, job_id)
        entry_id = site.add_entry(session, job_id, entry)
        if site.count_entries(session, job_id) > before:
            what = f"wrote in the site log of {on.isoformat()}"
            audit.note(session, now, staff.name, what, subject(job_id))
    return entry_id


def entries(db: Database, job_id: int) -> tuple[LogEntry, ...]:
    """The site log, newest day first."""
    with db.read() as session:
        return site.entries(session, job_id)


def hours(db: Database, job_id: int, today: date) -> tuple[PhaseHours, ...]:
    """Hours noted beside hours estimated, phase by phase."""
    noted = [LogHours(entry.on, entry.hours_h, entry.phase) for entry in entries(db, job_id)]
    return hours_by_phase(work_out(db, job_id, today).answer.estimate.phases, noted)


def hold_points(db: Database, job_id: int, today: date) -> tuple[HoldPointSheet, ...]:
    """The hold points of the day plan and who released them; one released earlier is never dropped."""
    return hold_points_of(db, dated(db, work_out(db, job_id, today)))


def hold_points_of(db: Database, worked: WorkedOut) -> tuple[HoldPointSheet, ...]:
    """The hold points of a job that is worked out already."""
    with db.read() as session:
        released = site.releases(session, worked.sheet.id)
    signatures = [HoldSignature(one.code, one.name, one.at, one.note) for one in released.values()]
    return tuple(
        HoldPointSheet(
            code=point.code,
            name=point.name,
            planned_on=point.planned_on,
            signed_name=point.signature.name if point.signature else "",
            note=point.signature.note if point.signature else "",
            signed_at=point.signature.signed_at if point.signature else None,
            entered_by=released[point.code].entered_by if point.signature else "",
            who=point.who,
            state=point.state,
            waits_for=() if point.signature else waits_for(db, worked, point.code),
        )
        for point in build_hold_points(worked.answer.days, signatures, worked.today)
    )


def sign_hold_point(
    db: Database, staff: StaffMember, job_id: int, code: str, name: str, note: str, now: datetime
) -> None:
    """Note that a named person released a hold point; NotFound, Refused when it was released before."""
    if not name.strip():
        raise Refused("A hold point is released by a named person; type the name.")
    refuse_numbers(name, note)
    known = {point.code for point in hold_points(db, job_id, now.astimezone().date())}
    if code not in known:
        raise NotFound("hold point", code)
    refuse_open_runs(db, job_id, code, now)
    with db.write() as session:
        found(jobs.find_job(session, job_id, for_change=True), job_id)
        before = site.releases(session, job_id).get(code)
        if before is not None:
            raise Refused(f"{before.name} released this hold point on {before.at:%Y-%m-%d}.")
        release = Release(code, name.strip()[:200], note.strip()[:_LONGEST_TEXT], now, staff.name)
        site.add_release(session, job_id, release)
        audit.note(session, now, staff.name, f"{release.name} released {code}", subject(job_id))


def add_punch(
    db: Database,
    staff: StaffMember,
    job_id: int,
    text: str,
    place: str,
    on: date,
    now: datetime,
    *,
    due_on: date | None = None,
) -> int:
    """Add a thing to put right and give its id; Refused when empty."""
    refuse_numbers(text, place)
    with db.write() as session:
        found(jobs.find_job(session, job_id), job_id)
        new = PunchItem(0, _text(text), place.strip()[:80], on, staff.name, None, "", due_on)
        punch_id = site.add_punch(session, job_id, new)
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


def _text(text: str) -> str:
    if not text.strip():
        raise Refused("Write what it is about.")
    if len(text) > _LONGEST_TEXT:
        raise Refused(f"At most {_LONGEST_TEXT} characters; this has {len(text)}.")
    return text.strip()
