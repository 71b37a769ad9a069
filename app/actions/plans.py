"""The plan over all jobs: proposed from what is known now, compared with the one that holds."""

import hashlib
from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import date
from functools import lru_cache
from math import ceil

from pydantic import TypeAdapter

from app.actions.clock import day_of
from app.actions.database import Database
from app.actions.errors import Refused
from app.actions.records import JobCard, JobSheet, JobState, Shop, WorkedOut
from app.actions.sheet import job_sheet
from app.actions.takeoff import calendar_of, firm_of, shop_of, work_out_sheet
from app.job.errors import InputErrors
from app.schedule.calendars import add_working_days
from app.schedule.comparing import (
    PlanChange,
    better_order,
    change_between,
    what_if,
    with_what_was_done,
)
from app.schedule.joint_plan import joint_plan, replanned, starts_of
from app.schedule.joint_records import JointInputs, JointJob, JointPlan
from app.schedule.network import HorizonTooShort
from app.schedule.notice import Told, with_notice
from app.schedule.records import Calendar, Task
from app.schedule.redate import redated
from app.schedule.supposed import Supposed
from app.schedule.task_edits import TaskEdit, edited
from app.schedule.work_rules import WorkRules
from app.store import deliveries, jobs, plans, site
from app.store.day_records import Delivery, HeldPlan, JobPromise, KeptEdit, PurchaseOrder
from app.store.records import LogEntry, OrderPlaced

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
    held = held or held_plan(db)
    code = str(worked.sheet.id)
    with db.read() as session:
        edits = plans.task_edits(session).get(worked.sheet.id, ())
        rules = plans.work_rules(session)
    own = with_notice([planned.task for planned in worked.answer.days.tasks], rules)
    tasks = edited(own, [kept.edit for kept in edits])
    placed = [task for task in held.plan.tasks if task.job == code] if held else []
    if not placed:
        placed = list(_alone(_known(db, worked.today, only=worked, firm=firm), worked).tasks)
    answer = worked.answer
    days = redated(answer.days, tasks, placed, answer.estimate, worked.prices, worked.calendar, worked.today)
    return replace(worked, answer=replace(answer, days=days))


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


@lru_cache(maxsize=128)
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
    worked: list[WorkedOut] = []
    unreadable: list[tuple[int, str]] = []
    if only is not None:
        worked.append(only)
        firm = firm or firm_of(db)
    else:
        with db.read() as session:
            cards = jobs.list_jobs(session, states=PLANNED)
        worked, unreadable, firm = worked_out(db, cards, today)
    with db.read() as session:
        rules, promises, edits = (
            plans.work_rules(session),
            plans.promises(session),
            _edits(plans.task_edits(session), tried),
        )
        held = plans.held_plan(session)
        planned = tuple(
            _joint_job(
                one,
                (promises.get(one.sheet.id, JobPromise()), edits.get(one.sheet.id, ())),
                site.entries(session, one.sheet.id),
                frozenset(site.releases(session, one.sheet.id)),
                _Goods(
                    deliveries.orders_of(session, one.sheet.id),
                    site.orders_placed(session, one.sheet.id),
                    goods_that_came(deliveries.deliveries(session, one.sheet.id)),
                ),
                rules,
            )
            for one in sorted(worked, key=lambda one: one.sheet.id)
        )
    starts = [job.start_on for job in planned]
    calendar = calendar_of(firm, max([today, *starts]), today)
    expected = tuple(one for one in rules.expected if one.on >= today)
    inputs = JointInputs(planned, calendar, rules, today, expected, _told(held))
    return _Known(inputs, held, tuple(unreadable))


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
    sheets, unreadable = [], []
    for card in cards:
        try:
            sheets.append(job_sheet(db, card.id))
        except InputErrors as faults:
            unreadable.append((card.id, f"{card.number} {card.title}: {faults}"))
    if not sheets:
        return [], unreadable, firm_of(db)
    book, firm = shop_of(db, today, *(sheet.job for sheet in sheets))
    return [work_out_sheet(sheet, book, firm, today) for sheet in sheets], unreadable, firm


def _joint_job(
    worked: WorkedOut,
    by_hand: tuple[JobPromise, tuple[TaskEdit, ...]],
    log: tuple[LogEntry, ...],
    released: frozenset[str],
    goods: "_Goods",
    rules: WorkRules,
) -> JointJob:
    """Give one job as it is planned with the others."""
    promise, edits = by_hand
    sheet: JobSheet = worked.sheet
    own = with_notice([planned.task for planned in worked.answer.days.tasks], rules)
    tasks = edited(own, edits)
    progress = progress_of(log)
    done = tuple(
        task.code
        for task in tasks
        if (task.code in released if task.is_hold_point else progress.get(task.code, 0) >= 100)
    )
    return JointJob(
        code=str(sheet.id),
        number=sheet.number,
        title=sheet.title,
        tasks=tuple(_left(task, progress.get(task.code, 0)) for task in tasks),
        crew=worked.crew,
        start_on=worked.start_on,
        finish_by_on=promise.finish_by_on,
        ready_on=_ready_on(worked, tasks, goods),
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


def goods_that_came(came: Iterable[Delivery]) -> dict[str, int]:
    """Give the packs of each item that are there and can be used."""
    found: dict[str, int] = {}
    for one in came:
        found[one.item] = found.get(one.item, 0) + one.packs - one.damaged
    return found


@dataclass(frozen=True, slots=True)
class _Goods:
    """What is known of the goods of one job."""

    orders: tuple[PurchaseOrder, ...]
    placed: dict[str, OrderPlaced]
    came: dict[str, int]


def _ready_on(worked: WorkedOut, tasks: Iterable[Task], goods: _Goods) -> tuple[tuple[str, date], ...]:
    """Give by task when its goods are there: as confirmed, else the lead time after the order or today."""
    confirmed = {
        line.item: order.confirmed_for_on
        for order in sorted(goods.orders, key=lambda order: order.id)
        for line in order.lines
        if order.confirmed_for_on
    }
    ready: dict[str, date] = {}
    after: dict[tuple[date, int], date] = {}
    for line in worked.answer.days.orders:
        if goods.came.get(line.item, 0) >= line.packs:
            continue
        placed = goods.placed.get(line.item)
        key = (day_of(placed.at) if placed else worked.today, line.lead_days)
        if line.item not in confirmed and key not in after:
            after[key] = add_working_days(worked.calendar, *key)
        ready[line.item] = confirmed.get(line.item) or after[key]
    found = ((task.code, [ready[item] for item in task.needs if item in ready]) for task in tasks)
    return tuple((code, max(days)) for code, days in found if days)
