"""Settling sticks a few at a time: take the patterns used most, ask for what is left, price again."""

import math
from operator import gt, sub

import numpy as np

from app.takeoff.totals.first_fit import fill_rest, without_surplus
from app.takeoff.totals.master import Master
from app.takeoff.totals.stock_problem import StickPattern

MOST_DIVES = 60
ROUNDS_A_DIVE = 6
PART_SETTLED = 12  # each dive settles at least one in so many of the sticks still to come
SURE = 0.6


def dive(master: Master, sure: float = SURE) -> tuple[StickPattern, ...]:
    """Give a plan of whole sticks, settled a few at a time.

    Parameters
    ----------
    master : Master
        Solved; it is used up.
    sure : float
        At or above this part of a stick a pattern is taken in the same dive.

    Returns
    -------
    sticks : tuple of StickPattern
        They cover the demand exactly.

    Notes
    -----
    Each dive first settles the whole part of every amount, then the patterns used most that still fit
    what is needed; then the relaxed problem of the rest is solved anew, with new patterns.

    References
    ----------
    G. Belov and G. Scheithauer, residual problems of cutting stock, from memory; the shares by trial.
    """
    problem = master.problem
    rest = list(problem.demand)
    left = [problem.limit(stock) for stock in range(len(problem.costs))]
    settled: list[StickPattern] = []
    for _ in range(MOST_DIVES):
        if not any(rest):
            break
        taken = _take(master, rest, left, sure)
        if not taken:
            break
        settled.extend(taken)
        if any(rest):
            master.settle(tuple(rest), tuple(left))
            master.solve(ROUNDS_A_DIVE)
    if any(rest):
        settled.extend(fill_rest(problem, tuple(rest)))
    return without_surplus(problem, tuple(settled))


def _take(master: Master, rest: list[int], left: list[int | None], sure: float) -> list[StickPattern]:
    """Settle whole parts, then the surest patterns; `rest` and `left` are brought down to what remains."""
    amounts = master.amounts
    order = sorted(np.flatnonzero(amounts > 1e-6), key=lambda number: (-amounts[number] % 1.0, number))
    taken: list[StickPattern] = []
    for number in order:
        for _ in range(math.floor(amounts[number] + 1e-6)):
            _settle(master.columns[number], rest, left, taken)
    share = math.ceil((math.fsum(amounts) - len(taken)) / PART_SETTLED)
    for number in sorted(order, key=lambda number: (-(amounts[number] % 1.0), number)):
        part = amounts[number] % 1.0
        if part < 1e-6 or part > 1 - 1e-6:
            continue
        if share <= 0 or (taken and part < sure):
            break
        if _settle(master.columns[number], rest, left, taken):
            share -= 1
    return taken or _one(master, rest, left)


def _settle(
    pattern: StickPattern, rest: list[int], left: list[int | None], taken: list[StickPattern]
) -> bool:
    """Take a pattern whole if all of it is still needed and its stock is still there."""
    there = left[pattern.stock]
    if there == 0 or any(map(gt, pattern.counts, rest)):
        return False
    rest[:] = map(sub, rest, pattern.counts)
    if there is not None:
        left[pattern.stock] = there - 1
    taken.append(pattern)
    return True


def _one(master: Master, rest: list[int], left: list[int | None]) -> list[StickPattern]:
    """Take the part still needed of the pattern used most, so that every dive settles something."""
    for number in sorted(np.flatnonzero(master.amounts > 1e-6), key=lambda n: (-master.amounts[n], n)):
        pattern = master.columns[number]
        counts = tuple(min(count, need) for count, need in zip(pattern.counts, rest, strict=True))
        taken: list[StickPattern] = []
        if any(counts) and _settle(StickPattern(pattern.stock, counts), rest, left, taken):
            return taken
    return []
