"""The cutting problem in whole grid steps, and an answer to it: pieces and stock by their sizes alone.

A piece of length l takes l + kerf; a stock length L offers L − end trim + kerf, because the last piece
needs no cut after it. So a pattern fits exactly when its sizes sum to no more than the capacity.
"""

import math
from dataclasses import dataclass
from operator import mul

import numpy as np
from numpy.typing import NDArray

Pattern = tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Salvage:
    """What a leftover worth keeping is worth.

    Attributes
    ----------
    least : int
        Shortest that is kept, in grid steps.
    value : float
        Worth of one grid step.
    kerf : int
        Grid steps lost at the last cut, before the leftover.
    """

    least: int
    value: float
    kerf: int


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
        Cost of one stick of each stock length, above zero where it is bought.
    limits : tuple of (int or None)
        How many of each stock length there are; None: as many as are bought. Empty: all are bought.
        Every size fits one that is bought.
    packs : tuple of int
        Sticks in a pack of each; whole packs are bought. Empty: one each.
    salvage : Salvage or None
        What leftovers are worth; None: nothing.
    """

    sizes: tuple[int, ...]
    demand: tuple[int, ...]
    capacities: tuple[int, ...]
    costs: tuple[float, ...]
    limits: tuple[int | None, ...] = ()
    packs: tuple[int, ...] = ()
    salvage: Salvage | None = None

    def limit(self, stock: int) -> int | None:
        """Give how many sticks there are of a stock length.

        Parameters
        ----------
        stock : int
            Its number.

        Returns
        -------
        limit : int or None
            None when it is bought.

        References
        ----------
        Definition.
        """
        return self.limits[stock] if self.limits else None

    def pack(self, stock: int) -> int:
        """Give how many sticks are bought together.

        Parameters
        ----------
        stock : int
            Number of the stock length.

        Returns
        -------
        pack : int
            One where packs are not said.

        References
        ----------
        Definition.
        """
        return self.packs[stock] if self.packs else 1

    def credit(self, stock: int, used: int) -> float:
        """Give what the leftover of one stick is worth.

        Parameters
        ----------
        stock : int
            Number of the stock length.
        used : int
            Grid steps taken by the pieces and their cuts.

        Returns
        -------
        credit : float
            In the prices given; nothing for a leftover too short to keep.

        Examples
        --------
        >>> problem = StockProblem((6,), (1,), (20,), (10.0,), salvage=Salvage(least=5, value=0.2, kerf=1))
        >>> problem.credit(0, 6), problem.credit(0, 18)
        (2.6, 0.0)

        References
        ----------
        Definition.
        """
        if self.salvage is None:
            return 0.0
        left = self.capacities[stock] - self.salvage.kerf - used
        return left * self.salvage.value if left >= self.salvage.least else 0.0

    def credits(self, stock: int) -> NDArray[np.float64]:
        """Give what the leftover is worth for every fill of one stock length.

        Parameters
        ----------
        stock : int
            Number of the stock length.

        Returns
        -------
        credits : array of float
            By grid steps used, from nought to full.

        References
        ----------
        Definition.
        """
        capacity = self.capacities[stock]
        if self.salvage is None:
            return np.zeros(capacity + 1)
        left = capacity - self.salvage.kerf - np.arange(capacity + 1)
        return np.where(left >= self.salvage.least, left * self.salvage.value, 0.0)


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
    return sum(map(mul, problem.sizes, counts))


def net_cost(problem: StockProblem, stick: StickPattern) -> float:
    """Give the cost of one stick less what its leftover is worth.

    Parameters
    ----------
    problem : StockProblem
        Prices and salvage.
    stick : StickPattern
        How it is cut.

    Returns
    -------
    cost : float
        In the prices given; packs are not looked at.

    References
    ----------
    Definition.
    """
    return problem.costs[stick.stock] - problem.credit(stick.stock, used_size(problem, stick.counts))


def cheapest_stock(problem: StockProblem, used: int) -> int | None:
    """Give the stock length bought at the least net cost that offers at least `used` grid steps.

    Parameters
    ----------
    problem : StockProblem
        The stock.
    used : int
        Grid steps needed.

    Returns
    -------
    stock : int or None
        Its number; None when every stock length that is bought is too short.

    Examples
    --------
    >>> cheapest_stock(StockProblem((5,), (1,), (8, 12), (2.0, 1.0)), 6)
    1

    References
    ----------
    Definition.
    """
    fitting = [
        (cost - problem.credit(number, used), capacity, number)
        for number, (capacity, cost) in enumerate(zip(problem.capacities, problem.costs, strict=True))
        if capacity >= used and problem.limit(number) is None
    ]
    return min(fitting)[2] if fitting else None


def cut_of(problem: StockProblem, sticks: tuple[StickPattern, ...]) -> Pattern:
    """Give how many pieces of each size a plan cuts.

    Parameters
    ----------
    problem : StockProblem
        The sizes.
    sticks : tuple of StickPattern
        The plan.

    Returns
    -------
    counts : tuple of int
        One for each size.

    References
    ----------
    Definition.
    """
    return tuple(map(sum, zip(*(stick.counts for stick in sticks), strict=True))) or (0,) * len(problem.sizes)


def bought_of(problem: StockProblem, sticks: tuple[StickPattern, ...]) -> tuple[int, ...]:
    """Give how many sticks of each stock length must be had, in whole packs.

    Parameters
    ----------
    problem : StockProblem
        The packs.
    sticks : tuple of StickPattern
        The plan.

    Returns
    -------
    bought : tuple of int
        Never fewer than are cut.

    References
    ----------
    Definition.
    """
    counts = [0] * len(problem.costs)
    for stick in sticks:
        counts[stick.stock] += 1
    return tuple(
        math.ceil(count / problem.pack(stock)) * problem.pack(stock) for stock, count in enumerate(counts)
    )


def cost_of(problem: StockProblem, sticks: tuple[StickPattern, ...]) -> float:
    """Give the cost of a plan, added up from its sticks: whole packs, less what leftovers are worth.

    Parameters
    ----------
    problem : StockProblem
        Prices, packs and salvage.
    sticks : tuple of StickPattern
        The plan.

    Returns
    -------
    cost : float
        In the prices given. A stick of a pack that is not cut is worth nothing here.

    References
    ----------
    Definition.
    """
    bought = bought_of(problem, sticks)
    paid = sum(number * cost for number, cost in zip(bought, problem.costs, strict=True))
    if problem.salvage is None:
        return paid
    credit = problem.credit
    worth = {stick: credit(stick.stock, used_size(problem, stick.counts)) for stick in dict.fromkeys(sticks)}
    return paid - math.fsum(worth[stick] for stick in sticks)


def check_plan(problem: StockProblem, sticks: tuple[StickPattern, ...]) -> None:
    """Hold a plan against its problem: every stick fits and is there, and the demand is met exactly.

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
        When a stick is overfull, one is cut that is not there, or a size is cut too often or too seldom: a
        fault of the program.

    References
    ----------
    Definition.
    """
    taken = [0] * len(problem.costs)
    for stick in sticks:
        taken[stick.stock] += 1
        used = used_size(problem, stick.counts)
        if used > problem.capacities[stick.stock]:
            raise ArithmeticError(f"stick takes {used} of {problem.capacities[stick.stock]} grid steps")
    for stock, count in enumerate(taken):
        limit = problem.limit(stock)
        if limit is not None and count > limit:
            raise ArithmeticError(f"{count} sticks are cut of stock {stock}, and there are {limit}")
    cut = cut_of(problem, sticks)
    if cut != problem.demand:
        raise ArithmeticError(f"pieces cut {cut} are not the pieces needed {problem.demand}")
