"""Proofs that a promise cannot be kept: what no order of the work can get round."""

from collections.abc import Sequence
from dataclasses import dataclass

from app.schedule.network import Network, Placed, Ready
from app.schedule.passes import serial_pass


@dataclass(frozen=True, slots=True)
class Impossible:
    """One proof.

    Attributes
    ----------
    jobs : tuple of str
        At least one of these cannot keep its promise.
    crew : str
        The crew that has too much to do; empty when a job is too long by itself.
    from_day, until_day : int
        Between these days the work would have to be done. [days from the network's first]
    work_days : int
        Working days that it takes at least. [days]
    free_days : int
        Working days that there are. [days]
    late_days : int
        Some promise slips by at least so many days. [days]
    """

    jobs: tuple[str, ...]
    crew: str
    from_day: int
    until_day: int
    work_days: int
    free_days: int
    late_days: int


def impossible(network: Network) -> tuple[Impossible, ...]:
    """Give the proofs that promises cannot all be kept.

    Parameters
    ----------
    network : Network
        With the days promised.

    Returns
    -------
    proofs : tuple of Impossible
        First the jobs too long by themselves; then, for each crew, the stretch of days that is most overfull.
        Empty proves nothing.

    Notes
    -----
    A job by itself: with crews enough and nobody in the way it still ends late. A crew: between two days it
    has more working days of work, that can neither start earlier nor end later, than it has working days; the
    last of that work ends late by what is over. Each leaves rules out, so what it forbids is forbidden.

    References
    ----------
    Carlier, The one-machine sequencing problem, 1982 (from memory): heads, tails and one crew.
    """
    if not network.due or not network.works:
        return ()
    ready = Ready(network)
    early = serial_pass(ready, range(len(network.works)), with_crews=False)
    ends: dict[str, int] = {}
    for number, work in enumerate(network.works):
        ends[work.job] = max(ends.get(work.job, 0), early.ends[number])
    found = [
        Impossible((job,), "", 0, due, ends[job] + 1, due + 1, ends[job] - due)
        for job, due in network.due
        if ends.get(job, 0) > due
    ]
    # A job too long by itself is proven already; its work has no latest day to count from.
    kept = {job: due for job, due in network.due if ends.get(job, 0) <= due}
    latest = _latest_ends(network, ready, kept)
    for crew, many in network.capacities:
        if many == 1:
            worst = _overfull(network, crew, early.starts, latest)
            if worst is not None and worst.jobs not in [proof.jobs for proof in found]:
                found.append(worst)
    return tuple(found)


def earliest(network: Network) -> Placed:
    """Give the first days on which all work could lie with crews enough.

    Parameters
    ----------
    network : Network
        What is planned.

    Returns
    -------
    placed : Placed
        No plan has anything earlier.

    References
    ----------
    Definition: waits, calendars and first days alone.
    """
    return serial_pass(Ready(network), range(len(network.works)), with_crews=False)


def _latest_ends(network: Network, ready: Ready, due: dict[str, int]) -> list[int | None]:
    """Give the last day on which each must be done for its job's promise; None without one."""
    mirror = ready.turned()
    last = ready.horizon - 1
    mirror.not_before = [max(0, last - due.get(work.job, last)) for work in network.works]
    back = serial_pass(mirror, range(len(network.works)), with_crews=False)
    return [
        last - back.starts[number] if work.job in due else None for number, work in enumerate(network.works)
    ]


def _overfull(
    network: Network, crew: str, starts: Sequence[int], latest: Sequence[int | None]
) -> Impossible | None:
    """Give the stretch in which a crew has most more to do than it can; None when there is none."""
    supplies = dict(network.calendars)
    worked = supplies.get(crew, ())
    seen = [0]
    for amount in worked:
        seen.append(seen[-1] + (amount > 0))
    rows = sorted(
        (end, starts[number], -(-work.need // max(1, *supplies[work.calendar])), work.job)
        for number, work in enumerate(network.works)
        if (end := latest[number]) is not None and any(name == crew for name, _ in work.uses)
    )
    worst: Impossible | None = None
    for first in sorted({row[1] for row in rows}):
        needed, jobs = 0, set[str]()
        for end, start, days, job in rows:
            if start < first:
                continue
            needed += days
            jobs.add(job)
            free = max(0, seen[max(end, first - 1) + 1] - seen[first]) if end >= first else 0
            if needed > free and (worst is None or needed - free > worst.late_days):
                worst = Impossible(tuple(sorted(jobs)), crew, first, end, needed, free, needed - free)
    return worst
