"""The tasks of a job: the crew's from the phases, the outsiders' from their quotes, the hold points."""

from collections.abc import Sequence
from math import ceil

from app.pricing.records import PHASES, Estimate, EstimateLine
from app.schedule import links
from app.schedule.links import STEPS, Step
from app.schedule.records import Crew, Task
from app.takeoff.totals.records import Quantity

# Hours are sums of rounded rates: a millionth over a full day is not another day.
GRAIN_H = 1e-6
TRADES = (("power.", links.ELECTRICIAN), ("gas.", links.GAS_FITTER), ("", links.SUBCONTRACTOR))


def tasks_of(estimate: Estimate, quantities: Sequence[Quantity], crew: Crew) -> tuple[Task, ...]:
    """Give the tasks of a job, in the order of the work.

    Parameters
    ----------
    estimate : Estimate
        Hours and goods by phase, quotes of outsiders.
    quantities : sequence of Quantity
        Tell whether there is line-voltage or gas work, which is passed by others.
    crew : Crew
        Who does the work.

    Returns
    -------
    tasks : tuple of Task
        Phases without hours or quotes are left out and the links bridged.

    References
    ----------
    Common practice, no source; see `links`.
    """
    tasks_by_step = _work(estimate, crew)
    measured = {quantity.basis for quantity in quantities if quantity.amount > 0}
    for step in STEPS:
        if step.hold_by and _is_held(step.code, tasks_by_step, measured):
            tasks_by_step[step.code] = [_hold_point(step)]
    waits = links.present_links(frozenset(tasks_by_step))
    return tuple(
        _linked(task, step.code, waits, tasks_by_step)
        for step in STEPS
        for task in tasks_by_step.get(step.code, [])
    )


def days_for(hours_h: float, crew: Crew) -> int:
    """Give the working days that a crew takes for hours of work.

    Parameters
    ----------
    hours_h : float
        Labour hours, all people together. [h]
    crew : Crew
        How many people, for how long a day.

    Returns
    -------
    days : int
        At least one where there is work. [days]

    Raises
    ------
    ValueError
        If the crew works no hours.

    Examples
    --------
    >>> days_for(33.0, Crew("a", "A", people=2, day_h=8.0))
    3

    References
    ----------
    Definition.
    """
    day_h = crew.people * crew.day_h
    if day_h <= 0:
        raise ValueError(f"The crew {crew.code} works no hours in a day.")
    return max(1, ceil((hours_h - GRAIN_H) / day_h)) if hours_h > 0 else 0


def step_of(task: Task) -> str:
    """Give the step that a task belongs to.

    Parameters
    ----------
    task : Task
        Of this room.

    Returns
    -------
    code : str
        Its phase, or its own code for a hold point.

    References
    ----------
    Definition.
    """
    return task.phase or task.code


def _work(estimate: Estimate, crew: Crew) -> dict[str, list[Task]]:
    """Give the work by phase: the crew's task, and one for each trade that quoted."""
    found: dict[str, list[Task]] = {}
    names = {step.code: step.name for step in STEPS}
    for phase in PHASES:
        lines = [line for line in estimate.lines if line.phase == phase]
        hours = sum(line.hours_h for line in lines)
        tasks = []
        if hours > 0:
            needs = _items(lines)
            if phase == "carry-up":
                carried = [line for line in estimate.lines if line.phase in links.CARRIED_PHASES]
                needs = _items([*lines, *carried])
            days = days_for(hours, crew)
            tasks.append(Task(phase, names[phase], phase, days, hours, (), False, needs, crew.code))
        for trade in _trades(lines):
            code, name = f"{phase}, {trade}", f"{names[phase]}: {trade}"
            tasks.append(Task(code, name, phase, links.OUTSIDER_DAYS, 0.0, (), False, (), trade))
        if tasks:
            found[phase] = tasks
    return found


def _trades(lines: Sequence[EstimateLine]) -> list[str]:
    """Name the trades that quoted for a phase, each once."""
    quotes = [line.basis for line in lines if line.kind == "subcontract"]
    named = [next(trade for start, trade in TRADES if basis.startswith(start)) for basis in quotes]
    return list(dict.fromkeys(named))


def _items(lines: Sequence[EstimateLine]) -> tuple[str, ...]:
    """Name the goods of some lines, each once, in order."""
    return tuple(sorted({line.item for line in lines if line.kind == "material"}))


def _is_held(code: str, present: dict[str, list[Task]], measured: set[str]) -> bool:
    """Tell whether a job has this hold point."""
    if code == "membrane look":
        return "carry-up" in present or "frame" in present
    if code == "drainage check":
        return "frame" in present
    if code == "rough-in inspection":
        return "rough-in" in present
    if code == "electrical final":
        return any(basis.startswith("power.") for basis in measured)
    if code == "gas final":
        return any(basis.startswith("gas.") for basis in measured)
    return bool(present)


def _hold_point(step: Step) -> Task:
    """Give the task of a hold point: no labour, a day for whoever signs."""
    days = links.INSPECTION_DAYS
    return Task(step.code, step.name, "", days, 0.0, (), True, (), step.hold_by)


def _linked(
    task: Task,
    step: str,
    waits: dict[str, tuple[tuple[str, int], ...]],
    tasks_by_step: dict[str, list[Task]],
) -> Task:
    """Give a task with the codes of all the tasks it waits for."""
    after = tuple((before.code, lag) for code, lag in waits[step] for before in tasks_by_step[code])
    return Task(
        code=task.code,
        name=task.name,
        phase=task.phase,
        days=task.days,
        hours_h=task.hours_h,
        after=after,
        is_hold_point=task.is_hold_point,
        needs=task.needs,
        who=task.who,
    )
