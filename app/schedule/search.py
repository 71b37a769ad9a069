"""Looking for a good plan: priority rules, justification to both sides, and seeded small changes."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from app.schedule.network import Network, Placed, Ready
from app.schedule.passes import in_sequence, sequence_of, serial_pass

# How many pieces of work are placed in all: about 0.2 s. More finds little more.
EFFORT = 36_000
SEED = 20260504
POOL = 20
# How often late jobs are put further forward, by how many days for a day late; ties by the late start.
PRESSES, PRESSED, TIE = 24, 1.5, 1e-4
SHARE_MOVED, REACH, STRAY = 0.1, 4.0, 0.3


@dataclass(frozen=True, slots=True)
class Score:
    """How good a plan is; less is better, the first that differs decides.

    Attributes
    ----------
    late_days : int
        Days after the promised last day of every job, and the promised first and last days of tasks. [days]
    idle_days : int
        Working days on which a crew stands still between its first and its last. [days]
    moves : int
        How often a crew goes on to another site.
    sum_of_ends : int
        Last day of every job, added up.
    """

    late_days: int
    idle_days: int
    moves: int
    sum_of_ends: int

    @property
    def key(self) -> tuple[int, int, int, int]:
        """In the order in which they decide."""
        return self.late_days, self.idle_days, self.moves, self.sum_of_ends


def solve(network: Network, effort: int = EFFORT, start_from: Sequence[Placed] = ()) -> Placed:
    """Give a plan for all work.

    Parameters
    ----------
    network : Network
        What is to be planned.
    effort : int
        How many pieces of work may be placed in all.
    start_from : sequence of Placed
        Plans whose order is tried first.

    Returns
    -------
    placed : Placed
        The best by `score` of all that were tried; the same for the same network.

    Raises
    ------
    HorizonTooShort
        If the calendars end first.
    ValueError
        If work waits for itself in a ring.

    Notes
    -----
    Priority rules (least slack, promised day, job by job, longest left) give first plans. Each is justified:
    work is moved as late as its job's end allows, then as early as it goes in that order. While promises are
    broken, work is placed anew with the late jobs further forward by as much as they were late. Then the best
    order is changed a little by seeded numbers and justified again, until the effort is spent.

    References
    ----------
    Valls, Ballestín and Quintanilla, Justification and RCPSP, 2005; Joslin and Clements, Squeaky wheel
    optimization, 1999 (both from memory).
    """
    if not network.works:
        return Placed((), ())
    search = _Search(network, effort)
    for given in start_from:
        search.keep(in_sequence(search.ready, sequence_of(search.ready, given)))
    for priority in search.rules():
        if search.spent < effort or search.best is None:
            search.add(search.justified(serial_pass(search.ready, priority)))
    search.press()
    search.vary()
    assert search.best is not None
    return search.best


def score(network: Network, placed: Placed) -> Score:
    """Give how good a plan is.

    Parameters
    ----------
    network : Network
        What is planned.
    placed : Placed
        Its days.

    Returns
    -------
    score : Score
        Less is better.

    References
    ----------
    Definition: lateness first, then idle days, then moves to other sites.
    """
    ends: dict[str, int] = {}
    by_crew: dict[str, list[tuple[int, int, str]]] = {}
    for number, work in enumerate(network.works):
        ends[work.job] = max(ends.get(work.job, 0), placed.ends[number])
        for name, _ in work.uses:
            if name in network.crews:
                span = (placed.starts[number], placed.ends[number], work.job)
                by_crew.setdefault(name, []).append(span)
    sites, supplies = dict(network.sites), dict(network.calendars)
    idle = moves = 0
    for name, spans in by_crew.items():
        spans.sort()
        supply = supplies.get(name, ())
        for before, after in pairwise(spans):
            between = supply[before[1] + 1 : after[0]]
            idle += len(between) - between.count(0)
            moves += sites.get(before[2], before[2]) != sites.get(after[2], after[2])
    late = sum(late_by_job(network, placed).values())
    return Score(late, idle, moves, sum(ends.values()))


def late_by_job(network: Network, placed: Placed) -> dict[str, int]:
    """Give the days by which each job breaks its promises.

    Parameters
    ----------
    network : Network
        With the days promised.
    placed : Placed
        Its days.

    Returns
    -------
    late : dict of str to int
        Jobs that keep them are left out; the promised days of single tasks count like the last day of a job.

    References
    ----------
    Definition.
    """
    ends: dict[str, int] = {}
    for number, work in enumerate(network.works):
        ends[work.job] = max(ends.get(work.job, 0), placed.ends[number])
    late = {job: ends[job] - last for job, last in network.due if ends.get(job, 0) > last}
    for promised, days in ((network.start_by, placed.starts), (network.end_by, placed.ends)):
        by_code = dict(promised)
        for number, work in enumerate(network.works if by_code else ()):
            over = days[number] - by_code.get(work.code, days[number])
            if over > 0:
                late[work.job] = late.get(work.job, 0) + over
    return late


class _Search:
    """The state of one search."""

    def __init__(self, network: Network, effort: int) -> None:
        self.network, self.effort = network, effort
        self.ready = Ready(network)
        self.mirror = self.ready.turned()
        self.best: Placed | None = None
        self.best_key: tuple[int, int, int, int] | None = None
        self.pool: list[tuple[tuple[int, int, int, int], tuple[int, ...]]] = []
        self.spent = 0
        self.size = len(network.works)
        self.early = serial_pass(self.ready, range(self.size), with_crews=False)
        self.bound = sum(_ends_by_job(self.ready, self.early).values())

    def keep(self, placed: Placed) -> bool:
        """Count a plan; keep it when it is better than the best."""
        self.spent += self.size
        key = score(self.network, placed).key
        if self.best_key is None or key < self.best_key:
            self.best, self.best_key = placed, key
            return True
        return False

    def rules(self) -> Iterable[Sequence[float]]:
        """Give the priorities of the rules."""
        due = self._due()
        late = self._late_starts(due)
        size = range(self.size)
        yield [late[n] for n in size]
        first_due = [due[self.ready.jobs[n]] for n in size]
        order = self.early.starts
        yield [first_due[n] * 10_000 + late[n] for n in size]
        left = [late[n] - order[n] for n in size]
        yield [order[n] * 10_000 - (self.ready.horizon - late[n]) for n in size]
        yield [left[n] * 10_000 + order[n] for n in size]

    def justified(self, placed: Placed) -> Placed:
        """Move all work late, then early again, as long as that is better."""
        best, key = placed, score(self.network, placed).key
        while True:
            last = self.ready.horizon - 1
            ends = _ends_by_job(self.ready, best)
            self.mirror.not_before = [last - ends[self.ready.jobs[n]] for n in range(self.size)]
            back = serial_pass(self.mirror, [last - end for end in best.ends])
            forth = serial_pass(self.ready, [last - end for end in back.ends])
            self.spent += 2 * self.size
            forth_key = score(self.network, forth).key
            if forth_key >= key:
                return best
            best, key = forth, forth_key

    def press(self) -> None:
        """Place work anew with late jobs further forward, while any is late."""
        if self.best is None or self.best_key is None or not self.best_key[0]:
            return
        late_start = self._late_starts(self._due())
        ahead: dict[str, float] = {}
        placed = self.best
        for _ in range(PRESSES):
            for job, days in late_by_job(self.network, placed).items():
                ahead[job] = ahead.get(job, 0.0) + PRESSED * days
            placed = serial_pass(
                self.ready,
                [
                    self.early.starts[n]
                    - ahead.get(work.job, 0.0)
                    - TIE * (self.ready.horizon - late_start[n])
                    for n, work in enumerate(self.network.works)
                ],
            )
            self.keep(placed)
            if not self.best_key[0]:
                break
        self.add(self.justified(self.best))

    def vary(self) -> None:
        """Cross good orders by seeded numbers, justify what comes out, and keep the best few."""
        chance = np.random.default_rng(SEED)
        late = self._late_starts(self._due())
        while self.spent < self.effort and not self._is_at_bound():
            if len(self.pool) < POOL:
                noise = chance.random(self.size) * self._spread(late)
                priority = [late[n] + float(noise[n]) for n in range(self.size)]
            else:
                mother, father = (
                    self.pool[int(p)][1] for p in chance.choice(len(self.pool), 2, replace=False)
                )
                first, last = sorted(int(p) for p in chance.integers(0, self.size + 1, 2))
                priority = _crossed(mother, father, first, last)
                noise = chance.random(self.size)
                for n in np.flatnonzero(noise < SHARE_MOVED):
                    priority[int(n)] += float(chance.normal() * REACH)
            self.add(self.justified(serial_pass(self.ready, priority)))

    def _spread(self, late: Sequence[float]) -> float:
        """Give how far first plans may stray from the rule: a part of the whole span."""
        return STRAY * (max(late) - min(late) + 1)

    def add(self, placed: Placed) -> None:
        """Count a plan and put its order among the best few, unless it is there already."""
        self.keep(placed)
        order = sequence_of(self.ready, placed)
        if all(order != other for _, other in self.pool):
            self.pool.append((score(self.network, placed).key, order))
            self.pool.sort(key=lambda pair: pair[0])
            del self.pool[POOL:]

    def _is_at_bound(self) -> bool:
        """Tell whether nothing can be better: nobody late, idle or moving, every job as if it were alone."""
        return self.best_key is not None and self.best_key <= (0, 0, 0, self.bound)

    def _due(self) -> dict[int, int]:
        """Give the day each job should end: as promised, or as early as it could alone."""
        promised = dict(self.network.due)
        ends = _ends_by_job(self.ready, self.early)
        names = {self.ready.jobs[n]: work.job for n, work in enumerate(self.network.works)}
        return {job: promised.get(names[job], end) for job, end in ends.items()}

    def _late_starts(self, due: dict[int, int]) -> list[float]:
        """Give the latest start of each that keeps its job's day, with crews enough; may lie before day 0."""
        last = self.ready.horizon - 1
        ends = _ends_by_job(self.ready, self.early)
        self.mirror.not_before = [last - ends[self.ready.jobs[n]] for n in range(self.size)]
        back = serial_pass(self.mirror, range(self.size), with_crews=False)
        return [
            float(last - back.ends[n] + due[self.ready.jobs[n]] - ends[self.ready.jobs[n]])
            for n in range(self.size)
        ]


def _crossed(mother: Sequence[int], father: Sequence[int], first: int, last: int) -> list[float]:
    """Give the places in an order whose middle follows the father and whose rest follows the mother."""
    head = mother[:first]
    seen = set(head)
    middle = [number for number in father if number not in seen][: last - first]
    seen.update(middle)
    order = [*head, *middle, *(number for number in mother if number not in seen)]
    places = [0.0] * len(order)
    for place, number in enumerate(order):
        places[number] = float(place)
    return places


def _ends_by_job(ready: Ready, placed: Placed) -> dict[int, int]:
    """Give the last day of each job."""
    ends: dict[int, int] = {}
    for number, job in enumerate(ready.jobs):
        ends[job] = max(ends.get(job, 0), placed.ends[number])
    return ends
