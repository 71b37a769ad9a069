"""Cutting at least cost: against brute force, and how near the bound it comes on jobs like ours."""

import math
import random
from dataclasses import replace
from functools import cache
from itertools import product

import numpy as np
import pytest
from scipy.optimize import linprog

from app.takeoff.totals.bound import certified_bound, least_sticks
from app.takeoff.totals.first_fit import first_fit
from app.takeoff.totals.least_cost import cut_at_least_cost
from app.takeoff.totals.patterns import fill_knapsack, read_pattern
from app.takeoff.totals.stock_problem import StickPattern, StockProblem, check_plan, cost_of, used_size
from tests.bench.cutting import a_random_job


def least_cost_by_brute_force(problem: StockProblem) -> float:
    """The true least cost, over every way to fill the next stick."""
    patterns = [
        counts
        for counts in product(*(range(needed + 1) for needed in problem.demand))
        if any(counts) and used_size(problem, counts) <= max(problem.capacities)
    ]
    price = {
        counts: min(
            cost
            for capacity, cost in zip(problem.capacities, problem.costs, strict=True)
            if capacity >= used_size(problem, counts)
        )
        for counts in patterns
    }

    @cache
    def least(left: tuple[int, ...]) -> float:
        if not any(left):
            return 0.0
        first = next(number for number, count in enumerate(left) if count)
        return min(
            price[counts] + least(tuple(have - take for have, take in zip(left, counts, strict=True)))
            for counts in patterns
            if counts[first] and all(take <= have for have, take in zip(left, counts, strict=True))
        )

    return least(problem.demand)


def a_small_problem(seed: int) -> StockProblem:
    chance = random.Random(seed)
    sizes = tuple(sorted(chance.sample(range(6, 40), 3), reverse=True))
    capacities = tuple(sorted(chance.sample(range(40, 90), chance.randint(1, 3))))
    return StockProblem(
        sizes=sizes,
        demand=tuple(chance.randint(1, 4) for _ in sizes),
        capacities=capacities,
        costs=tuple(round(capacity * chance.uniform(0.9, 1.1), 1) for capacity in capacities),
    )


@pytest.mark.parametrize("seed", range(25))
def test_a_small_job_is_cut_at_the_true_least_cost_or_a_stick_above_and_never_below_its_bound(
    seed: int,
) -> None:
    problem = a_small_problem(seed)
    answer = cut_at_least_cost(problem)
    true_least = least_cost_by_brute_force(problem)
    check_plan(problem, answer.sticks)
    assert answer.bound <= true_least + 1e-9
    assert true_least - 1e-9 <= answer.cost <= true_least + min(problem.costs)


def test_most_small_jobs_are_cut_at_the_true_least_cost() -> None:
    exact = [
        cut_at_least_cost(a_small_problem(seed)).cost
        == pytest.approx(least_cost_by_brute_force(a_small_problem(seed)))
        for seed in range(25)
    ]
    assert sum(exact) >= 23


@pytest.mark.parametrize("seed", range(10))
def test_a_job_of_one_stock_length_needs_at_most_one_board_over_the_linear_bound(seed: int) -> None:
    chance = random.Random(500 + seed)
    sizes = tuple(sorted(chance.sample(range(300, 3000), 12), reverse=True))
    problem = StockProblem(sizes, tuple(chance.randint(1, 9) for _ in sizes), (3660,), (1.0,))
    answer = cut_at_least_cost(problem)
    # The bound is the linear one raised to whole boards, so less than a board above it.
    assert answer.cost <= answer.bound
    assert len(answer.sticks) == answer.cost


def test_the_plan_is_never_dearer_than_first_fit() -> None:
    for seed in range(20, 26):
        problem = a_random_job(seed, pieces=60, lengths=12)
        assert cut_at_least_cost(problem).cost <= cost_of(problem, first_fit(problem)) + 1e-9


def test_the_same_job_is_cut_the_same_way_twice() -> None:
    problem = a_random_job(28)
    assert cut_at_least_cost(problem) == cut_at_least_cost(problem)


def test_the_solver_says_nothing_on_standard_output(capfd: pytest.CaptureFixture[str]) -> None:
    cut_at_least_cost(a_random_job(3))
    assert capfd.readouterr().out == ""


@pytest.mark.parametrize("seed", range(15))
def test_one_table_gives_the_best_pattern_of_every_stock_length(seed: int) -> None:
    problem = a_small_problem(seed)
    worth = np.array([random.Random(seed + number).uniform(0, 5) for number in range(len(problem.sizes))])
    knapsack = fill_knapsack(problem, worth)
    for capacity in problem.capacities:
        best = max(
            float(np.dot(worth, counts))
            for counts in product(*(range(needed + 1) for needed in problem.demand))
            if used_size(problem, counts) <= capacity
        )
        counts = read_pattern(problem, knapsack, capacity)
        assert used_size(problem, counts) <= capacity
        assert all(count <= needed for count, needed in zip(counts, problem.demand, strict=True))
        assert float(np.dot(worth, counts)) == pytest.approx(best)
        assert float(knapsack.value[capacity]) == pytest.approx(best)


@pytest.mark.parametrize("seed", range(15))
def test_any_worths_give_a_bound_below_the_true_least_cost(seed: int) -> None:
    problem = a_small_problem(seed)
    chance = random.Random(seed)
    worth = np.array([chance.uniform(-1, 5) for _ in problem.sizes])
    assert certified_bound(problem, worth) <= least_cost_by_brute_force(problem) + 1e-9


def linear_bound_over_every_pattern(problem: StockProblem) -> float:
    """The linear programme with all patterns written out, by another interface."""
    columns = [
        (cost, counts)
        for capacity, cost in zip(problem.capacities, problem.costs, strict=True)
        for counts in product(*(range(needed + 1) for needed in problem.demand))
        if any(counts) and used_size(problem, counts) <= capacity
    ]
    solved = linprog(
        c=[cost for cost, _ in columns],
        A_ub=-np.array([counts for _, counts in columns]).T,
        b_ub=-np.array(problem.demand),
    )
    assert solved.success
    return float(solved.fun)


@pytest.mark.parametrize("seed", range(12))
def test_the_bound_is_the_linear_programme_over_every_pattern(seed: int) -> None:
    problem = a_small_problem(seed)
    # Costs that share nothing, so that the bound is not raised to whole sticks.
    problem = replace(problem, costs=tuple(cost + 1e-5 * math.pi * cost for cost in problem.costs))
    assert cut_at_least_cost(problem).bound == pytest.approx(
        linear_bound_over_every_pattern(problem), rel=2e-5
    )


def test_worths_of_nothing_bound_nothing() -> None:
    assert certified_bound(a_small_problem(1), np.zeros(3)) == 0.0


def test_no_plan_has_fewer_sticks_than_said() -> None:
    for seed in range(1, 6):
        problem = a_random_job(seed, pieces=80)
        answer = cut_at_least_cost(problem)
        assert least_sticks(problem, answer.bound) <= len(answer.sticks)


def test_an_overfull_stick_is_a_fault() -> None:
    problem = StockProblem((6, 5), (1, 1), (10,), (1.0,))
    with pytest.raises(ArithmeticError, match="11 of 10"):
        check_plan(problem, (StickPattern(0, (1, 1)),))


def test_a_missing_piece_is_a_fault() -> None:
    problem = StockProblem((6, 5), (1, 1), (10,), (1.0,))
    with pytest.raises(ArithmeticError, match="not the pieces needed"):
        check_plan(problem, (StickPattern(0, (1, 0)),))


def test_a_dearer_short_length_is_passed_over_for_a_cheaper_long_one() -> None:
    problem = StockProblem((30,), (2,), (35, 80), (9.0, 8.0))
    answer = cut_at_least_cost(problem)
    assert answer.sticks == (StickPattern(1, (2,)),)
    assert answer.cost == 8.0
