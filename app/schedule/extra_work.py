"""Work agreed after signing that no plan of the roof shows: tasks of its own, or more days of a phase."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from app.schedule.records import Crew, Task
from app.schedule.tasks import days_for

_LAST = ("clean-down", "walk-through")  # what comes when all work is done
_LEAST_H = 0.5  # of a phase that a change takes days from; common practice, no source


@dataclass(frozen=True, slots=True)
class ExtraWork:
    """The days of one change that was agreed by word.

    Attributes
    ----------
    number : int
    title : str
    days : int
        Working days of the crew, more or fewer. [days]
    phase : str
        Phase that takes them; empty for a task of its own.
    flag : str
        What is still missing, such as ``not signed``; empty when it is signed.
    first_number : int
        Number under which it was first noted, which its task keeps; 0 for the same.
    """

    number: int
    title: str
    days: int
    phase: str = ""
    flag: str = ""
    first_number: int = 0


def with_extra_work(tasks: Sequence[Task], extras: Iterable[ExtraWork], crew: Crew) -> tuple[Task, ...]:
    """Give tasks with the days of changes agreed by word.

    Parameters
    ----------
    tasks : sequence of Task
        As worked out from the plan of the roof.
    extras : iterable of ExtraWork
        Changes with days.
    crew : Crew
        Who does them.

    Returns
    -------
    tasks : tuple of Task
        The crew's task of the phase named takes the days; without one the change is a task of its own,
        after all other work and before the roof is cleaned and shown.

    References
    ----------
    Common practice, no source.
    """
    found = list(tasks)
    for extra in extras:
        place = _place(found, extra, crew)
        if place is not None:
            found[place] = _lengthened(found[place], extra, crew)
        elif extra.days > 0:
            found = _with_own(found, extra, crew)
    return tuple(found)


def own_code(number: int) -> str:
    """Give the code of the task that a change has of its own.

    Parameters
    ----------
    number : int
        Under which the change was first noted.

    Returns
    -------
    code : str

    References
    ----------
    Definition.
    """
    return f"change {number}"


def _place(tasks: Sequence[Task], extra: ExtraWork, crew: Crew) -> int | None:
    """Give where the crew's task of the phase named stands."""
    return next(
        (
            place
            for place, task in enumerate(tasks)
            if extra.phase and task.phase == extra.phase and task.who == crew.code and not task.is_hold_point
        ),
        None,
    )


def _lengthened(task: Task, extra: ExtraWork, crew: Crew) -> Task:
    """Give a task with the crew's hours of some more or fewer days."""
    day_h = crew.people * crew.day_h
    hours_h = max(min(_LEAST_H, task.hours_h), task.hours_h + extra.days * day_h)
    words = f"with change {extra.number}"
    flagged = f"{words}, {extra.flag}" if extra.flag else words
    return replace(
        task, name=f"{task.name} ({flagged})", hours_h=hours_h, days=days_for(hours_h, crew), changed=flagged
    )


def _with_own(tasks: Sequence[Task], extra: ExtraWork, crew: Crew) -> list[Task]:
    """Give the tasks with one more, before what comes last."""
    last = next((place for place, task in enumerate(tasks) if task.code in _LAST), len(tasks))
    after = tuple((code, 0) for code, _ in tasks[last].after) if last < len(tasks) else ()
    flag = f" ({extra.flag})" if extra.flag else ""
    own = Task(
        code=own_code(extra.first_number or extra.number),
        name=f"Change {extra.number}: {extra.title}{flag}",
        phase="",
        days=extra.days,
        hours_h=extra.days * crew.people * crew.day_h,
        after=after,
        is_hold_point=False,
        needs=(),
        who=crew.code,
    )
    rest = list(tasks[last:])
    if rest:
        rest[0] = replace(rest[0], after=(*rest[0].after, (own.code, 0)))
    return [*tasks[:last], own, *rest]
