"""First fit, longest first: the start of the search and what is left to stand on if the solver fails."""

from dataclasses import replace
from operator import sub

from app.takeoff.totals.stock_problem import (
    Pattern,
    StickPattern,
    StockProblem,
    cheapest_stock,
    cost_of,
    cut_of,
    net_cost,
    used_size,
)


def first_fit(problem: StockProblem) -> tuple[StickPattern, ...]:
    """Give a plan by laying each piece, longest first, into the first stick with room.

    Parameters
    ----------
    problem : StockProblem
        What must be cut; every size fits at least one stock length.

    Returns
    -------
    sticks : tuple of StickPattern
        The cheapest of the plans that open each stock length in turn; each stick is then shrunk to the
        cheapest length that still holds it.

    Examples
    --------
    >>> problem = StockProblem((6, 4), (2, 2), (10, 6), (10.0, 6.5))
    >>> [stick.counts for stick in first_fit(problem)]
    [(1, 1), (1, 1)]

    References
    ----------
    D. S. Johnson, Near-optimal bin packing algorithms (1973), from memory.
    """
    bought = [stock for stock in range(len(problem.capacities)) if problem.limit(stock) is None]
    plans = [_opening(problem, problem.demand, stock) for stock in bought]
    return min(plans, key=lambda plan: cost_of(problem, plan))


def fill_rest(problem: StockProblem, rest: Pattern) -> tuple[StickPattern, ...]:
    """Give sticks for a part of the demand.

    Parameters
    ----------
    problem : StockProblem
        Sizes and stock.
    rest : tuple of int
        How many of each size are still to be cut.

    Returns
    -------
    sticks : tuple of StickPattern
        As `first_fit` gives them.

    References
    ----------
    As `first_fit`.
    """
    return first_fit(replace(problem, demand=rest))


def without_surplus(problem: StockProblem, sticks: tuple[StickPattern, ...]) -> tuple[StickPattern, ...]:
    """Give the plan less the pieces cut beyond the demand, each stick shrunk to the cheapest that holds it.

    Parameters
    ----------
    problem : StockProblem
        What must be cut.
    sticks : tuple of StickPattern
        A plan that covers the demand or more.

    Returns
    -------
    sticks : tuple of StickPattern
        Never dearer than before; empty sticks are left out. What was cut from an offcut stays on it, and
        offcuts that are left take over the sticks they save most on.

    References
    ----------
    Definition.
    """
    surplus = [cut - needed for cut, needed in zip(cut_of(problem, sticks), problem.demand, strict=True)]
    kept: list[StickPattern] = []
    shrunk = _Shrunk(problem)
    for stick in sticks:
        counts = stick.counts
        if max(surplus) > 0:
            dropped = [min(count, max(more, 0)) for count, more in zip(counts, surplus, strict=True)]
            counts = tuple(map(sub, counts, dropped))
            surplus = list(map(sub, surplus, dropped))
        if not any(counts):
            continue
        # A stick moved to a cheaper length could open another pack, so with packs each stays where it is.
        stays = problem.limit(stick.stock) is not None or bool(problem.packs)
        kept.append(StickPattern(stick.stock, counts) if stays else shrunk[counts])
    return onto_offcuts(problem, tuple(kept))


def onto_offcuts(problem: StockProblem, sticks: tuple[StickPattern, ...]) -> tuple[StickPattern, ...]:
    """Give the plan with sticks moved onto offcuts that are left, wherever that saves.

    Parameters
    ----------
    problem : StockProblem
        What must be cut.
    sticks : tuple of StickPattern
        A plan.

    Returns
    -------
    sticks : tuple of StickPattern
        The shortest offcut first takes the stick it saves most on; never dearer than before.

    References
    ----------
    Common practice, no source.
    """
    plan = list(sticks)
    for stock in sorted(range(len(problem.costs)), key=lambda number: problem.capacities[number]):
        there = (problem.limit(stock) or 0) - sum(stick.stock == stock for stick in plan)
        for _ in range(there):
            moved = [
                (net_cost(problem, StickPattern(stock, stick.counts)) - net_cost(problem, stick), number)
                for number, stick in enumerate(plan)
                if problem.limit(stick.stock) is None
                and used_size(problem, stick.counts) <= problem.capacities[stock]
            ]
            if not moved or min(moved)[0] >= 0.0:
                break
            number = min(moved)[1]
            plan[number] = StickPattern(stock, plan[number].counts)
    return tuple(plan)


def _opening(problem: StockProblem, demand: Pattern, stock: int) -> tuple[StickPattern, ...]:
    """Lay every piece, opening sticks of `stock`, or the cheapest that holds it."""
    room: list[int] = []
    counts: list[list[int]] = []
    for number, (size, count) in enumerate(zip(problem.sizes, demand, strict=True)):
        place = 0
        for _ in range(count):
            # A stick too full for one piece of a size is too full for the next of it.
            while place < len(room) and room[place] < size:
                place += 1
            if place == len(room):
                opened = stock if problem.capacities[stock] >= size else cheapest_stock(problem, size)
                if opened is None:
                    raise ArithmeticError(f"a piece of {size} grid steps fits no stock length")
                room.append(problem.capacities[opened])
                counts.append([0] * len(problem.sizes))
            room[place] -= size
            counts[place][number] += 1
    shrunk = _Shrunk(problem)
    return tuple(shrunk[tuple(taken)] for taken in counts)


class _Shrunk(dict[Pattern, StickPattern]):
    """Patterns, each on the cheapest stock length that holds it; many sticks of a plan are cut alike."""

    def __init__(self, problem: StockProblem) -> None:
        super().__init__()
        self._problem = problem

    def __missing__(self, counts: Pattern) -> StickPattern:
        """Find the stock length of a pattern not met before."""
        stock = cheapest_stock(self._problem, used_size(self._problem, counts))
        if stock is None:
            raise ArithmeticError(f"pattern {counts} fits no stock length")
        self[counts] = StickPattern(stock=stock, counts=counts)
        return self[counts]
