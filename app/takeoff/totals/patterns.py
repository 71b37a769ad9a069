"""The best pattern for given worths of the sizes: one bounded knapsack prices all stock lengths."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from app.takeoff.totals.stock_problem import Pattern, StickPattern, StockProblem


@dataclass(frozen=True)
class Knapsack:
    """The filled table of the dynamic programme.

    Attributes
    ----------
    value : array of float
        Greatest worth that fits into so many grid steps.
    chunks : tuple of (int, int, array of bool)
        Per stage: size number, how many pieces it takes, and at which fill it was taken.
    """

    value: NDArray[np.float64]
    chunks: tuple[tuple[int, int, NDArray[np.bool_]], ...]


def fill_knapsack(problem: StockProblem, worth: NDArray[np.float64]) -> Knapsack:
    """Give the greatest worth for every fill up to the longest stock.

    Parameters
    ----------
    problem : StockProblem
        Sizes, demand and capacities.
    worth : array of float
        Worth of one piece of each size; a size without worth is left out.

    Returns
    -------
    knapsack : Knapsack
        One table serves every stock length.

    Notes
    -----
    No pattern holds more of a size than its demand. The count of each size is split in powers of two
    (1, 2, 4, …, rest), so that a few stages stand for every count.

    References
    ----------
    P. C. Gilmore and R. E. Gomory, Operations Research 9 (1961) 849–859 and 11 (1963) 863–888, from
    memory; the splitting is common practice.
    """
    longest = max(problem.capacities)
    value = np.zeros(longest + 1)
    chunks: list[tuple[int, int, NDArray[np.bool_]]] = []
    for number, (size, demand) in enumerate(zip(problem.sizes, problem.demand, strict=True)):
        if worth[number] <= 0.0:
            continue
        left = min(demand, longest // size)
        take = 1
        while left > 0:
            take = min(take, left)
            span = size * take
            candidate = value[:-span] + worth[number] * take
            is_better = candidate > value[span:]
            np.copyto(value[span:], candidate, where=is_better)
            chunks.append((number, take, is_better))
            left -= take
            take *= 2
    return Knapsack(value=value, chunks=tuple(chunks))


def best_fill(problem: StockProblem, knapsack: Knapsack, stock: int) -> tuple[float, int]:
    """Give what the best pattern of one stock length is worth with its leftover, and what it takes.

    Parameters
    ----------
    problem : StockProblem
        Capacities and salvage.
    knapsack : Knapsack
        The filled table.
    stock : int
        Number of the stock length.

    Returns
    -------
    worth : float
        Worth of the pieces and of the leftover.
    used : int
        Grid steps that hold the pieces.

    Notes
    -----
    The table gives the greatest worth within u steps; a leftover is worth less the more is used, so the
    greatest sum over all u is the greatest over all patterns.

    References
    ----------
    Definition.
    """
    capacity = problem.capacities[stock]
    if problem.salvage is None:
        return float(knapsack.value[capacity]), capacity
    worth = knapsack.value[: capacity + 1] + problem.credits(stock)
    used = int(np.argmax(worth))
    return float(worth[used]), used


def read_pattern(problem: StockProblem, knapsack: Knapsack, capacity: int) -> Pattern:
    """Give the pattern of greatest worth for one stock length, read back from the table.

    Parameters
    ----------
    problem : StockProblem
        The sizes.
    knapsack : Knapsack
        The filled table.
    capacity : int
        What the stock length offers, in grid steps.

    Returns
    -------
    counts : tuple of int
        How many of each size.

    Examples
    --------
    >>> problem = StockProblem((45, 36, 14), (3, 3, 3), (100,), (1.0,))
    >>> read_pattern(problem, fill_knapsack(problem, np.array([0.5, 0.42, 0.1])), 100)
    (0, 2, 2)

    References
    ----------
    Definition.
    """
    counts = [0] * len(problem.sizes)
    fill = capacity
    for number, take, was_taken in reversed(knapsack.chunks):
        span = problem.sizes[number] * take
        if fill >= span and was_taken[fill - span]:
            counts[number] += take
            fill -= span
    return tuple(counts)


def every_pattern(problem: StockProblem, most: int) -> tuple[StickPattern, ...] | None:
    """Give every way to cut every stock length, where they are few.

    Parameters
    ----------
    problem : StockProblem
        Sizes, demand and stock.
    most : int
        More than so many are not written out.

    Returns
    -------
    patterns : tuple of StickPattern or None
        None when there are more.

    Examples
    --------
    >>> len(every_pattern(StockProblem((6, 4), (2, 2), (10, 12), (1.0, 1.2)), 100))
    9

    References
    ----------
    Definition.
    """
    longest = max(problem.capacities)
    found: list[tuple[int, Pattern]] = [(0, ())]
    for size, demand in zip(problem.sizes, problem.demand, strict=True):
        found = [
            (used + size * count, (*counts, count))
            for used, counts in found
            for count in range(min(demand, (longest - used) // size) + 1)
        ]
        if len(found) > most:
            return None
    patterns = tuple(
        StickPattern(stock, counts)
        for stock, capacity in enumerate(problem.capacities)
        for used, counts in found
        if 0 < used <= capacity
    )
    return patterns if len(patterns) <= most else None
