"""What the office sets by hand: rules of work, promises of a job, single tasks; each with who and why."""

from datetime import date, datetime

from app.actions.as_it_stands import as_it_stands
from app.actions.database import Database
from app.actions.errors import Refused
from app.actions.extra_work import tasks_of_job
from app.actions.records import StaffMember
from app.actions.sheet import found, subject
from app.actions.takeoff import work_out
from app.schedule.task_edits import TaskEdit, edit_fault, edited
from app.schedule.work_rules import SiteRules, WorkRules
from app.store import audit, jobs, plans
from app.store.day_records import JobPromise, KeptEdit


def work_rules(db: Database) -> WorkRules:
    """The shop's rules of work."""
    return as_it_stands(db, "work rules", plans.work_rules)


def save_work_rules(db: Database, staff: StaffMember, rules: WorkRules, now: datetime) -> None:
    """Save the rules of work; Refused when a figure cannot be."""
    if not 0 <= rules.starts_h < 24:
        raise Refused("The day begins between 0 and 24 h.")
    if len(rules.lost_days) != 12 or not all(0 <= days <= 31 for days in rules.lost_days):
        raise Refused("Give the days lost to weather for twelve months, each from 0 to 31.")
    if not 0 <= rules.hoists <= 9:
        raise Refused("Give the hoists from 0 (hired as needed) to 9.")
    if not all(0 <= days <= 60 for _, days in rules.notice):
        raise Refused("Give notice as working days from 0 to 60.")
    for absence in rules.absences:
        if absence.until_on < absence.from_on or (absence.until_on - absence.from_on).days > 366:
            raise Refused(f"{absence.from_on} to {absence.until_on} is not a stretch of days within a year.")
    with db.write() as session:
        if plans.work_rules(session) != rules:
            plans.put_work_rules(session, rules, staff.name, now)
            audit.note(session, now, staff.name, "changed the rules of work", "work rules")


def promise(db: Database, job_id: int) -> JobPromise:
    """What a job promises and what its building asks for."""
    with db.read() as session:
        return plans.promise(session, job_id)


def save_promise(
    db: Database,
    staff: StaffMember,
    job_id: int,
    finish_by_on: date | None,
    site: SiteRules,
    access_notes: str,
    now: datetime,
) -> None:
    """Save what a job promises; Refused when the hours cannot be."""
    if not 0 <= site.opens_h < site.closes_h <= 24:
        raise Refused("The building opens before it closes, both between 0 and 24 h.")
    if any(last < first for first, last in site.hoist_days):
        raise Refused("A booking of the lift or hoist ends on or after the day it starts.")
    new = JobPromise(finish_by_on, site, access_notes.strip()[:2000])
    with db.write() as session:
        found(jobs.find_job(session, job_id, for_change=True), job_id)
        if plans.promise(session, job_id) == new:
            return
        plans.put_promise(session, job_id, new)
        what = f"promised to end by {finish_by_on}" if finish_by_on else "set what the building asks for"
        audit.note(session, now, staff.name, what, subject(job_id))


def task_edits(db: Database, job_id: int) -> tuple[KeptEdit, ...]:
    """What was set by hand about the tasks of a job."""
    with db.read() as session:
        return plans.task_edits(session).get(job_id, ())


def edit_task(db: Database, staff: StaffMember, job_id: int, edit: TaskEdit, now: datetime) -> None:
    """Set a task by hand; Refused with the reason when it cannot be, or when no reason is given."""
    own = tasks_of_job(db, work_out(db, job_id, now.astimezone().date()))
    others = [kept.edit for kept in task_edits(db, job_id) if kept.edit.code != edit.code]
    fault = edit_fault(edited(own, others), edit)
    if fault:
        raise Refused(fault)
    with db.write() as session:
        found(jobs.find_job(session, job_id, for_change=True), job_id)
        plans.put_task_edit(session, job_id, edit, staff.name, now)
        said = next((task.changed for task in edited(own, [edit]) if task.code == edit.code), "")
        audit.note(session, now, staff.name, f"set {edit.code} by hand: {said}"[:400], subject(job_id))


def let_task_be(db: Database, staff: StaffMember, job_id: int, code: str, now: datetime) -> None:
    """Let a task be as it is worked out again."""
    with db.write() as session:
        found(jobs.find_job(session, job_id, for_change=True), job_id)
        plans.take_task_edit(session, job_id, code)
        audit.note(session, now, staff.name, f"let {code} be as worked out", subject(job_id))
