"""The plan over all jobs: proposed from what is known now, compared with the one that holds."""

import hashlib
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import date
from functools import lru_cache
from math import ceil

from pydantic import TypeAdapter

from app.actions.clock import day_of
from app.actions.database import Database
from app.actions.errors import Refused
from app.actions.extra_work import tasks_with_changes
from app.actions.records import JobCard, JobSheet, JobState, Shop, WorkedOut
from app.actions.redating import days_of
from app.actions.sheet import sheets_to_plan
from app.actions.takeoff import calendar_of, firm_of, shop_of, work_out_sheet
from app.schedule.calendars import add_working_days
from app.schedule.comparing import (
    PlanChange,
    better_order,
    change_between,
    what_if,
    with_what_was_done,
)
from app.schedule.joint_plan import joint_plan, replanned, starts_of
from app.schedule.joint_records import JointInputs, JointJob, JointPlan, JointTask
from app.schedule.network import HorizonTooShort
from app.schedule.notice import Told, with_notice
from app.schedule.records import Calendar, Task
from app.schedule.supposed import Supposed
from app.schedule.task_edits import TaskEdit, edited
from app.schedule.work_rules import WorkRules
from app.store import jobs, plans
from app.store.day_records import HeldPlan, JobPromise, KeptEdit
from app.store.plan_facts import PlanFacts, plan_facts
from app.store.records import LogEntry

PLANNED: tuple[JobState, ...] = ("offered", "signed", "on the roof")
_PLAN = TypeAdapter(JointPlan)
Dates = tuple[tuple[tuple[str, str], date], ...]


@dataclass(frozen=True, slots=True)
class PlanView:
    """The plan that holds beside the one proposed from what is known now.

    `pending` counts the tasks that would lie on other days even without what is supposed.
    """

    held: HeldPlan | None
    proposed: JointPlan
    change: PlanChange
    fingerprint: str
    unreadable: tuple[tuple[int, str], ...]
    pending: int = 0
    calendar: Calendar | None = None

    @property
    def is_new(self) -> bool:
        """Whether there is something to accept."""
        return self.held is None or not self.change.is_empty


@dataclass(frozen=True, slots=True)
class _Known:
    """All that a plan is made from, and the days of the plan that holds."""

    inputs: JointInputs
    held: HeldPlan | None
    unreadable: tuple[tuple[int, str], ...]

    @property
    def dates(self) -> tuple[tuple[tuple[str, str], date], ...]:
        """Starts of the plan that holds."""
        return tuple(starts_of(self.held.plan).items()) if self.held else ()

    @property
    def done(self) -> frozenset[tuple[str, str]]:
        """Job and task of what is done."""
        return frozenset((job.code, code) for job in self.inputs.jobs for code in job.done)


def plan_view(db: Database, today: date) -> PlanView:
    """The plan that holds, the one proposed now, and what is different; Refused when none can be made."""
    known = _known(db, today)
    return _view(known, _proposed(known.inputs, known.dates))


def suppose(db: Database, today: date, supposed: Iterable[Supposed]) -> PlanView:
    """What would follow from something supposed, beside what is proposed without it; nothing is kept."""
    known = _known(db, today)
    now = _proposed(known.inputs, known.dates)
    then = replace(known.inputs, supposed=(*known.inputs.supposed, *supposed))
    try:
        plan = what_if(known.inputs, then, starts_of(now))
    except HorizonTooShort as fault:
        raise Refused(str(fault)) from fault
    whole, without = _view(known, plan), _view(known, now)
    pending = len(without.change.tasks) if known.held else 0
    change = change_between(now, plan)
    return replace(whole, change=change, pending=pending)


def look_for_better(db: Database, today: date) -> PlanView:
    """A better order of the work, if a longer search finds one; nothing is kept."""
    known = _known(db, today)
    try:
        return _view(known, better_order(known.inputs, dict(known.dates)))
    except HorizonTooShort as fault:
        raise Refused(str(fault)) from fault


def planned_with(db: Database, worked: WorkedOut, tried: TaskEdit | None) -> PlanView:
    """The plan that would be proposed if a task of a job were set by hand; nothing is kept.

    A job that is neither offered nor signed is planned for itself.
    """
    by_hand = (worked.sheet.id, tried) if tried else None
    if worked.sheet.state in PLANNED:
        known = _known(db, worked.today, tried=by_hand)
        return _view(known, _proposed(known.inputs, known.dates))
    known = _known(db, worked.today, only=worked, tried=by_hand)
    plan = _alone(known, worked)
    return PlanView(None, plan, change_between(plan, plan), fingerprint(plan), ())


def what_is_known(db: Database, today: date) -> tuple[JointInputs, Dates]:
    """What a plan is made from now, and the starts of the plan that holds."""
    known = _known(db, today)
    return known.inputs, known.dates


def planned_so(db: Database, today: date, dates: Dates) -> PlanView:
    """The plan in the order of some starts, by what is known now; nothing is kept."""
    known = _known(db, today)
    return _view(known, _proposed(known.inputs, dates))


def held_plan(db: Database) -> HeldPlan | None:
    """The plan that holds, or None."""
    with db.read() as session:
        return plans.held_plan(session)


def dated(
    db: Database, worked: WorkedOut, held: HeldPlan | None = None, firm: Shop | None = None
) -> WorkedOut:
    """A job with the days it has in the plan that holds; without one, planned for itself with its edits."""
    return dated_all(db, (worked,), held, firm)[0]


def dated_all(
    db: Database, worked: Sequence[WorkedOut], held: HeldPlan | None = None, firm: Shop | None = None
) -> list[WorkedOut]:
    """Some jobs, each with its days as by `dated`."""
    gathered = _gather(db, worked, None)
    held = held or gathered.held
    placed: dict[str, list[JointTask]] = {}
    for task in held.plan.tasks if held else ():
        placed.setdefault(task.job, []).append(task)
    found = []
    for one in worked:
        tasks = edited(gathered.own[one.sheet.id], gathered.edits.get(one.sheet.id, ()))
        mine = placed.get(str(one.sheet.id))
        if not mine:
            firm = firm or firm_of(db)
            mine = list(_alone(_known_of(gathered, (one,), firm, one.today), one).tasks)
        found.append(replace(one, answer=replace(one.answer, days=days_of(one, tasks, mine))))
    return found


def _alone(known: _Known, worked: WorkedOut) -> JointPlan:
    """Plan a job for itself from its first day on, whatever has come or is done by now."""
    alone = tuple(replace(job, ready_on=(), done=()) for job in known.inputs.jobs)
    first_on = min(worked.today, worked.start_on)
    return _proposed(replace(known.inputs, jobs=alone, today=first_on), ())


def fingerprint(plan: JointPlan) -> str:
    """Give the SHA-256 of a plan, so that what is accepted is what was seen."""
    return hashlib.sha256(_PLAN.dump_json(plan)).hexdigest()


def _view(known: _Known, proposed: JointPlan) -> PlanView:
    if known.held is None:
        empty = JointPlan((), (), (), 0, 0, 0)
        change = change_between(empty, proposed)
        return PlanView(
            None, proposed, change, fingerprint(proposed), known.unreadable, calendar=known.inputs.calendar
        )
    whole = with_what_was_done(proposed, known.held.plan, known.done)
    change = change_between(known.held.plan, whole)
    return PlanView(
        known.held, whole, change, fingerprint(whole), known.unreadable, calendar=known.inputs.calendar
    )


@lru_cache(maxsize=512)
def _made(inputs: JointInputs, dates: tuple[tuple[tuple[str, str], date], ...]) -> JointPlan:
    return replanned(inputs, dict(dates)) if dates else joint_plan(inputs)


def _proposed(inputs: JointInputs, dates: tuple[tuple[tuple[str, str], date], ...]) -> JointPlan:
    """Keep the order of the plan that holds; without one look for a plan."""
    try:
        return _made(inputs, dates)
    except HorizonTooShort as fault:
        raise Refused(f"No plan can be made: {fault} Look at leave, quiet hours and booked lifts.") from fault


def _known(
    db: Database,
    today: date,
    only: WorkedOut | None = None,
    firm: Shop | None = None,
    tried: tuple[int, TaskEdit] | None = None,
) -> _Known:
    """Gather jobs, calendar and rules; with `only` that job alone, with `tried` a task of a job set so."""
    if only is not None:
        return _known_of(_gather(db, (only,), tried), (only,), firm or firm_of(db), today)
    with db.read() as session:
        cards = jobs.list_jobs(session, states=PLANNED)
    worked, unreadable, firm = worked_out(db, cards, today)
    known = _known_of(_gather(db, worked, tried), worked, firm, today)
    return replace(known, unreadable=tuple(unreadable))


@dataclass(frozen=True, slots=True)
class _Gathered:
    """What the database says of some jobs, each as it is planned with the others."""

    planned: dict[int, JointJob]
    own: dict[int, tuple[Task, ...]]
    rules: WorkRules
    edits: dict[int, tuple[TaskEdit, ...]]
    held: HeldPlan | None


def _gather(db: Database, worked: Sequence[WorkedOut], tried: tuple[int, TaskEdit] | None) -> _Gathered:
    """Read what is known of some jobs, in as many questions as for one."""
    with db.read() as session:
        rules, promises = plans.work_rules(session), plans.promises(session)
        edits = _edits(plans.task_edits(session), tried)
        held = plans.held_plan(session)
        facts = plan_facts(session, [one.sheet.id for one in worked])
    own = {
        one.sheet.id: with_notice(tasks_with_changes(one, facts[one.sheet.id].spoken), rules)
        for one in worked
    }
    planned = {
        one.sheet.id: _joint_job(
            one,
            own[one.sheet.id],
            (promises.get(one.sheet.id, JobPromise()), edits.get(one.sheet.id, ())),
            facts[one.sheet.id],
        )
        for one in worked
    }
    return _Gathered(planned, own, rules, edits, held)


def _known_of(gathered: _Gathered, worked: Sequence[WorkedOut], firm: Shop, today: date) -> _Known:
    """Give what a plan of some jobs is made from."""
    planned = tuple(gathered.planned[job_id] for job_id in sorted(one.sheet.id for one in worked))
    calendar = calendar_of(firm, max([today, *(job.start_on for job in planned)]), today)
    expected = tuple(one for one in gathered.rules.expected if one.on >= today)
    inputs = JointInputs(planned, calendar, gathered.rules, today, expected, _told(gathered.held))
    return _Known(inputs, gathered.held, ())


def _edits(
    kept: dict[int, tuple[KeptEdit, ...]], tried: tuple[int, TaskEdit] | None
) -> dict[int, tuple[TaskEdit, ...]]:
    """Give what was set by hand, by job, with one more that is tried."""
    edits = {job_id: tuple(one.edit for one in mine) for job_id, mine in kept.items()}
    if tried is not None:
        edits[tried[0]] = (*edits.get(tried[0], ()), tried[1])
    return edits


def _told(held: HeldPlan | None) -> tuple[Told, ...]:
    """Give the days of the plan that holds: whoever comes by appointment has been told them."""
    return tuple(
        Told(task.job, task.code, task.start_on, task.end_on) for task in (held.plan.tasks if held else ())
    )


def worked_out(
    db: Database, cards: Iterable[JobCard], today: date
) -> tuple[list[WorkedOut], list[tuple[int, str]], Shop]:
    """Work some jobs out with one look at the price list; gives those that cannot be read apart."""
    sheets, faulty = sheets_to_plan(db, [card.id for card in cards])
    unreadable = [(one.id, f"{one.number} {one.title}: {faults}") for one, faults in faulty]
    if not sheets:
        return [], unreadable, firm_of(db)
    book, firm = shop_of(db, today, *(sheet.job for sheet in sheets))
    return [work_out_sheet(sheet, book, firm, today) for sheet in sheets], unreadable, firm


def _joint_job(
    worked: WorkedOut,
    own: tuple[Task, ...],
    by_hand: tuple[JobPromise, tuple[TaskEdit, ...]],
    facts: PlanFacts,
) -> JointJob:
    """Give one job as it is planned with the others."""
    promise, edits = by_hand
    sheet: JobSheet = worked.sheet
    tasks = edited(own, edits)
    progress = facts.progress
    done = tuple(
        task.code
        for task in tasks
        if (task.code in facts.released if task.is_hold_point else progress.get(task.code, 0) >= 100)
    )
    return JointJob(
        code=str(sheet.id),
        number=sheet.number,
        title=sheet.title,
        tasks=tuple(_left(task, progress.get(task.code, 0)) for task in tasks),
        crew=worked.crew,
        start_on=worked.start_on,
        finish_by_on=promise.finish_by_on,
        ready_on=_ready_on(worked, tasks, facts),
        site=promise.site,
        is_signed=sheet.state in ("signed", "on the roof"),
        done=done,
    )


def progress_of(log: Iterable[LogEntry]) -> dict[str, int]:
    """Give how far each task is: what was noted last. [%]"""
    noted = sorted((entry.on, entry.id, entry.task_code, entry.done_pct) for entry in log if entry.task_code)
    return {code: pct for _, _, code, pct in noted if pct is not None}


def _left(task: Task, done_pct: int) -> Task:
    """Give what is left of a task that is begun."""
    if not 0 < done_pct < 100:
        return task
    share = 1 - done_pct / 100
    return replace(task, days=max(1, ceil(task.days * share)), hours_h=task.hours_h * share)


def _ready_on(worked: WorkedOut, tasks: Iterable[Task], facts: PlanFacts) -> tuple[tuple[str, date], ...]:
    """Give by task when its goods are there: as confirmed, else the lead time after the order or today."""
    ready: dict[str, date] = {}
    after: dict[tuple[date, int], date] = {}
    for line in worked.answer.days.orders:
        if facts.came.get(line.item, 0) >= line.packs:
            continue
        ordered_at = facts.ordered.get(line.item)
        key = (day_of(ordered_at) if ordered_at else worked.today, line.lead_days)
        if line.item not in facts.confirmed and key not in after:
            after[key] = add_working_days(worked.calendar, *key)
        ready[line.item] = facts.confirmed.get(line.item) or after[key]
    found = ((task.code, [ready[item] for item in task.needs if item in ready]) for task in tasks)
    return tuple((code, max(days)) for code, days in found if days)
