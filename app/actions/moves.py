"""A task moved on the Days: looked at first with what it pushes and what binds it, then set and accepted."""

from dataclasses import dataclass, replace
from datetime import date, datetime

from app.actions.accepting import accept
from app.actions.by_hand import edit_task, task_edits
from app.actions.database import Database
from app.actions.errors import Refused
from app.actions.extra_work import tasks_of_job
from app.actions.plans import PLANNED, held_plan, plan_view, planned_with
from app.actions.records import StaffMember, WorkedOut
from app.schedule.comparing import PlanChange, change_between
from app.schedule.joint_records import BrokenPromise, JointPlan, JointTask
from app.schedule.task_edits import TaskEdit, edit_fault, edited


@dataclass(frozen=True, slots=True)
class MoveLook:
    """What would follow from a task set by hand; nothing of it is kept."""

    edit: TaskEdit
    task: JointTask
    lies_on: date
    change: PlanChange
    broken: tuple[BrokenPromise, ...]
    numbers: dict[str, str]
    fingerprint: str
    can_accept: bool

    @property
    def wanted_on(self) -> date | None:
        """The day asked for, when one was."""
        return self.edit.fixed_on or self.edit.not_before_on

    @property
    def pushed(self) -> int:
        """How many other tasks would lie on other days."""
        key = (self.task.job, self.task.code)
        return sum((moved.job, moved.code) != key for moved in self.change.tasks)


def moved_to(db: Database, job_id: int, code: str, on: date, *, is_promised: bool) -> TaskEdit:
    """What was set by hand about a task, with another day: not before it, or promised for it."""
    kept = next((one.edit for one in task_edits(db, job_id) if one.edit.code == code), TaskEdit(code, ""))
    if is_promised:
        return replace(kept, fixed_on=on, not_before_on=None)
    return replace(kept, fixed_on=None, not_before_on=on)


def look_at_move(db: Database, worked: WorkedOut, edit: TaskEdit) -> MoveLook:
    """What a task set by hand would push, and what binds it; Refused when it cannot be set."""
    nameless = replace(edit, reason="")
    _check(db, worked, nameless)
    now, then = planned_with(db, worked, None), planned_with(db, worked, nameless)
    key = (str(worked.sheet.id), edit.code)
    before, after = _task_in(now.proposed, key), _task_in(then.proposed, key)
    if before is None or after is None or after.because == "Done.":
        raise Refused(f"{edit.code} is done; its days stay as they were.")
    known = {(one.jobs, one.text) for one in now.proposed.broken}
    return MoveLook(
        edit=edit,
        task=after,
        lies_on=before.start_on,
        change=change_between(now.proposed, then.proposed),
        broken=tuple(one for one in then.proposed.broken if (one.jobs, one.text) not in known),
        numbers={job.job: job.number for job in then.proposed.jobs},
        fingerprint=then.fingerprint,
        can_accept=worked.sheet.state in PLANNED and held_plan(db) is not None,
    )


def set_and_accept(
    db: Database, staff: StaffMember, worked: WorkedOut, edit: TaskEdit, seen: str, now: datetime
) -> int:
    """Set a task by hand and let the plan looked at hold; Refused when another would follow by now."""
    if look_at_move(db, worked, edit).fingerprint != seen:
        raise Refused("Something changed since you looked at this move; look at it again before accepting.")
    edit_task(db, staff, worked.sheet.id, edit, now)
    view = plan_view(db, worked.today)
    return accept(db, staff, view.fingerprint, edit.reason, now, view)


def _check(db: Database, worked: WorkedOut, edit: TaskEdit) -> None:
    own = tasks_of_job(db, worked)
    others = [kept.edit for kept in task_edits(db, worked.sheet.id) if kept.edit.code != edit.code]
    fault = edit_fault(edited(own, others), replace(edit, reason="tried"))
    if fault:
        raise Refused(fault)


def _task_in(plan: JointPlan, key: tuple[str, str]) -> JointTask | None:
    return next((task for task in plan.tasks if (task.job, task.code) == key), None)
