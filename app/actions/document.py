"""Saving the job file, part by part: the whole job is read again, the version checked, the trail written."""

import copy
import json
from collections.abc import Callable
from datetime import datetime
from typing import Any

from app.actions.database import Database
from app.actions.errors import NotFound, Refused, Saved, StaleSave
from app.actions.job_file import as_text, changed_paths
from app.actions.never_kept import refuse_numbers_in
from app.actions.records import JobState, StaffMember
from app.actions.sheet import found, subject
from app.job.file import read_job
from app.store import audit, jobs
from app.store.sessions import Session

_PARTS = ("survey", "plan", "choices", "title", "units", "currency", "notes")
CLOSED: tuple[JobState, ...] = ("handed over", "let go")
_NAMED_CHANGES = 6


def save_part(
    db: Database,
    staff: StaffMember,
    job_id: int,
    version: int,
    part: str,
    document: Any,
    now: datetime,
    *,
    note: str = "",
) -> int:
    """Put `document` in place of one part ("survey", "plan.deck_fields", "title" …).

    Gives the new version, or the old one when nothing changed. InputErrors when the whole job cannot be
    read with it, StaleSave when somebody saved first, Refused when the job is closed.
    """
    with db.write() as session:
        return save_part_in(session, staff, (job_id, version, part), document, now, note=note)


def save_part_in(
    session: Session,
    staff: StaffMember,
    target: tuple[int, int, str],
    document: Any,
    now: datetime,
    *,
    note: str = "",
) -> int:
    """As `save_part`, of a job, its version and the part, within a change that does more than this."""
    part = target[2]
    keys = part.split(".")
    if keys[0] not in _PARTS:
        raise NotFound("part of the job file called", part)

    def put(old: dict[str, Any]) -> dict[str, Any]:
        whole = copy.deepcopy(old)
        place = whole
        for key in keys[:-1]:
            place = place.setdefault(key, {})
            if not isinstance(place, dict):
                raise NotFound("part of the job file called", part)
        place[keys[-1]] = document
        return whole

    return _save(session, staff, target, put, now, note)


def replace_document(
    db: Database, staff: StaffMember, job_id: int, version: int, document: dict[str, Any], now: datetime
) -> int:
    """Put a whole job file in place of the old one and give the new version; errors as in `save_part`."""
    with db.write() as session:
        return _save(session, staff, (job_id, version, ""), lambda _: document, now, "")


def _save(
    session: Session,
    staff: StaffMember,
    target: tuple[int, int, str],
    change: Callable[[dict[str, Any]], dict[str, Any]],
    now: datetime,
    note: str,
) -> int:
    job_id, version, part = target
    stored = found(jobs.find_job(session, job_id, for_change=True), job_id)
    if stored.state in CLOSED:
        raise Refused(f"The job is {stored.state}; its sheets no longer change.")
    old = json.loads(stored.document)
    new = change(old)
    if stored.version != version:
        by = audit.who_saved(session, subject(job_id), stored.version)
        raise StaleSave(
            Saved(stored.version, by, _only(old, part)), Saved(version, staff.name, _only(new, part))
        )
    job = read_job(new)
    refuse_numbers_in(new)
    changed = changed_paths(old, new)
    if not changed:
        return version
    after = jobs.put_document(session, job_id, job.title, as_text(new), now)
    what = f"changed {_listed(changed)}" + (f" ({note})" if note else "")
    audit.note(session, now, staff.name, what, subject(job_id), (version, after))
    return after


def _only(document: dict[str, Any], part: str) -> dict[str, Any]:
    """Give the part that two people wanted to change, under its own path."""
    if not part:
        return document
    place: Any = document
    for key in part.split("."):
        place = place.get(key) if isinstance(place, dict) else None
    return {part: place}


def _listed(paths: list[str]) -> str:
    more = len(paths) - _NAMED_CHANGES
    named = ", ".join(paths[:_NAMED_CHANGES])
    return f"{named} and {more} more" if more > 0 else named
