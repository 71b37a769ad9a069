"""First fit, longest first: the start of the search and what is left to stand on if the solver fails."""

from app.takeoff.totals.stock_problem import (
    Pattern,
    StickPattern,
    StockProblem,
    cheapest_stock,
    cost_of,
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
    plans = [_opening(problem, problem.demand, stock) for stock in range(len(problem.capacities))]
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
    return first_fit(
        StockProblem(sizes=problem.sizes, demand=rest, capacities=problem.capacities, costs=problem.costs)
    )


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
        Never dearer than before; empty sticks are left out.

    References
    ----------
    Definition.
    """
    surplus = [
        sum(stick.counts[number] for stick in sticks) - needed for number, needed in enumerate(problem.demand)
    ]
    kept: list[StickPattern] = []
    for stick in sticks:
        counts = list(stick.counts)
        for number, count in enumerate(stick.counts):
            dropped = min(count, max(surplus[number], 0))
            counts[number] -= dropped
            surplus[number] -= dropped
        if any(counts):
            kept.append(_shrunk(problem, tuple(counts)))
    return tuple(kept)


def _opening(problem: StockProblem, demand: Pattern, stock: int) -> tuple[StickPattern, ...]:
    """Lay every piece, opening sticks of `stock`, or the cheapest that holds it."""
    room: list[int] = []
    counts: list[list[int]] = []
    for number, (size, count) in enumerate(zip(problem.sizes, demand, strict=True)):
        for _ in range(count):
            place = next((i for i, left in enumerate(room) if left >= size), None)
            if place is None:
                opened = stock if problem.capacities[stock] >= size else cheapest_stock(problem, size)
                if opened is None:
                    raise ArithmeticError(f"a piece of {size} grid steps fits no stock length")
                room.append(problem.capacities[opened])
                counts.append([0] * len(problem.sizes))
                place = len(room) - 1
            room[place] -= size
            counts[place][number] += 1
    return tuple(_shrunk(problem, tuple(taken)) for taken in counts)


def _shrunk(problem: StockProblem, counts: Pattern) -> StickPattern:
    """Give the pattern on the cheapest stock length that holds it."""
    stock = cheapest_stock(problem, used_size(problem, counts))
    if stock is None:
        raise ArithmeticError(f"pattern {counts} fits no stock length")
    return StickPattern(stock=stock, counts=counts)
