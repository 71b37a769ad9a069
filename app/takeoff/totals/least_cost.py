"""Cutting at least cost: column generation for the bound and the patterns, then whole sticks of them."""

import math

from app.takeoff.totals.bound import certified_bound, raised_bound
from app.takeoff.totals.dive import dive
from app.takeoff.totals.first_fit import fill_rest, first_fit, onto_offcuts, without_surplus
from app.takeoff.totals.master import VERY_MANY_SIZES, Master
from app.takeoff.totals.patterns import every_pattern
from app.takeoff.totals.stock_problem import (
    StickPattern,
    StockAnswer,
    StockProblem,
    check_plan,
    cost_of,
)
from app.takeoff.totals.whole_sticks import whole_sticks

# Work, not time, ends the search, so that the same job gives the same plan on any machine.
MOST_ROUNDS = 1500
MOST_PATTERNS = 600
MANY_SIZES = (
    50  # above this the search over all patterns costs seconds and settling a few at a time is nearer
)
SURE = (0.6, 0.75, 0.9)  # parts of a stick from which a pattern is taken at once, tried in turn

FIRST_FIT = "first fit, longest first"
ROUNDED = "column generation, rounded down and filled up by first fit"
DIVED = "column generation, sticks settled a few at a time"
EXACT = "whole sticks of every pattern there is, all tried"
WHOLE = "column generation, then whole sticks of the patterns found"


def cut_at_least_cost(problem: StockProblem) -> StockAnswer:
    """Give a plan close to the least cost, with the bound it is measured against.

    Parameters
    ----------
    problem : StockProblem
        What must be cut; every size fits at least one stock length that is bought.

    Returns
    -------
    answer : StockAnswer
        The cheapest of four plans: first fit; patterns rounded down and filled up; sticks settled a few at
        a time; whole sticks of the patterns. Checked stick by stick, its cost added up from the sticks and
        never below the bound.

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
    start = onto_offcuts(problem, first_fit(problem))
    master = Master(problem, start)
    master.solve(MOST_ROUNDS)
    bound = _bound(problem, certified_bound(problem, master.worth))
    plans = [(FIRST_FIT, start), (ROUNDED, _rounded(problem, master))]
    patterns = (*_promising(master), *_best(problem, plans)[1])
    if len(problem.sizes) <= MANY_SIZES and not _is_proved(problem, plans, bound):
        plans.extend(_exact(problem) or _whole(problem, patterns))
    for sure in SURE if len(problem.sizes) <= VERY_MANY_SIZES else SURE[:1]:
        if _is_proved(problem, plans, bound):
            break
        plans.append((DIVED, dive(_again(problem, master), sure)))
    method, sticks = _best(problem, plans)
    check_plan(problem, sticks)
    cost = cost_of(problem, sticks)
    if cost < bound * (1 - 1e-9) - 1e-9:
        raise ArithmeticError(f"plan costs {cost}, less than the bound {bound}")
    return StockAnswer(sticks=sticks, cost=cost, bound=min(bound, cost), method=method)


def _whole(
    problem: StockProblem, patterns: tuple[StickPattern, ...]
) -> list[tuple[str, tuple[StickPattern, ...]]]:
    """Search whole sticks of the patterns, and say how the search ended."""
    whole = whole_sticks(problem, patterns)
    if whole is None:
        return []
    return [(WHOLE if whole.is_searched else f"{WHOLE}, search ended before all were tried", whole.sticks)]


def _exact(problem: StockProblem) -> list[tuple[str, tuple[StickPattern, ...]]]:
    """Search whole sticks of every pattern there is, where they are few; nothing else can be cheaper."""
    patterns = every_pattern(problem, MOST_PATTERNS)
    whole = whole_sticks(problem, patterns, 0.0) if patterns is not None else None
    return [(EXACT, whole.sticks)] if whole is not None and whole.is_searched else []


def _again(problem: StockProblem, master: Master) -> Master:
    """Give the relaxed problem anew with the patterns known, since a dive uses it up."""
    again = Master(problem, master.columns)
    again.solve(1)
    return again


def _best(
    problem: StockProblem, plans: list[tuple[str, tuple[StickPattern, ...]]]
) -> tuple[str, tuple[StickPattern, ...]]:
    """Give the cheapest plan, the first of equals."""
    return min(plans, key=lambda named: cost_of(problem, named[1]))


def _is_proved(
    problem: StockProblem, plans: list[tuple[str, tuple[StickPattern, ...]]], bound: float
) -> bool:
    """Whether a plan costs no more than the bound, so that none can be cheaper."""
    return min(cost_of(problem, plan) for _, plan in plans) <= bound * (1 + 1e-9) + 1e-9


def _bound(problem: StockProblem, bound: float) -> float:
    """Raise a bound to what whole sticks, or whole packs, can cost; leftovers' worth has no such steps."""
    if problem.salvage is not None:
        return bound
    packs = [cost * problem.pack(stock) for stock, cost in enumerate(problem.costs)]
    return raised_bound(tuple(cost for cost in packs if cost > 0.0), bound)


def _rounded(problem: StockProblem, master: Master) -> tuple[StickPattern, ...]:
    """Take the whole part of each pattern and fill up by first fit."""
    sticks: list[StickPattern] = []
    for column, amount in zip(master.columns, master.amounts, strict=False):
        sticks.extend([column] * math.floor(amount + 1e-9))
    trimmed = without_surplus(problem, tuple(sticks))
    rest = tuple(
        needed - sum(stick.counts[number] for stick in trimmed)
        for number, needed in enumerate(problem.demand)
    )
    return onto_offcuts(problem, trimmed + fill_rest(problem, rest)) if any(rest) else trimmed


def _promising(master: Master) -> tuple[StickPattern, ...]:
    """Give the patterns worth most for what their stick costs: as many as a search stays quick with."""
    columns = [*master.columns, *master.near()]
    lacking = [master.lacking(column) for column in columns]
    best = sorted(range(len(columns)), key=lambda number: (lacking[number], number))
    return tuple(columns[number] for number in sorted(best[:MOST_PATTERNS]))
