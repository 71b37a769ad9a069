"""The critical path: early and late days of a network of activities, in whole working days from 0."""

from collections.abc import Sequence
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Activity:
    """Something that takes days and waits for others.

    Attributes
    ----------
    code : str
    days : int
        Working days it takes; 0 for a bare event. [days]
    after : tuple of (str, int)
        Codes that must be finished, each with a lag in working days.
    """

    code: str
    days: int
    after: tuple[tuple[str, int], ...] = ()


@dataclass(frozen=True, slots=True)
class Times:
    """When an activity can and must lie; a finish is the first day after it.

    Attributes
    ----------
    code : str
    early_start, early_finish, late_start, late_finish : int
        In working days from the start of the network.
    float_days : int
        By how much it can slip without moving the end. [days]
    free_days : int
        By how much it can slip without moving anything. [days]
    """

    code: str
    early_start: int
    early_finish: int
    late_start: int
    late_finish: int
    float_days: int
    free_days: int


def in_order(activities: Sequence[Activity]) -> tuple[Activity, ...]:
    """Put activities so that each stands behind all it waits for.

    Parameters
    ----------
    activities : sequence of Activity
        In any order.

    Returns
    -------
    ordered : tuple of Activity
        As given, moved back only as far as needed.

    Raises
    ------
    ValueError
        If a code stands twice, something waited for is not there, or they wait for each other in a ring.

    References
    ----------
    Definition of a topological order.
    """
    by_code = {activity.code: activity for activity in activities}
    if len(by_code) != len(activities):
        raise ValueError("Two activities share a code.")
    for activity in activities:
        missing = [code for code, _ in activity.after if code not in by_code]
        if missing:
            raise ValueError(f"{activity.code} waits for {missing[0]}, which is not there.")
    ordered: list[Activity] = []
    done: set[str] = set()
    waiting = list(activities)
    while waiting:
        ready = next((a for a in waiting if all(code in done for code, _ in a.after)), None)
        if ready is None:
            ring = ", ".join(activity.code for activity in waiting)
            raise ValueError(f"These wait for each other in a ring: {ring}.")
        waiting.remove(ready)
        done.add(ready.code)
        ordered.append(ready)
    return tuple(ordered)


def critical_path(activities: Sequence[Activity]) -> tuple[Times, ...]:
    """Give early and late days and float of every activity.

    Parameters
    ----------
    activities : sequence of Activity
        A network without rings; lags are not negative.

    Returns
    -------
    times : tuple of Times
        In the order given; an activity whose float is 0 is critical.

    Raises
    ------
    ValueError
        As `in_order`.

    Notes
    -----
    Early start = latest of (early finish + lag) over what it waits for; late finish = earliest of
    (late start − lag) over what waits for it, or the end of the network.

    Examples
    --------
    >>> times = critical_path([Activity("frame", 3), Activity("boards", 4, (("frame", 1),))])
    >>> times[1].early_start, times[1].early_finish
    (4, 8)

    References
    ----------
    Kelley and Walker, Critical-path planning and scheduling, 1959 (from memory).
    """
    ordered = in_order(activities)
    start: dict[str, int] = {}
    finish: dict[str, int] = {}
    for activity in ordered:
        start[activity.code] = max((finish[code] + lag for code, lag in activity.after), default=0)
        finish[activity.code] = start[activity.code] + activity.days
    end = max(finish.values(), default=0)
    followers: dict[str, list[tuple[Activity, int]]] = {activity.code: [] for activity in ordered}
    for activity in ordered:
        for code, lag in activity.after:
            followers[code].append((activity, lag))
    late: dict[str, int] = {}
    for activity in reversed(ordered):
        late_finish = min(
            (late[after.code] - after.days - lag for after, lag in followers[activity.code]), default=end
        )
        late[activity.code] = late_finish
    return tuple(
        Times(
            code=activity.code,
            early_start=start[activity.code],
            early_finish=finish[activity.code],
            late_start=late[activity.code] - activity.days,
            late_finish=late[activity.code],
            float_days=late[activity.code] - finish[activity.code],
            free_days=min((start[after.code] - lag for after, lag in followers[activity.code]), default=end)
            - finish[activity.code],
        )
        for activity in activities
    )


def longest_chain(activities: Sequence[Activity]) -> tuple[str, ...]:
    """Give one chain of activities that decides the end, first to last.

    Parameters
    ----------
    activities : sequence of Activity
        A network without rings.

    Returns
    -------
    codes : tuple of str
        Each starts as soon as the one before it, with its lag, lets it; the earliest given wins a tie.

    References
    ----------
    Definition of the critical path.
    """
    if not activities:
        return ()
    by_code = {activity.code: activity for activity in activities}
    finish = {times.code: times.early_finish for times in critical_path(activities)}
    start = {times.code: times.early_start for times in critical_path(activities)}
    last = max(finish.values())
    chain = [next(activity.code for activity in activities if finish[activity.code] == last)]
    while True:
        here = by_code[chain[-1]]
        before = next((c for c, lag in here.after if finish[c] + lag == start[here.code]), None)
        if before is None:
            return tuple(reversed(chain))
        chain.append(before)
