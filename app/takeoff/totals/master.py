"""The relaxed cutting problem: which patterns, how much of each, and what a piece of each size is worth.

One linear programme, grown by the patterns that improve it. The solver is HiGHS; nothing it reports is
trusted beyond the worths, which are certified by `bound`, and the amounts, which are only a start.
"""

from collections.abc import Iterable, Sequence
from dataclasses import replace
from functools import cache
from typing import Any

import numpy as np
from numpy.typing import NDArray

from app.takeoff.totals.bound import bound_from
from app.takeoff.totals.patterns import Knapsack, best_fill, fill_knapsack, read_pattern
from app.takeoff.totals.stock_problem import Pattern, StickPattern, StockProblem, net_cost

# Only against a runaway: far above what the limits of work take.
BACKSTOP_S = 20.0
IMPROVES = 1e-7
CLOSE_ENOUGH = 1e-5  # of the bound: the last rounds move it less than this
SMOOTHING = 0.7  # between this round's worths and the best so far; by trial
MANY_SIZES = 60  # above this more patterns are added a round, each holding one size in so many:
EVERY = 25
VERY_MANY_SIZES = 120  # above this the bound is met ten times less closely


class Master:
    """The relaxed problem over the patterns known so far.

    Attributes
    ----------
    problem : StockProblem
        What is to be cut now; its demand may shrink as sticks are settled.
    columns : list of StickPattern
        The patterns.
    amounts : array of float
        How much of each, as solved last.
    worth : array of float
        Worth of a piece of each size, as priced last.
    """

    def __init__(self, problem: StockProblem, start: Iterable[StickPattern]) -> None:
        """Offer the first patterns, which meet the demand."""
        self.problem = problem
        self.columns: list[StickPattern] = []
        self._seen: set[StickPattern] = set()
        self._limited = [n for n in range(len(problem.costs)) if problem.limit(n) is not None]
        self._solver = solver()
        for needed in problem.demand:
            self._solver.addRow(float(needed), np.inf, 0, np.array([], dtype=np.int32), np.array([]))
        for stock in self._limited:
            there = float(problem.limit(stock) or 0)
            self._solver.addRow(-np.inf, there, 0, np.array([], dtype=np.int32), np.array([]))
        # By length: a bound even if the solver fails.
        self.worth: NDArray[np.float64] = np.array(problem.sizes, dtype=np.float64)
        self.amounts: NDArray[np.float64] = np.zeros(0)
        self._rents = np.zeros(len(problem.costs))
        self._cost = np.inf
        self.offer(start)

    def offer(self, patterns: Iterable[StickPattern]) -> int:
        """Add the patterns that are new; give how many were."""
        fresh = [pattern for pattern in dict.fromkeys(patterns) if pattern not in self._seen]
        self._seen.update(fresh)
        self.columns += fresh
        add_patterns(self._solver, self.problem, fresh, self._limited)
        return len(fresh)

    def solve(self, most_rounds: int) -> None:
        """Solve, and add what improves, until nothing does, the bound is met or the rounds are spent.

        Worths swing from round to round; patterns are looked for at worths between those of this round
        and those that gave the best bound so far, which takes far fewer rounds.
        """
        steady, best = self.worth, 0.0
        close = CLOSE_ENOUGH * (10 if len(self.problem.sizes) > VERY_MANY_SIZES else 1)
        for turn in range(most_rounds):
            if not self._priced():
                return
            between = SMOOTHING * steady + (1 - SMOOTHING) * self.worth if best > 0.0 else self.worth
            found = False
            for worth in (between, self.worth):
                knapsack = fill_knapsack(self.problem, worth)
                bound = bound_from(self.problem, worth, knapsack)
                if bound > best:
                    steady, best = worth, bound
                if best >= self._cost * (1 - close):
                    self.worth = steady
                    return
                fresh = self._improving(knapsack)
                if fresh and len(self.problem.sizes) > MANY_SIZES:
                    fresh += self._holding(knapsack, turn)
                found = bool(self.offer(fresh))
                if found or worth is self.worth:
                    break
            if not found:
                self.worth = steady
                return
        self.worth = steady

    def _priced(self) -> bool:
        """Solve over the patterns known; read amounts, worths and rents. False when there is no answer."""
        if not is_solved(self._solver):
            return False
        solution = self._solver.getSolution()
        duals = np.array(solution.row_dual)
        sizes = len(self.problem.sizes)
        self.worth = np.maximum(duals[:sizes], 0.0)
        for number, stock in enumerate(self._limited):
            self._rents[stock] = max(0.0, -duals[sizes + number])
        self.amounts = np.array(solution.col_value)
        self._cost = float(self._solver.getInfo().objective_function_value)
        return True

    def settle(self, demand: Pattern, left: tuple[int | None, ...]) -> None:
        """Ask for less: what is still to be cut, and what stock is still there."""
        self.problem = replace(self.problem, demand=demand, limits=left)
        for row, needed in enumerate(demand):
            self._solver.changeRowBounds(row, float(needed), np.inf)
        for number, stock in enumerate(self._limited):
            self._solver.changeRowBounds(len(demand) + number, -np.inf, float(left[stock] or 0))

    def near(self) -> list[StickPattern]:
        """For each size and stock length the best pattern that holds the size: whole sticks need choice."""
        problem = self.problem
        knapsack = fill_knapsack(problem, self.worth)
        patterns: list[StickPattern] = []
        for stock, capacity in enumerate(problem.capacities):
            for number, size in enumerate(problem.sizes):
                if size > capacity or not problem.demand[number]:
                    continue
                counts = list(read_pattern(problem, knapsack, capacity - size))
                counts[number] = min(counts[number] + 1, problem.demand[number])
                patterns.append(StickPattern(stock=stock, counts=tuple(counts)))
        return [pattern for pattern in dict.fromkeys(patterns) if pattern not in self._seen]

    def lacking(self, pattern: StickPattern) -> float:
        """By how much a pattern costs more than its pieces are worth."""
        worth = float(np.dot(self.worth, pattern.counts))
        return net_cost(self.problem, pattern) + float(self._rents[pattern.stock]) - worth

    def _improving(self, knapsack: Knapsack) -> list[StickPattern]:
        """Per stock length the pattern worth most, if it costs less than that at this round's worths."""
        found = []
        for stock in range(len(self.problem.costs)):
            _, used = best_fill(self.problem, knapsack, stock)
            pattern = StickPattern(stock=stock, counts=read_pattern(self.problem, knapsack, used))
            if any(pattern.counts) and self.lacking(pattern) < -IMPROVES * self.problem.costs[stock] - 1e-12:
                found.append(pattern)
        return found

    def _holding(self, knapsack: Knapsack, turn: int) -> list[StickPattern]:
        """Improving patterns that hold one of some sizes, others each round, where sizes are many."""
        found = []
        for number in range(turn % EVERY, len(self.problem.sizes), EVERY):
            size, needed = self.problem.sizes[number], self.problem.demand[number]
            if not needed:
                continue
            for stock, capacity in enumerate(self.problem.capacities):
                if size > capacity:
                    continue
                counts = list(read_pattern(self.problem, knapsack, capacity - size))
                counts[number] = min(counts[number] + 1, needed)
                pattern = StickPattern(stock=stock, counts=tuple(counts))
                if self.lacking(pattern) < -IMPROVES * self.problem.costs[stock]:
                    found.append(pattern)
        return found


def solver() -> Any:
    """Give a new, silent, single-threaded solver object.

    Returns
    -------
    solver : highspy.Highs
        With nothing in it.

    References
    ----------
    HiGHS, https://highs.dev.
    """
    made = _silent()()
    made.setOptionValue("threads", 1)
    made.setOptionValue("random_seed", 0)
    made.setOptionValue("time_limit", BACKSTOP_S)
    return made


@cache
def _silent() -> Any:
    """Give the class of solvers that say nothing, made once."""
    import highspy  # noqa: PLC0415 — heavy, and needed only when boards are cut

    class Silent(highspy.Highs):
        """Says nothing: the plain class prints a banner on standard output when its callbacks go live."""

        def enableCallbacks(self) -> None:  # noqa: N802 — the library's name
            self.setOptionValue("output_flag", False)
            super().enableCallbacks()  # type: ignore[no-untyped-call]

    return Silent


def add_patterns(
    solver: Any, problem: StockProblem, patterns: Sequence[StickPattern], limited: list[int]
) -> None:
    """Offer patterns to a solver whose rows are the sizes, then the limited stock.

    Parameters
    ----------
    solver : highspy.Highs
        With its rows.
    problem : StockProblem
        Prices and salvage.
    patterns : sequence of StickPattern
        To be offered.
    limited : list of int
        Stock lengths that have a row.

    References
    ----------
    Definition.
    """
    if not patterns:
        return
    table = np.array([pattern.counts for pattern in patterns], dtype=np.float64)
    if limited:
        stock = np.array([pattern.stock for pattern in patterns])
        table = np.hstack([table, (stock[:, None] == np.array(limited)).astype(np.float64)])
    of_pattern, rows = np.nonzero(table)
    starts = np.searchsorted(of_pattern, np.arange(len(patterns))).astype(np.int32)
    costs = np.array([net_cost(problem, pattern) for pattern in patterns])
    least, most = np.zeros(len(patterns)), np.full(len(patterns), np.inf)
    entries = table[of_pattern, rows]
    solver.addCols(len(patterns), costs, least, most, len(rows), starts, rows.astype(np.int32), entries)


def is_solved(solver: Any) -> bool:
    """Run a solver; whether it ended with an answer that can be read.

    Parameters
    ----------
    solver : highspy.Highs
        With its problem.

    Returns
    -------
    solved : bool
        Also when a limit of work ended the search with an answer.

    References
    ----------
    HiGHS, https://highs.dev.
    """
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
