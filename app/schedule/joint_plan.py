"""The plan over all jobs: solved anew, or kept in its order and dated anew."""

from collections.abc import Mapping, Sequence
from datetime import date

from app.schedule.bounds import earliest, impossible
from app.schedule.joint_network import Joined, joined
from app.schedule.joint_reasons import reasons
from app.schedule.joint_records import BrokenPromise, JobOutlook, JointInputs, JointPlan, JointTask
from app.schedule.network import Placed, Ready
from app.schedule.passes import in_sequence, sequence_of
from app.schedule.search import score, solve
from app.schedule.spread import finish_spread
from app.schedule.weather_share import weather_shares

# So many placements at most: under 0.15 s for 40 jobs; a search by hand may take ten times as long.
QUICK_EFFORT = 3600
PATIENT_EFFORT = 60_000


def joint_plan(inputs: JointInputs, effort: int = QUICK_EFFORT) -> JointPlan:
    """Give a plan over all jobs, looked for anew.

    Parameters
    ----------
    inputs : JointInputs
        Jobs, calendar, rules.
    effort : int
        How long to look, in pieces of work placed.

    Returns
    -------
    plan : JointPlan
        The same for the same inputs.

    Raises
    ------
    HorizonTooShort
        If the work does not end within years.
    ValueError
        If tasks wait for each other in a ring.

    References
    ----------
    See `search`.
    """
    joint = joined(inputs)
    return _described(inputs, joint, solve(joint.network, effort))


def replanned(inputs: JointInputs, dates: Mapping[tuple[str, str], date]) -> JointPlan:
    """Give a plan that keeps the order of an earlier one.

    Parameters
    ----------
    inputs : JointInputs
        As things stand now.
    dates : mapping of (str, str) to date
        Start of each task of the earlier plan, by job and task.

    Returns
    -------
    plan : JointPlan
        Every crew keeps its order, but for what can now only start later, or was promised for a day: that
        takes its new place. New tasks come where they fit behind what they wait for. Nothing changed gives
        the same days again; a day taken away never ends anything earlier.

    Raises
    ------
    HorizonTooShort
        If the work does not end within years.
    ValueError
        If tasks wait for each other in a ring.

    References
    ----------
    Definition.
    """
    joint = joined(inputs)
    return _described(inputs, joint, placed_so(joint, dates))


def placed_so(joint: Joined, dates: Mapping[tuple[str, str], date]) -> Placed:
    """Place all work in the order of earlier dates.

    Parameters
    ----------
    joint : Joined
        The network and its tasks.
    dates : mapping of (str, str) to date
        Start of each task, by job and task; without any, a plan is looked for.

    Returns
    -------
    placed : Placed
        Every crew keeps its order, as in `replanned`.

    References
    ----------
    Definition.
    """
    if not dates:
        return solve(joint.network, QUICK_EFFORT)
    ready = Ready(joint.network)
    count = len(joint.tasks)
    starts = [0] * count
    for number in range(count):
        job, task = joint.tasks[number]
        known = dates.get((job.code, task.code))
        starts[number] = (known - joint.first_on).days if known is not None else 10**6 + number
        bound = joint.network.works[number].not_before
        if known is not None and bound > max(0, starts[number]):
            starts[number] = bound
        if task.fixed_on is not None:
            starts[number] = (task.fixed_on - joint.first_on).days
    placed = in_sequence(ready, sequence_of(ready, Placed(tuple(starts), tuple(starts))))
    return _forward(joint, ready, placed, starts)


def _forward(joint: Joined, ready: Ready, placed: Placed, starts: list[int]) -> Placed:
    """Put what is done after its promised last day before all else, if that keeps promises better."""
    end_by = dict(joint.network.end_by)
    works = joint.network.works
    late = [n for n, work in enumerate(works) if placed.ends[n] > end_by.get(work.code, placed.ends[n])]
    if not late:
        return placed
    for number in late:
        starts[number] = works[number].not_before - 1
    tried = in_sequence(ready, sequence_of(ready, Placed(tuple(starts), tuple(starts))))
    return min((placed, tried), key=lambda one: score(joint.network, one).late_days)


def _described(inputs: JointInputs, joint: Joined, placed: Placed) -> JointPlan:
    """Give the plan with its reasons, floats and outlooks."""
    network = joint.network
    if not network.works:
        return JointPlan((), (), (), 0, 0, 0)
    ready = Ready(network)
    words = reasons(joint, ready, placed)
    floats = _floats(ready, placed)
    tasks = tuple(
        JointTask(
            job=job.code,
            code=task.code,
            name=task.name,
            who=task.who,
            start_on=joint.day(placed.starts[number]),
            end_on=joint.day(placed.ends[number]),
            float_days=floats[number],
            is_critical=floats[number] == 0,
            is_hold_point=task.is_hold_point,
            because=words[number],
        )
        for number, (job, task) in enumerate(joint.tasks)
    )
    outlooks = _outlooks(inputs, joint, placed)
    judged = score(network, placed)
    return JointPlan(
        tasks=tasks,
        jobs=outlooks,
        broken=_broken(inputs, joint, outlooks, tasks),
        late_days=judged.late_days,
        idle_days=judged.idle_days,
        moves=judged.moves,
        assumptions=(
            "P50 and P80: seeded trials in which work takes 0.9 to 1.4 times what is planned, days are lost "
            "to weather as often as the shop says, and nobody starts before the day planned (common "
            "practice, no source).",
            "A crew does one task at a time; a task is not broken off, though days off may lie within it.",
        ),
    )


def _floats(ready: Ready, placed: Placed) -> list[int]:
    """Give the working days each can slip when every crew keeps its order and every job its end."""
    mirror = ready.turned()
    last = ready.horizon - 1
    ends: dict[int, int] = {}
    for number, job in enumerate(ready.jobs):
        ends[job] = max(ends.get(job, 0), placed.ends[number])
    mirror.not_before = [last - ends[job] for job in ready.jobs]
    back = in_sequence(mirror, sequence_of(ready, placed)[::-1])
    return [
        max(0, ready.firm_seen[last - back.starts[n] + 1] - ready.firm_seen[placed.ends[n] + 1])
        for n in range(len(ready.need))
    ]


def _outlooks(inputs: JointInputs, joint: Joined, placed: Placed) -> tuple[JobOutlook, ...]:
    """Give when each job starts, ends and is likely to end."""
    starts = (joint.day(day) for day in placed.starts)
    tasks = (task for _, task in joint.tasks)
    shares = weather_shares(inputs.rules, inputs.calendar, zip(tasks, starts, strict=True))
    spreads = finish_spread(joint.network, placed, shares)
    found = []
    for job in inputs.jobs:
        mine = [number for number, (owner, _) in enumerate(joint.tasks) if owner.code == job.code]
        if not mine:
            continue
        end_on = joint.day(max(placed.ends[number] for number in mine))
        late = (end_on - job.finish_by_on).days if job.finish_by_on is not None else 0
        found.append(
            JobOutlook(
                job=job.code,
                number=job.number,
                title=job.title,
                crew=job.crew.code,
                start_on=joint.day(min(placed.starts[number] for number in mine)),
                end_on=end_on,
                finish_by_on=job.finish_by_on,
                late_days=max(0, late),
                p50_on=max(end_on, joint.day(spreads[job.code].p50_day)),
                p80_on=max(end_on, joint.day(spreads[job.code].p80_day)),
                is_signed=job.is_signed,
            )
        )
    return tuple(found)


def _broken(
    inputs: JointInputs, joint: Joined, outlooks: Sequence[JobOutlook], tasks: Sequence[JointTask]
) -> tuple[BrokenPromise, ...]:
    """Say which promises are not kept: the proven first, then those that this plan breaks."""
    numbers = {job.code: f"{job.number} {job.title}" for job in inputs.jobs}
    crews = {job.crew.code: job.crew.name for job in inputs.jobs}
    found = []
    for proof in impossible(joint.network):
        names = ", ".join(numbers[job] for job in proof.jobs)
        if proof.crew:
            text = (
                f"{crews.get(proof.crew, proof.crew)} would need {proof.work_days} working days between "
                f"{joint.day(proof.from_day)} and {joint.day(proof.until_day)} and has {proof.free_days}: at "
                f"least one of {names} ends {_days(proof.late_days)} late or more, in whatever order."
            )
        else:
            text = (
                f"{names} cannot end by {joint.day(proof.until_day)}: with crews enough it still ends "
                f"{_days(proof.late_days)} late."
            )
        found.append(BrokenPromise(proof.jobs, text, proof.late_days, is_proven=True))
    for job in outlooks:
        if job.late_days:
            text = (
                f"{job.number} {job.title} ends on {job.end_on}, {_days(job.late_days)} after the promised "
                f"{job.finish_by_on}."
            )
            found.append(BrokenPromise((job.job,), text, job.late_days, is_proven=False))
    return (*found, *_broken_tasks(joint, tasks, numbers))


def _broken_tasks(
    joint: Joined, tasks: Sequence[JointTask], numbers: Mapping[str, str]
) -> list[BrokenPromise]:
    """Say which days promised for single tasks are not kept; proven where no order of the work keeps them."""
    if not joint.network.start_by and not joint.network.end_by:
        return []
    early = earliest(joint.network)
    found = []
    for number, ((_, own), task) in enumerate(zip(joint.tasks, tasks, strict=True)):
        name = f"“{task.name}” of {numbers[task.job]}"
        kinds = (
            (own.fixed_on, task.start_on, early.starts, "was promised for", "starts"),
            (own.end_by_on, task.end_on, early.ends, "was promised to be done by", "ends"),
        )
        for promised, lies_on, soonest, was, does in kinds:
            if promised is None or lies_on <= promised:
                continue
            late, least = (lies_on - promised).days, (joint.day(soonest[number]) - promised).days
            text = f"{name} {was} {promised} and {does} {_days(late)} later. {task.because}"
            if least > 0:
                text += f" No order of the work makes it less than {_days(least)}."
            found.append(BrokenPromise((task.job,), text, late, is_proven=least > 0))
    return found


def _days(count: int) -> str:
    """Write a number of days."""
    return "1 day" if count == 1 else f"{count} days"


def starts_of(plan: JointPlan) -> dict[tuple[str, str], date]:
    """Give the start of each task, for `replanned`.

    Parameters
    ----------
    plan : JointPlan
        Any plan.

    Returns
    -------
    starts : dict of (str, str) to date
        By job and task.

    References
    ----------
    Definition.
    """
    return {(task.job, task.code): task.start_on for task in plan.tasks}
