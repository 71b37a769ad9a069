"""One pass over a network: each piece of work as early as what it waits for and who it needs allow."""

from bisect import bisect_left
from collections.abc import Sequence
from heapq import heapify, heappop, heappush

from app.schedule.network import HorizonTooShort, Placed, Ready


def serial_pass(ready: Ready, priority: Sequence[float], *, with_crews: bool = True) -> Placed:
    """Place all work in the order of a priority, each as early as it can go.

    Parameters
    ----------
    ready : Ready
        The network.
    priority : sequence of float
        By piece of work, least first; what it waits for is always placed before it.
    with_crews : bool
        False looks at the waits alone, as if there were crews enough.

    Returns
    -------
    placed : Placed
        No crew or hoist is held more often than there are.

    Raises
    ------
    HorizonTooShort
        If the calendars end first.
    ValueError
        If work waits for itself in a ring, or needs more of a crew than there is.

    References
    ----------
    Kolisch, Serial and parallel resource-constrained project scheduling methods revisited, 1996 (from
    memory).
    """
    count = len(ready.need)
    starts, ends = [0] * count, [0] * count
    waiting = [len(waits) for waits in ready.before]
    free = [(priority[number], number) for number in range(count) if not waiting[number]]
    heapify(free)
    held = [0] if with_crews else None
    left = count
    while free:
        _, number = heappop(free)
        starts[number], ends[number] = _place(ready, number, starts, ends, held)
        left -= 1
        for follower, _, _ in ready.behind[number]:
            waiting[follower] -= 1
            if not waiting[follower]:
                heappush(free, (priority[follower], follower))
    if left:
        raise ValueError("Some work waits for itself in a ring.")
    return Placed(tuple(starts), tuple(ends))


def in_sequence(ready: Ready, order: Sequence[int]) -> Placed:
    """Place all work so that every crew keeps a given order of its tasks.

    Parameters
    ----------
    ready : Ready
        The network.
    order : sequence of int
        All pieces of work; each stands behind what it waits for.

    Returns
    -------
    placed : Placed
        With one of each crew and hoist, a day taken from any calendar never makes an end earlier: every step
        only takes later of later days.

    Raises
    ------
    HorizonTooShort
        If the calendars end first.

    References
    ----------
    Definition.
    """
    count = len(ready.need)
    starts, ends = [0] * count, [0] * count
    held = [0]
    last = [-1] * len(ready.caps)
    for number in order:
        uses = ready.uses[number]
        least = max((last[resource] + 1 for resource, _ in uses if ready.caps[resource] == 1), default=0)
        starts[number], ends[number] = _place(ready, number, starts, ends, held, least)
        for resource, _ in uses:
            last[resource] = max(last[resource], ends[number])
    return Placed(tuple(starts), tuple(ends))


def sequence_of(ready: Ready, placed: Placed) -> tuple[int, ...]:
    """Give the order in which work was placed: by its start, what it waits for first.

    Parameters
    ----------
    ready : Ready
        The network.
    placed : Placed
        Its days.

    Returns
    -------
    order : tuple of int
        For `in_sequence`.

    References
    ----------
    Definition.
    """
    waiting = [len(waits) for waits in ready.before]
    key = [(placed.starts[n], placed.ends[n], n) for n in range(len(waiting))]
    free = [key[number] for number, many in enumerate(waiting) if not many]
    heapify(free)
    order = []
    while free:
        _, _, number = heappop(free)
        order.append(number)
        for follower, _, _ in ready.behind[number]:
            waiting[follower] -= 1
            if not waiting[follower]:
                heappush(free, key[follower])
    return tuple(order)


def _place(
    ready: Ready,
    number: int,
    starts: Sequence[int],
    ends: Sequence[int],
    held: list[int] | None,
    least: int = 0,
) -> tuple[int, int]:
    """Give the first and last day of one piece of work, and hold who it needs (nobody without `held`)."""
    earliest, least_end = max(ready.not_before[number], least), -1
    for on, lag, overlap in ready.before[number]:
        end = ends[on]
        if overlap:
            earliest = max(earliest, starts[on] + 1, end + 1 - overlap)
            least_end = max(least_end, end + 1)
        else:
            earliest = max(earliest, ready.after_lag(end, lag) if lag else end + 1)
    need = ready.need[number]
    if need == 0:
        return earliest, earliest - 1
    sums, next_on = ready.supply[number].sums, ready.supply[number].next_on
    claim = ready.claims[number]
    fields = ready.fields
    while True:
        if earliest >= ready.horizon:
            raise HorizonTooShort("The calendars end before the work does.")
        start = next_on[earliest]
        end = bisect_left(sums, sums[start] + need, start + 1) - 1
        if start >= ready.horizon or end >= ready.horizon:
            raise HorizonTooShort("The calendars end before the work does.")
        if end < least_end:
            earliest = start + 1
            continue
        if held is None or not claim:
            return start, end
        at, days = fields.width * start, fields.days(end - start + 1)
        span = (held[0] >> at) & (days * fields.full)
        clash = (span + (claim + fields.spare) * days) & (fields.high * days)
        if not clash:
            held[0] += claim * days << at
            return start, end
        # Whatever starts on or before the last day that clashes would still cover it.
        earliest = start + (clash.bit_length() - 1) // fields.width + 1
