"""Notes from the roof, as a phone sends them: each once, whatever the connection does."""

from dataclasses import dataclass
from datetime import date, datetime, timedelta

from app.actions.database import Database
from app.actions.errors import NotFound, Refused
from app.actions.log import add_entry
from app.actions.pictures import kept_picture
from app.actions.records import StaffMember
from app.actions.sheet import found, subject
from app.pricing.records import PHASES
from app.schedule.task_edits import TaskEdit
from app.store import audit, jobs, photos, plans, site
from app.store.day_records import PhotoCard
from app.store.records import LogEntry

_OLDEST = timedelta(days=366)


@dataclass(frozen=True, slots=True)
class SiteNote:
    """One note; `key` is made on the device and is the same however often the note is sent."""

    key: str
    kind: str
    on: date
    text: str
    hours_h: float = 0.0
    person: str = ""
    task_code: str = ""
    done_pct: int | None = None
    picture: bytes | None = None
    is_before_cover: bool = False


def add_note(db: Database, staff: StaffMember, job_id: int, note: SiteNote, now: datetime) -> int:
    """Keep a note and give its id; a note sent again changes nothing. Refused, NotFound."""
    if not 8 <= len(note.key) <= 60:
        raise Refused("A note carries a key of 8 to 60 characters.")
    today = now.astimezone().date()
    if not today - _OLDEST <= note.on <= today + timedelta(days=1):
        raise Refused(f"{note.on.isoformat()} is not a day of the last year; check the date.")
    kept = kept_picture(note.picture) if note.picture is not None else None
    words = note.text.strip() or _said(note)
    entry_id = add_entry(
        db,
        staff,
        job_id,
        note.on,
        words,
        now,
        hours_h=note.hours_h,
        people=1 if note.person and note.hours_h else 0,
        phase=_phase_of(note.task_code),
        kind=note.kind,
        person=note.person,
        task_code=note.task_code,
        done_pct=note.done_pct,
        device_key=note.key,
    )
    if kept is not None:
        card = PhotoCard(
            0, note.on, words[:400], note.is_before_cover, kept.width_px, kept.height_px, now, staff.name
        )
        with db.write() as session:
            photos.add_photo(session, job_id, card, (kept.jpeg, kept.sha256), note.key)
    return entry_id


def photo_cards(db: Database, job_id: int) -> tuple[PhotoCard, ...]:
    """The photos of a job, oldest first."""
    with db.read() as session:
        return photos.photos(session, job_id)


def picture_of(db: Database, job_id: int, photo_id: int) -> bytes:
    """The JPEG of one photo; NotFound."""
    with db.read() as session:
        picture = photos.picture(session, job_id, photo_id)
    if picture is None:
        raise NotFound("photo", photo_id)
    return picture


def refuse_hold_point(
    db: Database,
    staff: StaffMember,
    job_id: int,
    hold: tuple[str, str],
    why: str,
    again_on: date,
    now: datetime,
) -> None:
    """Note that an inspector did not pass a hold point (its code, the name); plan the next visit."""
    code, name = hold
    today = now.astimezone().date()
    if not name.strip() or not why.strip():
        raise Refused("Give the name of whoever looked, and what was wrong.")
    if again_on <= today:
        raise Refused("The next visit lies after today.")
    with db.write() as session:
        found(jobs.find_job(session, job_id, for_change=True), job_id)
        if code in site.releases(session, job_id):
            raise Refused("This hold point is signed already.")
        words = f"{name.strip()} did not pass {code}: {why.strip()}"
        entry = LogEntry(
            0, today, words[:4000], 0.0, 0, "", staff.name, now, "", "inspection", name.strip()[:120], code
        )
        site.add_entry(session, job_id, entry)
        edit = TaskEdit(
            code, f"not passed on {today.isoformat()}: {why.strip()}"[:400], not_before_on=again_on
        )
        plans.put_task_edit(session, job_id, edit, staff.name, now)
        audit.note(session, now, staff.name, words[:400], subject(job_id))


def _phase_of(task_code: str) -> str:
    """Give the phase that a task's hours count for; a trade's own task is named after its phase."""
    phase = task_code.partition(",")[0]
    return phase if phase in PHASES else ""


def _said(note: SiteNote) -> str:
    """Say a note that came without words."""
    parts = []
    if note.hours_h:
        parts.append(f"{note.hours_h:g} h" + (f", {note.person}" if note.person else ""))
    if note.done_pct is not None and note.task_code:
        parts.append(f"{note.task_code} {note.done_pct} % done")
    if note.picture is not None:
        parts.append("photo")
    return "; ".join(parts)
