"""Cutting at least cost: column generation for the bound and the patterns, then whole sticks of them."""

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from app.takeoff.totals.bound import certified_bound, raised_bound
from app.takeoff.totals.first_fit import fill_rest, first_fit, without_surplus
from app.takeoff.totals.patterns import Knapsack, fill_knapsack, read_pattern
from app.takeoff.totals.stock_problem import (
    StickPattern,
    StockAnswer,
    StockProblem,
    check_plan,
    cost_of,
)

# Work, not time, ends the search, so that the same job gives the same plan on any machine.
MOST_ROUNDS = 1500
MOST_PATTERNS = 600
MANY_SIZES = 80  # from here on the solver's own searches in a neighbourhood cost more time than they gain
# Nodes times sizes: a node of a job with many sizes takes longer.
MOST_NODES_BY_SIZES = 5000
# Only against a runaway: far above what the limits of work take.
BACKSTOP_S = 20.0
IMPROVES = 1e-7
CLOSE_ENOUGH = 1e-5  # of the bound: the last rounds move it less than this

FIRST_FIT = "first fit, longest first"
ROUNDED = "column generation, rounded down and filled up by first fit"
WHOLE = "column generation, then whole sticks of the patterns found"


@dataclass(frozen=True)
class _Relaxed:
    """Where column generation ended: patterns, how much of each, and the worths it priced with last."""

    columns: tuple[StickPattern, ...]
    near: tuple[StickPattern, ...]
    amounts: NDArray[np.float64]
    worth: NDArray[np.float64]


def cut_at_least_cost(problem: StockProblem) -> StockAnswer:
    """Give a plan close to the least cost, with the bound it is measured against.

    Parameters
    ----------
    problem : StockProblem
        What must be cut; every size fits at least one stock length, every cost is above zero.

    Returns
    -------
    answer : StockAnswer
        The cheapest of three plans: first fit; patterns rounded down and filled up; whole patterns.
        Checked stick by stick, its cost added up from the sticks and never below the bound.

    Raises
    ------
    ArithmeticError
        When the plan does not hold against the problem or costs less than the bound: a fault of the
        program, never of the job.

    Notes
    -----
    The integer search runs on a new solver object that is given no first solution: with one (given, or
    left from a linear programme solved before) presolve of HiGHS 1.16.0 was seen to report an objective
    below the bound and to prune against it. The reported objective is never used.

    Examples
    --------
    >>> problem = StockProblem((45, 36, 31, 14), (97, 610, 395, 211), (100,), (1.0,))
    >>> answer = cut_at_least_cost(problem)
    >>> answer.cost, answer.bound
    (453.0, 453.0)

    References
    ----------
    P. C. Gilmore and R. E. Gomory, Operations Research 9 (1961) 849–859, from memory.
    """
    start = first_fit(problem)
    relaxed = _generate(problem, start)
    bound = _bound(problem, relaxed.worth)
    plans = [(FIRST_FIT, start), (ROUNDED, _rounded(problem, relaxed))]
    if min(cost_of(problem, plan) for _, plan in plans) > bound * (1 + 1e-9):
        incumbent = min((plan for _, plan in plans), key=lambda plan: cost_of(problem, plan))
        whole = _whole(problem, _promising(problem, relaxed), incumbent)
        if whole is not None:
            plans.append(whole)
    method, sticks = min(plans, key=lambda named: cost_of(problem, named[1]))
    check_plan(problem, sticks)
    cost = cost_of(problem, sticks)
    if cost < bound * (1 - 1e-9):
        raise ArithmeticError(f"plan costs {cost}, less than the bound {bound}")
    return StockAnswer(sticks=sticks, cost=cost, bound=min(bound, cost), method=method)


def _bound(problem: StockProblem, worth: NDArray[np.float64]) -> float:
    """Certify the bound, and raise it to what whole sticks can cost."""
    return raised_bound(problem.costs, certified_bound(problem, worth))


def _generate(problem: StockProblem, start: tuple[StickPattern, ...]) -> _Relaxed:
    """Add the patterns that improve the relaxed plan until none does or the rounds are spent."""
    columns = list(dict.fromkeys(start))
    seen = set(columns)
    solver = _solver()
    for needed in problem.demand:
        solver.addRow(float(needed), np.inf, 0, np.array([], dtype=np.int32), np.array([]))
    for column in columns:
        _add(solver, problem, column)
    worth = np.array(problem.sizes, dtype=np.float64)  # by length: a bound even if the solver fails
    amounts = np.zeros(len(columns))
    for _ in range(MOST_ROUNDS):
        if not _is_solved(solver):
            break
        solution = solver.getSolution()
        worth = np.maximum(np.array(solution.row_dual), 0.0)
        amounts = np.array(solution.col_value)
        knapsack = fill_knapsack(problem, worth)
        fresh = [column for column in _improving(problem, knapsack) if column not in seen]
        if not fresh or _scale(problem, knapsack) > 1 - CLOSE_ENOUGH:
            break
        for column in fresh:
            seen.add(column)
            columns.append(column)
            _add(solver, problem, column)
    priced = columns[: len(amounts)]
    near = [column for column in _near(problem, worth) if column not in seen]
    return _Relaxed(columns=tuple(priced), near=tuple(dict.fromkeys(near)), amounts=amounts, worth=worth)


def _scale(problem: StockProblem, knapsack: Knapsack) -> float:
    """Give what the worths must be scaled by so that no pattern is worth more than its stick costs."""
    return min(
        cost / max(float(knapsack.value[capacity]), cost)
        for capacity, cost in zip(problem.capacities, problem.costs, strict=True)
    )


def _improving(problem: StockProblem, knapsack: Knapsack) -> list[StickPattern]:
    """Give per stock length the pattern worth most, if it is worth more than the stick costs."""
    return [
        StickPattern(stock=stock, counts=read_pattern(problem, knapsack, capacity))
        for stock, (capacity, cost) in enumerate(zip(problem.capacities, problem.costs, strict=True))
        if knapsack.value[capacity] > cost * (1 + IMPROVES)
    ]


def _near(problem: StockProblem, worth: NDArray[np.float64]) -> list[StickPattern]:
    """Give for each size and stock length the best pattern that holds the size: whole sticks need choice."""
    knapsack = fill_knapsack(problem, worth)
    patterns: list[StickPattern] = []
    for stock, capacity in enumerate(problem.capacities):
        for number, size in enumerate(problem.sizes):
            if size > capacity:
                continue
            counts = list(read_pattern(problem, knapsack, capacity - size))
            counts[number] = min(counts[number] + 1, problem.demand[number])
            patterns.append(StickPattern(stock=stock, counts=tuple(counts)))
    return patterns


def _rounded(problem: StockProblem, relaxed: _Relaxed) -> tuple[StickPattern, ...]:
    """Take the whole part of each pattern and fill up by first fit."""
    sticks: list[StickPattern] = []
    for column, amount in zip(relaxed.columns, relaxed.amounts, strict=True):
        sticks.extend([column] * int(np.floor(amount + 1e-9)))
    trimmed = without_surplus(problem, tuple(sticks))
    rest = tuple(
        needed - sum(stick.counts[number] for stick in trimmed)
        for number, needed in enumerate(problem.demand)
    )
    return trimmed + fill_rest(problem, rest) if any(rest) else trimmed


def _promising(problem: StockProblem, relaxed: _Relaxed) -> tuple[StickPattern, ...]:
    """Give the patterns worth most for what their stick costs: as many as a search stays quick with."""
    columns = relaxed.columns + relaxed.near
    lacking = [
        problem.costs[column.stock] - float(np.dot(relaxed.worth, column.counts)) for column in columns
    ]
    best = sorted(range(len(columns)), key=lambda number: (lacking[number], number))
    return tuple(columns[number] for number in sorted(best[:MOST_PATTERNS]))


def _whole(
    problem: StockProblem, columns: tuple[StickPattern, ...], incumbent: tuple[StickPattern, ...]
) -> tuple[str, tuple[StickPattern, ...]] | None:
    """Choose whole sticks of the known patterns on a new solver object; None when it gives no answer."""
    offered = tuple(dict.fromkeys(columns + incumbent))
    solver = _solver()
    solver.setOptionValue("mip_max_nodes", max(10, MOST_NODES_BY_SIZES // len(problem.sizes)))
    solver.setOptionValue("mip_rel_gap", 5e-5)
    if len(problem.sizes) > MANY_SIZES:
        solver.setOptionValue("mip_heuristic_run_rins", False)
        solver.setOptionValue("mip_heuristic_run_rens", False)
    for needed in problem.demand:
        solver.addRow(float(needed), np.inf, 0, np.array([], dtype=np.int32), np.array([]))
    for column in offered:
        _add(solver, problem, column)
    numbers = np.arange(len(offered), dtype=np.int32)
    solver.changeColsIntegrality(len(offered), numbers, np.ones(len(offered), dtype=np.uint8))
    if not _is_solved(solver):
        return None
    values = np.array(solver.getSolution().col_value)
    sticks: list[StickPattern] = []
    for column, value in zip(offered, values, strict=True):
        sticks.extend([column] * int(np.round(value)))
    plan = without_surplus(problem, tuple(sticks))
    cut = tuple(sum(stick.counts[number] for stick in plan) for number in range(len(problem.sizes)))
    return (_ended(solver), plan) if cut == problem.demand else None


def _ended(solver: Any) -> str:
    """Say how the search for whole sticks ended."""
    import highspy  # noqa: PLC0415 — heavy, and needed only when boards are cut

    is_done = solver.getModelStatus() == highspy.HighsModelStatus.kOptimal
    return WHOLE if is_done else f"{WHOLE}, search ended before all were tried"


def _solver() -> Any:
    """Give a new, silent, single-threaded solver object."""
    import highspy  # noqa: PLC0415 — heavy, and needed only when boards are cut

    class Silent(highspy.Highs):
        """Says nothing: the plain class prints a banner on standard output when its callbacks go live."""

        def enableCallbacks(self) -> None:  # noqa: N802 — the library's name
            self.setOptionValue("output_flag", False)
            super().enableCallbacks()  # type: ignore[no-untyped-call]

    solver = Silent()  # type: ignore[no-untyped-call]
    solver.setOptionValue("threads", 1)
    solver.setOptionValue("random_seed", 0)
    solver.setOptionValue("time_limit", BACKSTOP_S)
    return solver


def _add(solver: Any, problem: StockProblem, column: StickPattern) -> None:
    """Offer one pattern to the solver."""
    rows = np.array([i for i, count in enumerate(column.counts) if count], dtype=np.int32)
    counts = np.array([float(column.counts[i]) for i in rows])
    solver.addCol(problem.costs[column.stock], 0.0, np.inf, len(rows), rows, counts)


def _is_solved(solver: Any) -> bool:
    """Run the solver; whether it ended with an answer that can be read."""
    import highspy  # noqa: PLC0415 — heavy, and needed only when boards are cut

    if solver.run() == highspy.HighsStatus.kError:
        return False
    ended = solver.getModelStatus()
    usable = (
        highspy.HighsModelStatus.kOptimal,
        highspy.HighsModelStatus.kSolutionLimit,
        highspy.HighsModelStatus.kTimeLimit,
    )
    return ended in usable and bool(solver.getInfo().primal_solution_status == 2)
