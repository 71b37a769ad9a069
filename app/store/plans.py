"""Rules of work, promises, tasks set by hand, and accepted plans."""

from datetime import date, datetime
from functools import lru_cache

from pydantic import TypeAdapter
from sqlalchemy import delete, select
from sqlalchemy.orm import Session

from app.schedule.joint_records import JointPlan
from app.schedule.task_edits import TaskEdit
from app.schedule.work_rules import SiteRules, WorkRules
from app.store.day_records import HeldPlan, JobPromise, KeptEdit
from app.store.models import JobPromiseRow, JointPlanRow, TaskEditRow, WorkRulesRow

_RULES = TypeAdapter(WorkRules)
_SITE = TypeAdapter(SiteRules)
_EDIT = TypeAdapter(TaskEdit)
_PLAN = TypeAdapter(JointPlan)


def work_rules(session: Session) -> WorkRules:
    """Give the rules that hold: the last that were saved, or the usual ones."""
    text = session.scalar(select(WorkRulesRow.document).order_by(WorkRulesRow.id.desc()).limit(1))
    return _RULES.validate_json(text) if text else WorkRules()


def put_work_rules(session: Session, rules: WorkRules, who: str, now: datetime) -> None:
    """Save rules; the earlier ones stay on record."""
    session.add(WorkRulesRow(document=_RULES.dump_json(rules).decode(), set_at=now, set_by=who))


def promises(session: Session) -> dict[int, JobPromise]:
    """Give what every job promises, by its id."""
    return {row.job_id: _promise(row) for row in session.scalars(select(JobPromiseRow))}


def promise(session: Session, job_id: int) -> JobPromise:
    """Give what one job promises; nothing when nothing was entered."""
    row = session.get(JobPromiseRow, job_id)
    return _promise(row) if row else JobPromise()


def put_promise(session: Session, job_id: int, new: JobPromise) -> None:
    """Put what a job promises in place."""
    session.merge(
        JobPromiseRow(
            job_id=job_id,
            finish_by_on=new.finish_by_on,
            site=_SITE.dump_json(new.site).decode(),
            access_notes=new.access_notes,
        )
    )


def task_edits(session: Session) -> dict[int, tuple[KeptEdit, ...]]:
    """Give what was set by hand, by job."""
    found: dict[int, list[KeptEdit]] = {}
    for row in session.scalars(select(TaskEditRow).order_by(TaskEditRow.id)):
        found.setdefault(row.job_id, []).append(KeptEdit(_EDIT.validate_json(row.document), row.at, row.by))
    return {job_id: tuple(edits) for job_id, edits in found.items()}


def put_task_edit(session: Session, job_id: int, edit: TaskEdit, who: str, now: datetime) -> None:
    """Put what was set by hand about one task in place of what was set before."""
    take_task_edit(session, job_id, edit.code)
    document = _EDIT.dump_json(edit).decode()
    session.add(TaskEditRow(job_id=job_id, code=edit.code, document=document, at=now, by=who))
    session.flush()


def take_task_edit(session: Session, job_id: int, code: str) -> None:
    """Let a task be as it is worked out again."""
    session.execute(delete(TaskEditRow).where(TaskEditRow.job_id == job_id, TaskEditRow.code == code))


def held_plan(session: Session) -> HeldPlan | None:
    """Give the plan that holds: the last that was accepted, or None."""
    row = session.scalar(select(JointPlanRow).order_by(JointPlanRow.id.desc()).limit(1))
    return HeldPlan(row.id, _plan_of(row.document), row.why, row.at, row.by) if row else None


def accept_plan(session: Session, plan: JointPlan, why: str, who: str, now: datetime) -> int:
    """Let a plan hold and give its id; the earlier ones stay on record."""
    row = JointPlanRow(document=_PLAN.dump_json(plan).decode(), why=why, at=now, by=who)
    session.add(row)
    session.flush()
    return row.id


def _promise(row: JobPromiseRow) -> JobPromise:
    finish_by_on: date | None = row.finish_by_on
    return JobPromise(finish_by_on, _SITE.validate_json(row.site or "{}"), row.access_notes)


@lru_cache(maxsize=8)
def _plan_of(text: str) -> JointPlan:
    """Read a plan; the one that holds is read on every page of days and changes when one is accepted."""
    return _PLAN.validate_json(text)
