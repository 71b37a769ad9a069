"""One crew on one task at a time, everybody else in parallel: the serial rule, then moves that shorten."""

from collections.abc import Sequence
from dataclasses import dataclass

from app.schedule.critical_path import Activity, Times, critical_path, in_order


@dataclass(frozen=True, slots=True)
class CrewOrder:
    """A network in which the crew's tasks also wait for each other.

    Attributes
    ----------
    activities : tuple of Activity
        As given, each of the crew's also after the one it does before.
    times : tuple of Times
        Of that network, in the same order.
    """

    activities: tuple[Activity, ...]
    times: tuple[Times, ...]


def order_crew(activities: Sequence[Activity], of_crew: frozenset[str]) -> CrewOrder:
    """Put the crew's tasks in an order that it can work.

    Parameters
    ----------
    activities : sequence of Activity
        A network without rings, in the order that decides ties.
    of_crew : frozenset of str
        Codes that the one crew does.

    Returns
    -------
    order : CrewOrder
        No two of the crew's tasks overlap.

    Notes
    -----
    Of the tasks whose forerunners are placed, the one with the least late start is placed next, at the
    first gap of the crew that is long enough. Then single tasks are moved to another place in the order as
    long as that ends the whole earlier. Both are quick and repeatable; neither proves the shortest plan.

    References
    ----------
    Kolisch, Serial and parallel resource-constrained project scheduling methods revisited, 1996 (from
    memory).
    """
    placed = _place(in_order(activities), of_crew)
    worked = sorted((code for code in placed if code in of_crew), key=lambda code: placed[code])
    linked = _chained(activities, _shortened(activities, worked))
    return CrewOrder(activities=linked, times=critical_path(linked))


def _shortened(activities: Sequence[Activity], worked: list[str]) -> list[str]:
    """Move one task at a time to where it ends the whole earliest, until nothing ends it earlier."""
    best, length = worked, _length(activities, worked)
    while True:
        moved = [
            (_length(activities, order), order)
            for code in best
            for place in range(len(best))
            if _keeps_links(activities, order := _moved(best, code, place))
        ]
        shortest, order = min(moved, key=lambda pair: pair[0], default=(length, best))
        if shortest >= length:
            return best
        best, length = order, shortest


def _moved(order: Sequence[str], code: str, place: int) -> list[str]:
    """Put one task at another place."""
    rest = [other for other in order if other != code]
    return [*rest[:place], code, *rest[place:]]


def _keeps_links(activities: Sequence[Activity], order: Sequence[str]) -> bool:
    """Tell whether no task of an order stands before one that it waits for, directly or through others."""
    places = {code: place for place, code in enumerate(order)}
    behind: dict[str, int] = {}
    for activity in in_order(activities):
        behind[activity.code] = max((behind[code] for code, _ in activity.after), default=-1)
        if activity.code in places:
            if places[activity.code] <= behind[activity.code]:
                return False
            behind[activity.code] = places[activity.code]
    return True


def _length(activities: Sequence[Activity], worked: Sequence[str]) -> int:
    """Give the days of a network whose crew works in an order."""
    return max((times.early_finish for times in critical_path(_chained(activities, worked))), default=0)


def _chained(activities: Sequence[Activity], worked: Sequence[str]) -> tuple[Activity, ...]:
    """Let each of the crew's tasks wait for the one before it."""
    before = dict(zip(worked[1:], worked, strict=False))
    return tuple(
        Activity(activity.code, activity.days, _with_link(activity.after, before.get(activity.code)))
        for activity in activities
    )


def _place(activities: Sequence[Activity], of_crew: frozenset[str]) -> dict[str, int]:
    """Give each activity its first day."""
    late_start = {times.code: times.late_start for times in critical_path(activities)}
    finish: dict[str, int] = {}
    placed: dict[str, int] = {}
    busy: list[tuple[int, int]] = []
    waiting = list(activities)
    while waiting:
        ready = [a for a in waiting if all(code in finish for code, _ in a.after)]
        chosen = min(ready, key=lambda a: late_start[a.code])
        waiting.remove(chosen)
        first = max((finish[code] + lag for code, lag in chosen.after), default=0)
        if chosen.code in of_crew:
            first = _first_gap(busy, first, chosen.days)
            busy = sorted([*busy, (first, first + chosen.days)])
        placed[chosen.code] = first
        finish[chosen.code] = first + chosen.days
    return placed


def _first_gap(busy: Sequence[tuple[int, int]], earliest: int, days: int) -> int:
    """Give the first day from which the crew is free for so many days."""
    first = earliest
    for start, end in busy:
        if first + days <= start:
            return first
        first = max(first, end)
    return first


def _with_link(after: tuple[tuple[str, int], ...], before: str | None) -> tuple[tuple[str, int], ...]:
    """Add what the crew does before, unless it is waited for already."""
    if before is None or any(code == before for code, _ in after):
        return after
    return (*after, (before, 0))
