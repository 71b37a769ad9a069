"""Whole sticks of known patterns: the integer search, on a solver object of its own."""

from dataclasses import dataclass

import numpy as np

from app.takeoff.totals.first_fit import without_surplus
from app.takeoff.totals.master import add_patterns, is_solved, solver
from app.takeoff.totals.stock_problem import StickPattern, StockProblem, cut_of

# Nodes times sizes: a node of a job with many sizes takes longer.
MOST_NODES_BY_SIZES = 5000
NEAR = 5e-5
MANY_SIZES = 80  # from here on the solver's own searches in a neighbourhood cost more time than they gain


@dataclass(frozen=True, slots=True)
class WholeSticks:
    """What the integer search found.

    Attributes
    ----------
    sticks : tuple of StickPattern
        They cover the demand exactly.
    is_searched : bool
        Whether the search ended because nothing better was left among the patterns.
    """

    sticks: tuple[StickPattern, ...]
    is_searched: bool


def whole_sticks(
    problem: StockProblem, patterns: tuple[StickPattern, ...], near: float = NEAR
) -> WholeSticks | None:
    """Give the cheapest whole sticks of some patterns.

    Parameters
    ----------
    problem : StockProblem
        What must be cut.
    patterns : tuple of StickPattern
        Those to choose from; they can meet the demand.
    near : float
        Part of the cost within which the search may end.

    Returns
    -------
    whole : WholeSticks or None
        None when the solver gives no answer.

    Notes
    -----
    Where stock is bought in packs, a pattern costs nothing and a pack costs all its sticks: patterns of a
    stock length are at most packs × sticks in a pack.

    References
    ----------
    HiGHS, https://highs.dev.
    """
    import highspy  # noqa: PLC0415 — heavy, and needed only when boards are cut

    offered = tuple(dict.fromkeys(patterns))
    search = solver()
    search.setOptionValue("mip_max_nodes", max(10, MOST_NODES_BY_SIZES // len(problem.sizes)))
    search.setOptionValue("mip_rel_gap", near)
    if len(problem.sizes) > MANY_SIZES:
        search.setOptionValue("mip_heuristic_run_rins", False)
        search.setOptionValue("mip_heuristic_run_rens", False)
    none = np.array([], dtype=np.int32)
    for needed in problem.demand:
        search.addRow(float(needed), np.inf, 0, none, np.array([]))
    limited = [stock for stock in range(len(problem.costs)) if problem.limit(stock) is not None]
    for stock in limited:
        search.addRow(-np.inf, float(problem.limit(stock) or 0), 0, none, np.array([]))
    add_patterns(search, problem, offered, limited)
    packed = [stock for stock in range(len(problem.costs)) if problem.pack(stock) > 1]
    _in_packs(search, problem, offered, packed)
    columns = len(offered) + len(packed)
    search.changeColsIntegrality(
        columns, np.arange(columns, dtype=np.int32), np.ones(columns, dtype=np.uint8)
    )
    if not is_solved(search):
        return None
    values = np.array(search.getSolution().col_value)[: len(offered)]
    sticks: list[StickPattern] = []
    for pattern, value in zip(offered, values, strict=True):
        sticks.extend([pattern] * int(np.round(value)))
    plan = without_surplus(problem, tuple(sticks))
    if cut_of(problem, plan) != problem.demand:
        return None
    return WholeSticks(plan, search.getModelStatus() == highspy.HighsModelStatus.kOptimal)


def _in_packs(
    search: object, problem: StockProblem, offered: tuple[StickPattern, ...], packed: list[int]
) -> None:
    """Move the cost of packed stock from its patterns onto whole packs."""
    for stock in packed:
        mine = [number for number, pattern in enumerate(offered) if pattern.stock == stock]
        for number in mine:
            used = sum(size * n for size, n in zip(problem.sizes, offered[number].counts, strict=True))
            search.changeColCost(number, -problem.credit(stock, used))  # type: ignore[attr-defined]
        row = search.getNumRow()  # type: ignore[attr-defined]
        search.addRow(  # type: ignore[attr-defined]
            -np.inf, 0.0, len(mine), np.array(mine, dtype=np.int32), np.ones(len(mine))
        )
        cost = problem.costs[stock] * problem.pack(stock)
        rows, entries = np.array([row], dtype=np.int32), np.array([-float(problem.pack(stock))])
        search.addCol(cost, 0.0, np.inf, 1, rows, entries)  # type: ignore[attr-defined]
