"""The solver is guarded: six rules against what it was seen to get wrong, and a hundred jobs like ours.

The rules: a new object for whole sticks; cost added up from the sticks; coverage and fit of every stick;
cost never below the bound; the bound certified by the worths priced last; how a run ended is looked at.
"""

import statistics
from typing import Any

import highspy
import numpy as np
import pytest

from app.takeoff.totals import least_cost, master, whole_sticks
from app.takeoff.totals.bound import certified_bound
from app.takeoff.totals.first_fit import first_fit
from app.takeoff.totals.least_cost import FIRST_FIT, ROUNDED, WHOLE, cut_at_least_cost
from app.takeoff.totals.master import Master
from app.takeoff.totals.patterns import every_pattern
from app.takeoff.totals.stock_problem import check_plan, cost_of, cut_of
from tests.bench.cutting import a_random_job, at, gap_pct

JOB = a_random_job(2)  # its plan comes of the search over whole sticks


class Watched:
    """A solver that writes down what is asked of it, and may lie."""

    def __init__(self, inner: Any, asked: list[str], lies: dict[str, Any]) -> None:
        self._inner, self._asked, self._lies = inner, asked, lies

    def __getattr__(self, name: str) -> Any:
        self._asked.append(name)
        return self._lies.get(name, getattr(self._inner, name))


def watch(monkeypatch: pytest.MonkeyPatch, **lies: Any) -> list[list[str]]:
    """Watch every solver object made for whole sticks: what was asked of each, in order."""
    made: list[list[str]] = []

    def watched() -> Watched:
        made.append([])
        return Watched(master.solver(), made[-1], lies)

    monkeypatch.setattr(whole_sticks, "solver", watched)
    return made


def test_the_job_that_is_watched_is_cut_by_the_search_over_whole_sticks() -> None:
    assert cut_at_least_cost(JOB).method == WHOLE


def test_1_whole_sticks_are_searched_on_a_new_object_that_runs_once_and_is_given_no_solution(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    made = watch(monkeypatch)
    cut_at_least_cost(JOB)
    assert made
    for asked in made:
        assert asked.count("run") == 1
        assert asked.index("changeColsIntegrality") < asked.index("run")
        assert not {"setSolution", "setBasis"} & set(asked)
        assert "setOptionValue" not in asked[asked.index("run") :]


def test_2_the_cost_is_that_of_the_sticks_whatever_objective_and_bound_the_solver_reports(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    class Lies:
        primal_solution_status = 2
        objective_function_value = mip_dual_bound = 1.0

    truth = cut_at_least_cost(JOB)
    made = watch(monkeypatch, getInfo=Lies)
    assert cut_at_least_cost(JOB) == truth
    assert made
    assert truth.cost == pytest.approx(cost_of(JOB, truth.sticks), abs=1e-9)
    assert not any("getObjectiveValue" in asked for asked in made)


def test_3_a_search_that_answers_with_too_few_sticks_is_thrown_away(monkeypatch: pytest.MonkeyPatch) -> None:
    class Nothing:
        col_value = np.zeros(5000)

    watch(monkeypatch, getSolution=Nothing)
    answer = cut_at_least_cost(JOB)
    assert answer.method not in (WHOLE,)
    check_plan(JOB, answer.sticks)
    assert cut_of(JOB, answer.sticks) == JOB.demand


def test_4_a_plan_that_costs_less_than_the_bound_is_a_fault(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(least_cost, "certified_bound", lambda *_: 1e9)
    with pytest.raises(ArithmeticError, match="less than the bound"):
        cut_at_least_cost(JOB)


@pytest.mark.parametrize("seed", range(1, 6))
def test_5_the_bound_holds_by_the_worths_alone_whatever_solver_gave_them(seed: int) -> None:
    """Farley: at the worths priced last, no pattern of all there are is worth more than it costs, scaled."""
    problem = a_random_job(seed, pieces=24, lengths=6)
    relaxed = Master(problem, first_fit(problem))
    relaxed.solve(500)
    patterns = every_pattern(problem, 10**6)
    assert patterns is not None
    assert len(patterns) > 30
    dearest = max(float(np.dot(relaxed.worth, one.counts)) / problem.costs[one.stock] for one in patterns)
    by_hand = float(np.dot(relaxed.worth, problem.demand)) / max(1.0, dearest)
    found = certified_bound(problem, relaxed.worth)
    assert found == pytest.approx(by_hand, rel=1e-9)
    assert found <= cut_at_least_cost(problem).cost + 1e-9


@pytest.mark.parametrize("ended", ["error", "no status"])
def test_6_a_run_that_does_not_end_with_an_answer_is_not_read(
    monkeypatch: pytest.MonkeyPatch, ended: str
) -> None:
    if ended == "error":
        watch(monkeypatch, run=lambda: highspy.HighsStatus.kError)
    else:
        watch(monkeypatch, getModelStatus=lambda: highspy.HighsModelStatus.kNotset)
    answer = cut_at_least_cost(JOB)
    assert answer.method != WHOLE
    check_plan(JOB, answer.sticks)
    assert answer.cost <= cost_of(JOB, first_fit(JOB))


def test_without_any_answer_of_the_solver_first_fit_stands_with_a_bound(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(master, "is_solved", lambda _: False)
    monkeypatch.setattr(whole_sticks, "is_solved", lambda _: False)
    answer = cut_at_least_cost(JOB)
    assert answer.method in (FIRST_FIT, ROUNDED)
    assert 0.0 < answer.bound <= answer.cost


def test_a_hundred_jobs_come_within_the_bars() -> None:
    gaps = []
    for seed in range(1, 101):
        problem = a_random_job(seed)
        answer = cut_at_least_cost(problem)
        check_plan(problem, answer.sticks)
        gaps.append(gap_pct(problem, answer))
    assert min(gaps) >= -1e-9
    assert statistics.median(gaps) <= 0.05
    assert at(gaps, 0.9) <= 0.15
    assert max(gaps) <= 0.5
