"""The cutting problem in whole grid steps, and an answer to it: pieces and stock by their sizes alone.

A piece of length l takes l + kerf; a stock length L offers L − end trim + kerf, because the last piece
needs no cut after it. So a pattern fits exactly when its sizes sum to no more than the capacity.
"""

from dataclasses import dataclass

Pattern = tuple[int, ...]


@dataclass(frozen=True, slots=True)
class StockProblem:
    """What must be cut and what it can be cut from.

    Attributes
    ----------
    sizes : tuple of int
        Distinct piece sizes (length and kerf), longest first, in grid steps.
    demand : tuple of int
        How many of each size.
    capacities : tuple of int
        What each stock length offers, in grid steps.
    costs : tuple of float
        Cost of one stick of each stock length, above zero.
    """

    sizes: tuple[int, ...]
    demand: tuple[int, ...]
    capacities: tuple[int, ...]
    costs: tuple[float, ...]


@dataclass(frozen=True, slots=True)
class StickPattern:
    """One way to cut one stick.

    Attributes
    ----------
    stock : int
        Which stock length.
    counts : tuple of int
        How many of each size.
    """

    stock: int
    counts: Pattern


@dataclass(frozen=True, slots=True)
class StockAnswer:
    """A plan for a `StockProblem` and how good it can be shown to be.

    Attributes
    ----------
    sticks : tuple of StickPattern
        One entry per stick bought; they cover the demand exactly.
    cost : float
        Recomputed from the sticks.
    bound : float
        No plan for this problem can cost less.
    method : str
        How it was found, in words.
    """

    sticks: tuple[StickPattern, ...]
    cost: float
    bound: float
    method: str


def used_size(problem: StockProblem, counts: Pattern) -> int:
    """Give the grid steps that a pattern takes.

    Parameters
    ----------
    problem : StockProblem
        The sizes.
    counts : tuple of int
        How many of each size.

    Returns
    -------
    used : int
        Grid steps.

    Examples
    --------
    >>> used_size(StockProblem((45, 36), (1, 2), (100,), (1.0,)), (1, 1))
    81

    References
    ----------
    Definition.
    """
    return sum(size * count for size, count in zip(problem.sizes, counts, strict=True))


def cheapest_stock(problem: StockProblem, used: int) -> int | None:
    """Give the cheapest stock length that offers at least `used` grid steps.

    Parameters
    ----------
    problem : StockProblem
        The stock.
    used : int
        Grid steps needed.

    Returns
    -------
    stock : int or None
        Its number; None when every stock length is too short.

    Examples
    --------
    >>> cheapest_stock(StockProblem((5,), (1,), (8, 12), (2.0, 1.0)), 6)
    1

    References
    ----------
    Definition.
    """
    fitting = [
        (cost, capacity, number)
        for number, (capacity, cost) in enumerate(zip(problem.capacities, problem.costs, strict=True))
        if capacity >= used
    ]
    return min(fitting)[2] if fitting else None


def cost_of(problem: StockProblem, sticks: tuple[StickPattern, ...]) -> float:
    """Give the cost of a plan, added up from its sticks.

    Parameters
    ----------
    problem : StockProblem
        The prices.
    sticks : tuple of StickPattern
        The plan.

    Returns
    -------
    cost : float
        In the prices given.

    References
    ----------
    Definition.
    """
    bought = [0] * len(problem.costs)
    for stick in sticks:
        bought[stick.stock] += 1
    return sum(number * cost for number, cost in zip(bought, problem.costs, strict=True))


def check_plan(problem: StockProblem, sticks: tuple[StickPattern, ...]) -> None:
    """Hold a plan against its problem: every stick fits and the demand is met exactly.

    Parameters
    ----------
    problem : StockProblem
        What was asked.
    sticks : tuple of StickPattern
        The plan.

    Returns
    -------
    nothing : None
        Returns when the plan holds.

    Raises
    ------
    ArithmeticError
        When a stick is overfull or a size is cut too often or too seldom: a fault of the program.

    References
    ----------
    Definition.
    """
    for stick in sticks:
        used = used_size(problem, stick.counts)
        if used > problem.capacities[stick.stock]:
            raise ArithmeticError(f"stick takes {used} of {problem.capacities[stick.stock]} grid steps")
    cut = tuple(sum(stick.counts[i] for stick in sticks) for i in range(len(problem.sizes)))
    if cut != problem.demand:
        raise ArithmeticError(f"pieces cut {cut} are not the pieces needed {problem.demand}")
