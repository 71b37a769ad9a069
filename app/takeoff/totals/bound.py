"""What no cut plan can beat: a bound certified by one more knapsack, whatever solver gave the worths."""

import math

import numpy as np
from numpy.typing import NDArray

from app.takeoff.totals.patterns import Knapsack, fill_knapsack
from app.takeoff.totals.stock_problem import StockProblem


def certified_bound(problem: StockProblem, worth: NDArray[np.float64]) -> float:
    """Give a cost that no plan can go below.

    Parameters
    ----------
    problem : StockProblem
        What must be cut.
    worth : array of float
        Worth of one piece of each size, as the pricing ended on; any worths give a true bound, good
        ones a close one.

    Returns
    -------
    bound : float
        In the prices of the problem.

    Notes
    -----
    With V(u) the greatest worth that fits u steps and c_j(u) the cost of stock length j less what its
    leftover is worth, the worths times s = min over bought j and u of c_j(u) / V(u) are feasible for the
    dual. Of stock of which there are only b_j the greatest of s·V(u) − c_j(u), if above zero, is a rent that
    each may bear. So s · demand · worth − Σ b_j · rent_j is a lower bound. Packs are not looked at: buying
    sticks one by one costs no more.

    Examples
    --------
    >>> problem = StockProblem((45, 36, 31, 14), (97, 610, 395, 211), (100,), (1.0,))
    >>> certified_bound(problem, np.array([0.5, 0.5, 0.25, 0.0]))
    452.25

    References
    ----------
    A. A. Farley, Operations Research 38 (1990) 922–923, from memory.
    """
    worth = np.maximum(worth, 0.0)
    return bound_from(problem, worth, fill_knapsack(problem, worth))


def bound_from(problem: StockProblem, worth: NDArray[np.float64], knapsack: Knapsack) -> float:
    """Give the bound of `certified_bound` from a table that is filled already.

    Parameters
    ----------
    problem : StockProblem
        What must be cut.
    worth : array of float
        Worth of one piece of each size, none below nought.
    knapsack : Knapsack
        Filled with those worths.

    Returns
    -------
    bound : float
        In the prices of the problem.

    References
    ----------
    As `certified_bound`.
    """
    total = float(np.dot(worth, problem.demand))
    if total <= 0.0:
        return 0.0
    best = knapsack.value
    stocks = range(len(problem.costs))
    scale = min(_least_ratio(problem, best, stock) for stock in stocks if problem.limit(stock) is None)
    rents = 0.0
    for stock in stocks:
        there = problem.limit(stock)
        if there:
            capacity = problem.capacities[stock]
            gains = scale * best[: capacity + 1] - (problem.costs[stock] - problem.credits(stock))
            rents += there * max(0.0, float(gains.max()))
    return max(0.0, total * scale - rents)


def _least_ratio(problem: StockProblem, best: NDArray[np.float64], stock: int) -> float:
    """Give the least net cost for what is cut from a stock length, over every fill."""
    capacity, cost = problem.capacities[stock], problem.costs[stock]
    if problem.salvage is None:
        return cost / float(best[capacity]) if best[capacity] > 0.0 else math.inf
    worth = best[: capacity + 1]
    filled = worth > 0.0
    if not filled.any():
        return math.inf
    return float(np.min((cost - problem.credits(stock)[filled]) / worth[filled]))


def raised_bound(costs: tuple[float, ...], bound: float) -> float:
    """Give the bound raised to the next cost that whole sticks can add up to.

    Parameters
    ----------
    costs : tuple of float
        Cost of one stick of each stock length.
    bound : float
        Cost that no plan can go below.

    Returns
    -------
    raised : float
        The next multiple of what all costs share; the bound as it was where they share nothing.

    Notes
    -----
    Looked for in ten-thousandths, so in cents and in tenths of a millimetre; a price finer than that
    raises nothing.

    Examples
    --------
    >>> raised_bound((2.4, 3.6), 10.3), raised_bound((21.6, 27.01), 10.3)
    (10.8, 10.3)

    References
    ----------
    Definition: a sum of multiples of a number is a multiple of it.
    """
    parts = [round(cost * 10_000) for cost in costs]
    if any(abs(part - cost * 10_000) > 1e-6 for part, cost in zip(parts, costs, strict=True)):
        return bound
    shared = math.gcd(*parts)
    return math.ceil(bound * 10_000 / shared * (1 - 1e-9) - 1e-6) * shared / 10_000


def least_sticks(problem: StockProblem, bound: float) -> int:
    """Give how many sticks any plan needs at least, by cost and by length.

    Parameters
    ----------
    problem : StockProblem
        What must be cut.
    bound : float
        Cost that no plan can go below.

    Returns
    -------
    sticks : int
        Whole sticks; no plan has fewer.

    Notes
    -----
    A plan of n sticks costs at most n times the dearest stick, and holds at most n times the longest. With
    packs or salvage only the length counts.

    Examples
    --------
    >>> least_sticks(StockProblem((45, 36, 31, 14), (97, 610, 395, 211), (100,), (1.0,)), 452.25)
    453

    References
    ----------
    Definition.
    """
    needed = sum(size * count for size, count in zip(problem.sizes, problem.demand, strict=True))
    by_length = -(-needed // max(problem.capacities))
    if problem.salvage is not None or problem.packs:
        return by_length
    by_cost = int(np.ceil(bound / max(problem.costs) - 1e-9))
    return max(by_length, by_cost)
