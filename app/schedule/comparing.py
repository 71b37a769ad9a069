"""Two plans over all jobs side by side: what moves, by how much."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import date

from app.schedule.joint_plan import PATIENT_EFFORT, joint_plan, replanned
from app.schedule.joint_records import JointInputs, JointPlan


@dataclass(frozen=True, slots=True)
class MovedTask:
    """One task that lies elsewhere; dates are None where a plan does not hold it.

    Attributes
    ----------
    job, code, name : str
    then_on, now_on, then_end_on, now_end_on : date or None
    because : str
        What binds it now.
    """

    job: str
    code: str
    name: str
    then_on: date | None
    now_on: date | None
    then_end_on: date | None
    now_end_on: date | None
    because: str


@dataclass(frozen=True, slots=True)
class MovedJob:
    """One job that ends on another day.

    Attributes
    ----------
    job, number, title : str
    then_on, now_on : date or None
        Its last day.
    days : int
        Later is positive. [days]
    """

    job: str
    number: str
    title: str
    then_on: date | None
    now_on: date | None
    days: int


@dataclass(frozen=True, slots=True)
class PlanChange:
    """What is different between two plans.

    Attributes
    ----------
    tasks : tuple of MovedTask
    jobs : tuple of MovedJob
    late_days, idle_days, moves : int
        More is positive. [days]
    """

    tasks: tuple[MovedTask, ...]
    jobs: tuple[MovedJob, ...]
    late_days: int
    idle_days: int
    moves: int

    @property
    def is_empty(self) -> bool:
        """Whether nothing moves."""
        return not self.tasks


def change_between(then: JointPlan, now: JointPlan) -> PlanChange:
    """Give what is different between two plans.

    Parameters
    ----------
    then : JointPlan
        The plan that holds.
    now : JointPlan
        The plan that could take its place.

    Returns
    -------
    change : PlanChange
        Empty for the same days.

    References
    ----------
    Definition.
    """
    old = {(task.job, task.code): task for task in then.tasks}
    new = {(task.job, task.code): task for task in now.tasks}
    tasks = []
    for key in dict.fromkeys([*new, *old]):
        before, after = old.get(key), new.get(key)
        if before and after and (before.start_on, before.end_on) == (after.start_on, after.end_on):
            continue
        named = after or before
        assert named is not None
        tasks.append(
            MovedTask(
                job=named.job,
                code=named.code,
                name=named.name,
                then_on=before.start_on if before else None,
                now_on=after.start_on if after else None,
                then_end_on=before.end_on if before else None,
                now_end_on=after.end_on if after else None,
                because=after.because if after else "No longer part of the plan.",
            )
        )
    return PlanChange(
        tasks=tuple(tasks),
        jobs=_moved_jobs(then, now),
        late_days=now.late_days - then.late_days,
        idle_days=now.idle_days - then.idle_days,
        moves=now.moves - then.moves,
    )


def with_what_was_done(plan: JointPlan, held: JointPlan, done: frozenset[tuple[str, str]]) -> JointPlan:
    """Give a plan that still tells when the tasks that are done lay.

    Parameters
    ----------
    plan : JointPlan
        Of what is left to do.
    held : JointPlan
        The plan that held while they were done.
    done : frozenset of (str, str)
        Job and task of what is done.

    Returns
    -------
    plan : JointPlan
        With the days of the done tasks as they were planned.

    References
    ----------
    Definition.
    """
    known = {(task.job, task.code) for task in plan.tasks}
    kept = tuple(
        replace(task, because="Done.", float_days=0, is_critical=False)
        for task in held.tasks
        if (task.job, task.code) in done and (task.job, task.code) not in known
    )
    tasks = sorted((*kept, *plan.tasks), key=lambda task: (task.job, task.start_on, task.end_on))
    return replace(plan, tasks=tuple(tasks))


def what_if(inputs: JointInputs, supposed: JointInputs, dates: Mapping[tuple[str, str], date]) -> JointPlan:
    """Give the plan that would follow from something supposed.

    Parameters
    ----------
    inputs : JointInputs
        As things stand.
    supposed : JointInputs
        The same with what is supposed.
    dates : mapping of (str, str) to date
        Starts of the plan that holds; empty when there is none.

    Returns
    -------
    plan : JointPlan
        Every crew keeps its order, so that a day taken away never ends anything earlier.

    References
    ----------
    Definition.
    """
    if dates:
        return replanned(supposed, dates)
    plan = joint_plan(inputs)
    return replanned(supposed, {(task.job, task.code): task.start_on for task in plan.tasks})


def better_order(inputs: JointInputs, dates: Mapping[tuple[str, str], date]) -> JointPlan:
    """Give the best plan of the one that keeps its order and the ones found by looking longer.

    Parameters
    ----------
    inputs : JointInputs
        As things stand.
    dates : mapping of (str, str) to date
        Starts of the plan that holds.

    Returns
    -------
    plan : JointPlan
        The kept order unless another is better by lateness, idle days, moves or ends.

    References
    ----------
    Definition.
    """
    kept = replanned(inputs, dates)
    found = joint_plan(inputs, PATIENT_EFFORT)
    return found if _key(found) < _key(kept) else kept


def _key(plan: JointPlan) -> tuple[int, int, int, int]:
    """Give what plans are compared by."""
    return plan.late_days, plan.idle_days, plan.moves, sum(job.end_on.toordinal() for job in plan.jobs)


def _moved_jobs(then: JointPlan, now: JointPlan) -> tuple[MovedJob, ...]:
    """Give the jobs that end on another day."""
    old = {job.job: job for job in then.jobs}
    new = {job.job: job for job in now.jobs}
    found = []
    for code in dict.fromkeys([*new, *old]):
        before, after = old.get(code), new.get(code)
        named = after or before
        assert named is not None
        then_on, now_on = before.end_on if before else None, after.end_on if after else None
        if then_on != now_on:
            days = (now_on - then_on).days if now_on and then_on else 0
            found.append(MovedJob(code, named.number, named.title, then_on, now_on, days))
    return tuple(found)
