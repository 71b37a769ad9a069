"""When a job is likely to end: seeded trials of a plan with work that takes longer and days that rain."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from app.schedule.network import Network, Placed, Ready
from app.schedule.passes import sequence_of

DRAWS = 1000
SEED = 20260504
# Work against plan: least, most likely, most; and what a whole trial shares. Common practice, no source.
LEAST, LIKELY, MOST = 0.9, 1.0, 1.4
SHARED_LEAST, SHARED_MOST = 0.95, 1.15


@dataclass(frozen=True, slots=True)
class Spread:
    """When a job is likely to end.

    Attributes
    ----------
    p50_day, p80_day : int
        Half, and four fifths, of the trials end on or before it. [days from the network's first]
    """

    p50_day: int
    p80_day: int


def finish_spread(
    network: Network,
    placed: Placed,
    lost_share: Sequence[float],
    spread_of: Mapping[str, tuple[float, float, float]] | None = None,
    draws: int = DRAWS,
) -> dict[str, Spread]:
    """Give when each job is likely to end.

    Parameters
    ----------
    network : Network
        What is planned.
    placed : Placed
        The plan; every crew keeps its order, and nobody starts before the day planned.
    lost_share : sequence of float
        By piece of work: the share of days that weather takes.
    spread_of : mapping of str to (float, float, float) or None
        Least, most likely and most, as parts of what is planned, by code of work; the usual where it lacks.
    draws : int
        How many trials.

    Returns
    -------
    spreads : dict of str to Spread
        By job; the same for the same plan.

    Notes
    -----
    A piece of work takes its planned working days times a triangular number times one number that the whole
    trial shares; then it loses days to weather, each with the chance given (negative binomial).

    References
    ----------
    Monte Carlo over a network with fixed crew orders; the figures are common practice, no source.
    """
    ready = Ready(network)
    chance = np.random.default_rng(SEED)
    shared = chance.triangular(SHARED_LEAST, 1.0, SHARED_MOST, draws)
    starts: list[NDArray[np.float64]] = [np.empty(0)] * len(network.works)
    ends = starts.copy()
    last: dict[int, NDArray[np.float64]] = {}
    for number in sequence_of(ready, placed):
        work = network.works[number]
        least, likely, most = (spread_of or {}).get(work.code, (LEAST, LIKELY, MOST))
        first = float(ready.firm_seen[min(placed.starts[number], ready.horizon)])
        planned = max(0.0, ready.firm_seen[placed.ends[number] + 1] - first)
        factor = chance.triangular(least, likely, most, draws) if most > least else np.full(draws, likely)
        takes = planned * factor * shared if least < most else np.full(draws, planned * likely)
        if lost_share[number] > 0 and planned:
            takes = takes + chance.negative_binomial(max(1, round(planned)), 1 - lost_share[number], draws)
        starts[number] = _start(ready, number, starts, ends, last, np.full(draws, first))
        ends[number] = starts[number] + takes
        for on, _, overlap in ready.before[number]:
            if overlap:
                ends[number] = np.maximum(ends[number], ends[on] + 1)
        for resource, _ in ready.uses[number]:
            last[resource] = ends[number]
    return _by_job(ready, network, ends)


def _start(
    ready: Ready,
    number: int,
    starts: Sequence[NDArray[np.float64]],
    ends: Sequence[NDArray[np.float64]],
    last: Mapping[int, NDArray[np.float64]],
    first: NDArray[np.float64],
) -> NDArray[np.float64]:
    """Give the start of one piece of work in every trial."""
    start = first
    for on, lag, overlap in ready.before[number]:
        bound = np.maximum(starts[on] + 1, ends[on] - overlap) if overlap else ends[on] + lag
        start = np.maximum(start, bound)
    for resource, _ in ready.uses[number]:
        if ready.caps[resource] == 1 and resource in last:
            start = np.maximum(start, last[resource])
    return start


def _by_job(ready: Ready, network: Network, ends: Sequence[NDArray[np.float64]]) -> dict[str, Spread]:
    """Read the likely ends off the trials and give them as days."""
    latest: dict[str, NDArray[np.float64]] = {}
    for number, work in enumerate(network.works):
        known = latest.get(work.job)
        latest[work.job] = ends[number] if known is None else np.maximum(known, ends[number])
    found = {}
    for job, trials in latest.items():
        ordered = np.sort(trials)
        half, most = (float(ordered[int(np.ceil(len(ordered) * part)) - 1]) for part in (0.5, 0.8))
        found[job] = Spread(_day(ready, half), _day(ready, most))
    return found


def _day(ready: Ready, worked: float) -> int:
    """Give the day on which so many working days are done; the last known one when the calendar ends."""
    place = min(len(ready.firm_days), max(1, int(np.ceil(worked - 1e-9)))) - 1
    return ready.firm_days[place]
