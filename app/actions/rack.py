"""The rack: leftovers put in when the cutting of a job is done, taken out for the next one."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime

from app.actions.database import Database
from app.actions.document import save_part_in
from app.actions.errors import NotFound, Refused
from app.actions.records import JobSheet, JobState, StaffMember
from app.actions.sheet import job_sheet, subject
from app.actions.takeoff import work_out
from app.job.choices import Board, KeptOffcut, Section
from app.job.job import Job
from app.store import audit, rack
from app.store.rack import RackOffcut
from app.store.sessions import Session
from app.takeoff.totals.records import CutPlan

__all__ = ["JobRack", "RackOffcut", "cutting_done", "job_rack", "put_back", "take", "throw_out", "whole_rack"]
_SUBJECT = "rack"
_CUT_IN: tuple[JobState, ...] = ("signed", "on the roof", "handed over")
_CLOSED: tuple[JobState, ...] = ("handed over", "let go")
_ALIKE_MM = 0.5
_PART = "choices.cutting.kept_offcuts"


@dataclass(frozen=True, slots=True)
class JobRack:
    """What the rack has to do with one job.

    `free` is what it holds of the job's profiles, `reserved` what the job has taken, `from_here` what lies in
    it from this job. `may_cut` says whether the job is far enough for its leftovers to exist.
    """

    free: tuple[RackOffcut, ...]
    reserved: tuple[RackOffcut, ...]
    from_here: tuple[RackOffcut, ...]
    may_cut: bool
    is_closed: bool


def whole_rack(db: Database) -> tuple[RackOffcut, ...]:
    """Everything in the rack."""
    with db.read() as session:
        return rack.there(session)


def job_rack(db: Database, sheet: JobSheet) -> JobRack:
    """What the rack has to do with a job."""
    with db.read() as session:
        return _of_job(rack.there(session), sheet)


def cutting_done(db: Database, staff: StaffMember, job_id: int, today: date, now: datetime) -> int:
    """Put a job's leftovers in the rack and give how many; what it had taken and cut is gone from there.

    Refused before the job is signed, and while leftovers of it lie in the rack already.
    """
    worked = work_out(db, job_id, today)
    sheet, plans = worked.sheet, worked.answer.takeoff.totals.cut_plans
    if sheet.state not in _CUT_IN:
        raise Refused(f"The job is {sheet.state}: there are no leftovers before it is signed and cut.")
    new = _leftovers(sheet.job, plans, job_id, staff.name, now)
    used = {stick.offcut for plan in plans for stick in plan.sticks if stick.offcut}
    with db.write() as session:
        mine = _of_job(rack.there(session, for_change=True), sheet)
        if mine.from_here:
            raise Refused("The leftovers of this job lie in the rack already. Throw those out first.")
        rack.take_out(session, (one.id for one in mine.reserved if one.words in used), now)
        spare = [one for one in mine.reserved if one.words not in used]
        if spare and not mine.is_closed:
            save_part_in(
                session, staff, (job_id, sheet.version, _PART), _kept_but(sheet, spare), now, note="not cut"
            )
        rack.put_back(session, (one.id for one in spare))
        rack.add(session, new)
        what = f"cutting of job {sheet.number} done: {len(new)} leftovers put in the rack"
        audit.note(session, now, staff.name, what, subject(job_id))
        audit.note(session, now, staff.name, what, _SUBJECT)
    return len(new)


def take(
    db: Database, staff: StaffMember, job_id: int, version: int, ids: tuple[int, ...], now: datetime
) -> int:
    """Reserve offcuts for a job and enter them in its choices; without ids, all of its profiles.

    Gives how many. Refused when one is gone or does not fit, StaleSave when the job was changed meanwhile.
    """
    sheet = job_sheet(db, job_id)
    with db.write() as session:
        free = {one.id: one for one in _of_job(rack.there(session, for_change=True), sheet).free}
        missing = [one for one in ids if one not in free]
        if missing or not free:
            raise Refused(f"The rack no longer has {_numbers(missing) or 'anything'} for this job.")
        chosen = [free[one] for one in (ids or free)]
        kept = [*_kept(sheet), *(_entry(one, sheet.job) for one in chosen)]
        note = f"{len(chosen)} from the rack"
        save_part_in(session, staff, (job_id, version, _PART), kept, now, note=note)
        rack.take(session, (one.id for one in chosen), job_id, staff.name, now)
        _note(session, staff, now, f"job {sheet.number} took {_numbers(one.id for one in chosen)}")
    return len(chosen)


def put_back(
    db: Database, staff: StaffMember, job_id: int, version: int, offcut_id: int, now: datetime
) -> None:
    """Free an offcut that a job had taken, and take it out of the job's choices."""
    sheet = job_sheet(db, job_id)
    with db.write() as session:
        reserved = {one.id: one for one in _of_job(rack.there(session, for_change=True), sheet).reserved}
        if offcut_id not in reserved:
            raise NotFound("offcut taken by this job", offcut_id)
        kept = _kept_but(sheet, [reserved[offcut_id]])
        if len(kept) != len(_kept(sheet)):
            save_part_in(session, staff, (job_id, version, _PART), kept, now, note="back in the rack")
        rack.put_back(session, (offcut_id,))
        _note(session, staff, now, f"job {sheet.number} put {offcut_id} back")


def throw_out(db: Database, staff: StaffMember, offcut_id: int, now: datetime) -> None:
    """Take an offcut out of the rack for good; Refused while a job has it."""
    with db.write() as session:
        found = {one.id: one for one in rack.there(session, for_change=True)}
        if offcut_id not in found:
            raise NotFound("offcut", offcut_id)
        one = found[offcut_id]
        if one.taken_job_id is not None:
            raise Refused(f"Job {one.taken_number} has taken it. Put it back there first.")
        rack.take_out(session, (offcut_id,), now)
        _note(session, staff, now, f"threw out {offcut_id}: {one.name}, {one.length_mm:.0f} mm")


def _of_job(there: tuple[RackOffcut, ...], sheet: JobSheet) -> JobRack:
    return JobRack(
        free=tuple(
            one
            for one in there
            if one.taken_job_id is None and one.job_id != sheet.id and _profile(one, sheet.job)
        ),
        reserved=tuple(one for one in there if one.taken_job_id == sheet.id),
        from_here=tuple(one for one in there if one.job_id == sheet.id),
        may_cut=sheet.state in _CUT_IN,
        is_closed=sheet.state in _CLOSED,
    )


def _profile(one: RackOffcut, job: Job) -> str:
    """Give the job's own id of what an offcut is of: same name, material and size; empty without one."""
    for kind, profile in _profiles(job):
        material, thick_mm = _made_of(profile)
        if (
            kind == one.kind
            and _name(profile).casefold() == one.name.casefold()
            and material.casefold() == one.material.casefold()
            and abs(profile.width_mm - one.width_mm) <= _ALIKE_MM
            and abs(thick_mm - one.thick_mm) <= _ALIKE_MM
        ):
            return profile.id
    return ""


def _profiles(job: Job) -> tuple[tuple[str, Board | Section], ...]:
    boards = (("board", board) for board in job.choices.boards)
    return (*boards, *(("section", section) for section in job.choices.sections))


def _name(profile: Board | Section) -> str:
    return (profile.name or profile.id).strip()


def _made_of(profile: Board | Section) -> tuple[str, float]:
    """Give the material of a profile, and its other size."""
    if isinstance(profile, Board):
        return profile.material.strip(), profile.thickness_mm
    treated = ", incised" if profile.is_incised else ""
    return f"{profile.species}{treated}", profile.depth_mm


def _leftovers(
    job: Job, plans: tuple[CutPlan, ...], job_id: int, who: str, now: datetime
) -> tuple[RackOffcut, ...]:
    """Give what is left of the cut plans and long enough to keep."""
    profiles = {profile.id: (kind, profile) for kind, profile in _profiles(job)}
    made = []
    for offcut in (offcut for plan in plans for offcut in plan.offcuts):
        kind, profile = profiles[offcut.profile]
        material, thick_mm = _made_of(profile)
        size = (profile.width_mm, thick_mm, round(offcut.length_mm, 1))
        made.append(
            RackOffcut(
                0,
                kind,
                profile.id,
                _name(profile),
                material,
                *size,
                offcut.label,
                job_id,
                now,
                who,
            )
        )
    return tuple(made)


def _entry(one: RackOffcut, job: Job) -> dict[str, object]:
    """Give an offcut as the job file lists it."""
    kept = KeptOffcut(profile=_profile(one, job), length_mm=one.length_mm, label=one.words)
    return {"profile": kept.profile, "length": kept.length_mm, "label": kept.label}


def _kept(sheet: JobSheet) -> list[dict[str, object]]:
    """Give the offcuts the job file lists now, as typed."""
    cutting = (sheet.document.get("choices") or {}).get("cutting") or {}
    return list(cutting.get("kept_offcuts") or ())


def _kept_but(sheet: JobSheet, spare: list[RackOffcut]) -> list[dict[str, object]]:
    """Give the same without some."""
    words = {one.words for one in spare}
    return [entry for entry in _kept(sheet) if entry.get("label") not in words]


def _numbers(ids: Iterable[int]) -> str:
    return ", ".join(f"{one}" for one in ids)


def _note(session: Session, staff: StaffMember, now: datetime, what: str) -> None:
    audit.note(session, now, staff.name, what, _SUBJECT)
