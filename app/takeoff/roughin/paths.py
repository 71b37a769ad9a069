"""One shortest way on the grid, with the fewest turns, and the order in which devices are passed."""

import heapq
from collections.abc import Callable, Sequence
from functools import cache
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from app.takeoff.roughin.grid import TIE_MM, Floats, Grid, Node

HOLE_WORTH_MM = 150.0  # of way beside other runs, for a hole spared; common practice, no source
Cost = tuple[float, int]  # length beside runs to be kept apart and holes for it, turns
NOTHING: Cost = (0.0, 0)
NEVER: Cost = (float("inf"), 0)
EXACT_STOPS = 9  # up to here the order is exact; beyond, improved step by step
MANY_STOPS = 16  # beyond, one start is tried instead of one from each device


def shortest_path(grid: Grid, start: Node, to_goal_mm: Floats) -> tuple[Node, ...]:
    """Give a shortest way from one crossing to the goal, among equals the one most apart, then straightest.

    Parameters
    ----------
    grid : Grid
        Where runs may lie.
    start : Node
        Where to begin.
    to_goal_mm : array
        Least length from every crossing to the goal (which may be a whole tree). [mm]

    Returns
    -------
    path : tuple of Node
        Every crossing passed, from start to goal.

    Raises
    ------
    ValueError
        When there is no way.

    Notes
    -----
    Only steps that shorten what is left by their own length are taken, so that length comes first. Among
    equals the least length beside runs to be kept apart decides, a sleeper passed counting as 150 mm of
    it; then the fewest turns, then the lower crossing number.

    References
    ----------
    E. W. Dijkstra, A note on two problems in connexion with graphs, Numer. Math. 1 (1959).
    """
    if not np.isfinite(to_goal_mm[start]):
        raise ValueError(f"no way from crossing {start}")
    steps = _Steps(grid, to_goal_mm)
    first = steps.state(start)
    waiting: list[tuple[float, int, int]] = [(*NOTHING, first)]
    came: dict[int, int] = {}
    cost_at: dict[int, Cost] = {first: NOTHING}
    while waiting:
        apart, turns, state = heapq.heappop(waiting)
        if steps.left_mm(state) <= TIE_MM:
            return steps.walked(came, state)
        if (apart, turns) > cost_at[state]:
            continue
        for other, is_turn, busy, holes in steps.onward(state):
            cost = (round(apart + busy + HOLE_WORTH_MM * holes, 3), turns + is_turn)
            if cost < cost_at.get(other, NEVER):
                cost_at[other] = cost
                came[other] = state
                heapq.heappush(waiting, (*cost, other))
    raise ValueError(f"no way from crossing {start}")


class _Steps:
    """The steps of a grid that bring the goal nearer by all of their length.

    A crossing and how it was come to (0: begun there, 1 along x, 2 along y) are one number, its state:
    thousands are looked at, and numbers are put in order sooner than tuples of them.
    """

    __slots__ = ("_across", "_along", "_busy_x", "_busy_y", "_far", "_holes_x", "_holes_y", "_shape")

    def __init__(self, grid: Grid, to_goal_mm: Floats) -> None:
        self._shape, self._far = grid.shape, to_goal_mm.item
        self._along, self._across = grid.step_x_mm.item, grid.step_y_mm.item
        self._busy_x, self._busy_y = _item(grid.busy_x_mm), _item(grid.busy_y_mm)
        self._holes_x, self._holes_y = _item(grid.holes_x), _item(grid.holes_y)

    def state(self, node: Node) -> int:
        """Give the state of beginning at a crossing."""
        return (node[0] * self._shape[1] + node[1]) * 3

    def left_mm(self, state: int) -> float:
        """Give the length left to the goal."""
        return self._far(state // 3)

    def onward(self, state: int) -> list[tuple[int, bool, float, float]]:
        """Give the states one step on, whether each is a turn, and the burden of its step."""
        node, way = divmod(state, 3)
        (nx, ny), far = self._shape, self._far
        i, j = divmod(node, ny)
        here = far(node)
        found: list[tuple[int, bool, float, float]] = []
        for low, other in ((i - 1, node - ny), (i, node + ny)):
            if 0 <= low < nx - 1 and abs(far(other) + self._along(low, j) - here) <= TIE_MM:
                found.append((other * 3 + 1, way == 2, self._busy_x(low, j), self._holes_x(low, j)))
        for low, other in ((j - 1, node - 1), (j, node + 1)):
            if 0 <= low < ny - 1 and abs(far(other) + self._across(i, low) - here) <= TIE_MM:
                found.append((other * 3 + 2, way == 1, self._busy_y(i, low), self._holes_y(i, low)))
        return found

    def walked(self, came: dict[int, int], state: int) -> tuple[Node, ...]:
        """Give the crossings from the start to the end of a search."""
        path = [state]
        while path[-1] in came:
            path.append(came[path[-1]])
        return tuple(divmod(state // 3, self._shape[1]) for state in reversed(path))


def _item(burden: Floats | None) -> Callable[[int, int], float]:
    """Give what looks up one step of a burden; a grid without burdens has none anywhere."""
    return (lambda _i, _j: 0.0) if burden is None else burden.item


def corners_mm(grid: Grid, path: Sequence[Node]) -> tuple[tuple[float, float], ...]:
    """Give the ends and turns of a way; a way of no length gives its place twice.

    Parameters
    ----------
    grid : Grid
        Where runs may lie.
    path : sequence of Node
        Every crossing passed.

    Returns
    -------
    corners_mm : tuple of tuple of float
        In turned axes. [mm]

    References
    ----------
    Definition.
    """
    kept = [path[0]]
    for before, here, after in zip(path, path[1:], path[2:], strict=False):
        if (before[0] == here[0]) != (here[0] == after[0]):
            kept.append(here)
    kept.append(path[-1])
    return tuple(grid.point_mm(node) for node in kept)


def _exact_order(length_mm: Floats, is_loop: bool) -> list[int]:
    """Give the best order by subsets (Held and Karp); stop 0 is the source."""
    stops = len(length_mm) - 1
    between = length_mm[1:, 1:]
    cost = np.full((1 << stops, stops), np.inf)
    last = np.full((1 << stops, stops), -1, dtype=np.int64)
    for stop in range(stops):
        cost[1 << stop, stop] = length_mm[0, stop + 1]
    for subset in range(1, 1 << stops):
        ways = cost[subset][:, None] + between
        best = ways.argmin(axis=0)
        for stop in range(stops):
            grown = subset | 1 << stop
            if grown != subset and ways[best[stop], stop] < cost[grown, stop] - TIE_MM:
                cost[grown, stop] = ways[best[stop], stop]
                last[grown, stop] = best[stop]
    subset = (1 << stops) - 1
    stop = int((cost[subset] + (length_mm[1:, 0] if is_loop else 0.0)).argmin())
    order = []
    while stop >= 0:
        order.append(stop + 1)
        subset, stop = subset & ~(1 << stop), int(last[subset, stop])
    return order[::-1]


def _total_mm(length_mm: Floats, order: Sequence[int], is_loop: bool) -> float:
    """Give the length of one order."""
    stops = [0, *order, 0] if is_loop else [0, *order]
    return float(sum(length_mm[a, b] for a, b in pairwise(stops)))


def _nearest_next(length_mm: Floats, first: int = 0) -> list[int]:
    """Give the order that always goes to the nearest device left, after a first one if it is given."""
    left = [stop for stop in range(1, len(length_mm)) if stop != first]
    order = [first] if first else []
    while left:
        here = order[-1] if order else 0
        following = min(left, key=lambda stop: (round(float(length_mm[here, stop]), 3), stop))
        order.append(following)
        left.remove(following)
    return order


@cache
def _changes(size: int) -> NDArray[np.int16]:
    """Give every order of places with one stretch turned round, or one to three moved elsewhere."""
    places = list(range(size))
    changed = [
        places[:i] + places[i:j][::-1] + places[j:] for i in range(size) for j in range(i + 2, size + 1)
    ]
    for count in (1, 2, 3):
        for i in range(size - count + 1):
            rest = places[:i] + places[i + count :]
            changed += [rest[:j] + places[i : i + count] + rest[j:] for j in range(len(rest) + 1) if j != i]
    return np.array(changed, dtype=np.int16)


def _improved(length_mm: Floats, first: list[int], is_loop: bool) -> list[int]:
    """Give an order that none of the changes shortens."""
    order = np.array(first)
    while True:
        tried = order[_changes(len(order))]
        totals = length_mm[0, tried[:, 0]] + length_mm[tried[:, :-1], tried[:, 1:]].sum(axis=1)
        if is_loop:
            totals += length_mm[tried[:, -1], 0]
        best = int(totals.argmin())
        if totals[best] >= _total_mm(length_mm, order.tolist(), is_loop) - TIE_MM:
            return [int(stop) for stop in order]
        order = tried[best]


def passing_order(length_mm: Floats, is_loop: bool) -> tuple[int, ...]:
    """Give the order in which one cable passes all devices.

    Parameters
    ----------
    length_mm : array
        Between all places; place 0 is the source. [mm]
    is_loop : bool
        Whether the cable comes back to the source.

    Returns
    -------
    order : tuple of int
        Numbers of the devices, from 1.

    Notes
    -----
    Exact up to nine devices; beyond, nearest next from each device, then stretches turned round and short
    stretches moved until nothing is shorter.

    References
    ----------
    M. Held and R. M. Karp, J. SIAM 10 (1962); G. A. Croes, Oper. Res. 6 (1958) for the turned stretches.
    """
    stops = len(length_mm) - 1
    if stops <= 1:
        return tuple(range(1, stops + 1))
    if stops <= EXACT_STOPS:
        return tuple(_exact_order(length_mm, is_loop))
    firsts = range(stops + 1) if stops <= MANY_STOPS else (0,)
    tried = [_improved(length_mm, _nearest_next(length_mm, first), is_loop) for first in firsts]
    best = min(tried, key=lambda order: (round(_total_mm(length_mm, order, is_loop), 3), order))
    return tuple(best)
