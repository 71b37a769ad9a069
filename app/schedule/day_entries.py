"""The plan turned round: for every working day, who does what with what."""

from collections.abc import Mapping, Sequence
from datetime import date

from app.pricing.records import PHASES, Estimate
from app.schedule.records import Crew, DayEntry, PlannedTask


def first_needed(planned: Sequence[PlannedTask], estimate: Estimate, first_on: date) -> dict[str, date]:
    """Give the first working day on which each item is needed.

    Parameters
    ----------
    planned : sequence of PlannedTask
        Tasks with their dates.
    estimate : Estimate
        Names the items bought.
    first_on : date
        First day of the job.

    Returns
    -------
    needed_on : dict of str to date
        By item: the start of the first task that needs it. Goods of a phase without work of its own are
        needed with the next phase that has some, or on the first day.

    References
    ----------
    Definition.
    """
    needed: dict[str, date] = {}
    starts: dict[str, date] = {}
    for task in planned:
        if task.task.phase:
            known = starts.get(task.task.phase, task.start_on)
            starts[task.task.phase] = min(known, task.start_on)
        for item in task.task.needs:
            needed[item] = min(needed.get(item, task.start_on), task.start_on)
    for line in estimate.lines:
        if line.kind == "material" and line.item not in needed:
            later = PHASES[PHASES.index(line.phase) :]
            needed[line.item] = next((starts[phase] for phase in later if phase in starts), first_on)
    return needed


def day_entries(
    planned: Sequence[PlannedTask], crew: Crew, dates: Sequence[date], needed_on: Mapping[str, date]
) -> tuple[DayEntry, ...]:
    """Give an entry for every working day of the job.

    Parameters
    ----------
    planned : sequence of PlannedTask
        Tasks with their dates.
    crew : Crew
        Its day decides how many hours of a task go into one.
    dates : sequence of date
        The working days from the first to the last.
    needed_on : mapping of str to date
        First working day each item is needed.

    Returns
    -------
    entries : tuple of DayEntry
        Days on which nobody works stand too: a lag or an inspection passes.

    Notes
    -----
    A task fills whole crew days from its first day on; what is left falls on its last.

    References
    ----------
    Definition.
    """
    hours = {task.task.code: _hours_by_day(task, crew, dates) for task in planned}
    entries = []
    for on in dates:
        here = [task for task in planned if task.start_on <= on <= task.end_on]
        entries.append(
            DayEntry(
                on=on,
                tasks=tuple(task.task.code for task in here),
                who=tuple(task.task.who for task in here),
                hours_h=tuple(hours[task.task.code][on] for task in here),
                bring=tuple(sorted(item for item, day in needed_on.items() if day == on)),
                hold_points=tuple(
                    task.task.code for task in here if task.task.is_hold_point and task.end_on == on
                ),
            )
        )
    return tuple(entries)


def _hours_by_day(planned: PlannedTask, crew: Crew, dates: Sequence[date]) -> dict[date, float]:
    """Spread the hours of a task over its days."""
    left = planned.task.hours_h
    full = crew.people * crew.day_h
    found: dict[date, float] = {}
    for on in dates:
        if planned.start_on <= on <= planned.end_on:
            found[on] = left if on == planned.end_on else min(left, full)
            left = round(left - found[on], 6)
    return found
