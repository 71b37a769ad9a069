"""Offcuts in the rack, leftovers worth keeping, whole packs: against every plan there is."""

import random
from decimal import Decimal
from functools import cache
from itertools import product

import numpy as np
import pytest

from app.job.choices import Cutting, KeptOffcut, StockLength
from app.takeoff.totals.bound import certified_bound
from app.takeoff.totals.first_fit import first_fit, onto_offcuts
from app.takeoff.totals.least_cost import cut_at_least_cost
from app.takeoff.totals.profile_cut import cut_profile, stock_costs
from app.takeoff.totals.records import CutPlan
from app.takeoff.totals.stock_problem import (
    Salvage,
    StickPattern,
    StockProblem,
    bought_of,
    check_plan,
    cost_of,
    net_cost,
    used_size,
)
from app.takeoff.totals.strips import CutPiece, nest_rips


def least_cost_of_every_plan(problem: StockProblem) -> float:
    """The true least cost, over every way to cut the next stick from every stock that is left."""
    patterns = [
        counts for counts in product(*(range(needed + 1) for needed in problem.demand)) if any(counts)
    ]
    stocks = range(len(problem.costs))
    most = sum(problem.demand)

    @cache
    def least(left: tuple[int, ...], there: tuple[int, ...], taken: tuple[int, ...]) -> float:
        if not any(left):
            packs = [problem.costs[s] * problem.pack(s) * -(-taken[s] // problem.pack(s)) for s in stocks]
            return sum(packs)
        first = next(number for number, count in enumerate(left) if count)
        best = float("inf")
        for counts in patterns:
            if not counts[first] or any(take > have for have, take in zip(left, counts, strict=True)):
                continue
            used = used_size(problem, counts)
            for stock in stocks:
                if used > problem.capacities[stock] or not there[stock]:
                    continue
                rest = tuple(have - take for have, take in zip(left, counts, strict=True))
                fewer = tuple(n - (s == stock) for s, n in enumerate(there))
                more = tuple(n + (s == stock) for s, n in enumerate(taken))
                best = min(best, least(rest, fewer, more) - problem.credit(stock, used))
        return best

    limits = [problem.limit(stock) for stock in stocks]
    there = tuple(most if limit is None else limit for limit in limits)
    return least(problem.demand, there, tuple(0 for _ in stocks))


def a_problem(seed: int, *, with_rack: bool = False, salvage: float = 0.0, pack: int = 1) -> StockProblem:
    chance = random.Random(seed)
    sizes = tuple(sorted(chance.sample(range(6, 36), 3), reverse=True))
    bought = tuple(sorted(chance.sample(range(40, 80), 2)))
    capacities, limits = list(bought), [None, None]
    costs = [round(capacity * chance.uniform(0.9, 1.1), 1) for capacity in bought]
    worth = salvage * min(cost / capacity for cost, capacity in zip(costs, bought, strict=True))
    if with_rack:
        for length in chance.sample(range(8, 60), 2):
            capacities.append(length)
            limits.append(chance.randint(1, 2))
            costs.append(length * worth if length >= 12 else 0.0)
    return StockProblem(
        sizes=sizes,
        demand=tuple(chance.randint(1, 3) for _ in sizes),
        capacities=tuple(capacities),
        costs=tuple(costs),
        limits=tuple(limits) if with_rack else (),
        packs=(pack,) * len(capacities) if pack > 1 and not with_rack else (),
        salvage=Salvage(least=12, value=worth, kerf=1) if salvage else None,
    )


KINDS = {
    "offcuts in the rack": {"with_rack": True},
    "leftovers worth a half": {"salvage": 0.5},
    "both": {"with_rack": True, "salvage": 0.4},
    "packs of three": {"pack": 3},
    "packs and leftovers": {"pack": 2, "salvage": 0.3},
}


@pytest.mark.parametrize("kind", KINDS)
def test_no_plan_beats_the_bound_and_most_are_the_best_of_every_plan(kind: str) -> None:
    exact = 0
    for seed in range(16):
        problem = a_problem(seed, **KINDS[kind])
        answer = cut_at_least_cost(problem)
        true_least = least_cost_of_every_plan(problem)
        check_plan(problem, answer.sticks)
        assert answer.cost == pytest.approx(cost_of(problem, answer.sticks))
        assert answer.bound <= true_least + 1e-9
        assert true_least - 1e-9 <= answer.cost <= true_least + max(problem.costs) * problem.pack(0)
        exact += answer.cost == pytest.approx(true_least)
    assert exact >= 15


@pytest.mark.parametrize("seed", range(8))
def test_any_worths_bound_a_problem_with_offcuts_and_credit(seed: int) -> None:
    chance = random.Random(seed)
    problem = a_problem(seed, with_rack=True, salvage=0.5)
    worth = [chance.uniform(0, 40) for _ in problem.sizes]
    assert certified_bound(problem, np.array(worth)) <= least_cost_of_every_plan(problem) + 1e-9


def test_an_offcut_is_cut_no_more_often_than_it_is_there() -> None:
    problem = StockProblem((10,), (4,), (12, 11), (10.0, 0.0), limits=(None, 2))
    answer = cut_at_least_cost(problem)
    assert sorted(stick.stock for stick in answer.sticks) == [0, 0, 1, 1]
    assert answer.cost == answer.bound == 20.0
    with pytest.raises(ArithmeticError, match="3 sticks are cut of stock 1, and there are 2"):
        check_plan(problem, (StickPattern(1, (1,)),) * 3)


def test_first_fit_buys_and_then_moves_onto_offcuts() -> None:
    problem = StockProblem((10,), (2,), (12, 11), (10.0, 0.0), limits=(None, 1))
    bought = first_fit(problem)
    assert [stick.stock for stick in bought] == [0, 0]
    assert sorted(stick.stock for stick in onto_offcuts(problem, bought)) == [0, 1]


def test_a_leftover_too_short_to_keep_is_worth_nothing() -> None:
    problem = StockProblem((10,), (1,), (30,), (30.0,), salvage=Salvage(least=20, value=0.5, kerf=1))
    assert net_cost(problem, StickPattern(0, (1,))) == 30.0
    longer = StockProblem((9,), (1,), (30,), (30.0,), salvage=Salvage(least=20, value=0.5, kerf=1))
    assert net_cost(longer, StickPattern(0, (1,))) == 20.0


def test_whole_packs_are_bought_and_paid() -> None:
    problem = StockProblem((10,), (7,), (10,), (5.0,), packs=(4,))
    answer = cut_at_least_cost(problem)
    assert bought_of(problem, answer.sticks) == (8,)
    assert answer.cost == answer.bound == 40.0


STOCK = (StockLength(item="A-3000", length_mm=3000, pack=4),)


def plan_of(lengths_mm: list[float], cutting: Cutting, kept: tuple[KeptOffcut, ...] = ()) -> CutPlan:
    pieces = tuple(CutPiece(f"p{n}", "D1", mm, 140, is_ripped=False) for n, mm in enumerate(lengths_mm))
    offered = stock_costs(STOCK, {"A-3000": Decimal("12.00")})
    return cut_profile("A", nest_rips(pieces, 140, cutting.kerf_mm), offered, cutting, kept)


def test_a_plan_lists_what_is_bought_and_what_is_kept() -> None:
    plan = plan_of([2000.0] * 5, Cutting(keep_offcut_mm=900))
    assert [(made.cut, made.bought) for made in plan.bought] == [(5, 8)]
    assert plan.cost == 96.0
    kept = [(offcut.length_mm, offcut.label) for offcut in plan.offcuts]
    assert kept[0] == (997.0, "A/1")
    assert kept[5:] == [(3000.0, "A/uncut A-3000")] * 3


def test_what_one_job_keeps_the_next_can_cut() -> None:
    first = plan_of([2000.0] * 4, Cutting(keep_offcut_mm=900))
    kept = tuple(KeptOffcut(profile="A", length_mm=o.length_mm, label=o.label) for o in first.offcuts)
    second = plan_of([950.0] * 4, Cutting(keep_offcut_mm=900), kept)
    assert second.cost == 0.0
    assert second.bought == ()
    assert [stick.offcut for stick in second.sticks] == ["A/1", "A/2", "A/3", "A/4"]
    assert all(stick.item == "" for stick in second.sticks)
    assert "4 of 4 offcuts in the rack are used" in second.method


def test_an_offcut_worth_something_is_left_in_the_rack_when_a_bought_board_is_no_dearer() -> None:
    kept = (KeptOffcut(profile="A", length_mm=2990, label="long"),)
    plan = plan_of([2980.0], Cutting(offcut_value_pct=90), kept)
    assert plan.sticks[0].offcut == "long"
    assert plan.cost == pytest.approx(0.9 * 12 * 2990 / 3000)
