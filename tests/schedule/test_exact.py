"""The exact improver: at the known optimum where it proves one, never worse, and it can be stopped."""

import subprocess
import sys
from threading import Timer

import pytest

from app.schedule.bounds import impossible
from app.schedule.exact import NotInstalled, improve
from app.schedule.joint_network import joined
from app.schedule.joint_plan import placed_so
from app.schedule.search import score, solve
from tests.checks.psplib_j30 import READ, length
from tests.schedule.joint_jobs import MONDAY, a_joint_job, a_task, a_year, inputs_of
from tests.schedule.test_joint_plan_laws import random_network


def test_without_the_solver_it_says_how_to_get_it(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(sys.modules, "ortools.sat.python", None)
    monkeypatch.setitem(sys.modules, "ortools", None)
    network = READ["1_1"][1]
    with pytest.raises(NotInstalled, match=r"upstand\[exact\]"):
        improve(network, solve(network, 500), lambda: 1.0)


def test_the_solver_is_loaded_only_when_the_search_is_asked_for() -> None:
    words = (
        "import sys, app.main, app.cli; import app.actions.improver as i; print('ortools' in sys.modules, "
    )
    words += "i.is_installed(), 'ortools' in sys.modules)"
    run = subprocess.run([sys.executable, "-c", words], capture_output=True, text=True, check=True)
    assert run.stdout.split() == ["False", "True", "False"]


@pytest.mark.parametrize("name", ["1_1", "9_1", "21_2", "37_3", "41_5", "33_6", "18_4"])
def test_it_proves_the_known_optimum(name: str) -> None:
    optimum, network = READ[name]
    answer = improve(network, solve(network, 500), lambda: 10.0)
    assert answer.is_proven
    assert length(answer.placed) == optimum


@pytest.mark.parametrize("seed", range(6))
def test_it_is_never_worse_and_its_bound_agrees_with_the_proofs(seed: int) -> None:
    network = random_network(seed, works=12, due=True)
    start = solve(network, 1000)
    answer = improve(network, start, lambda: 5.0)
    assert score(network, answer.placed).key <= score(network, start).key
    assert answer.is_proven
    assert answer.least_late_days <= answer.late_days
    assert (answer.least_late_days > 0) >= bool(impossible(network))


def test_it_counts_the_last_days_promised_for_single_tasks() -> None:
    calm = a_joint_job("1", (a_task("frame", 64.0),))
    urgent = a_joint_job("2", (a_task("frame", 16.0, end_by_on=MONDAY),))
    network = joined(inputs_of(calm, urgent)).network
    behind = placed_so(
        joined(inputs_of(calm, a_joint_job("2", (a_task("frame", 16.0),)))), {("1", "frame"): MONDAY}
    )
    answer = improve(network, behind, lambda: 5.0)
    assert answer.is_proven
    assert answer.late_days == 0
    assert score(network, answer.placed).late_days == 0 < score(network, behind).late_days


def test_it_stops_when_it_is_told_to() -> None:
    network = joined(a_year(3)).network
    timers = []

    def stop_soon(stop: object) -> None:
        timers.append(Timer(1.0, stop))  # type: ignore[arg-type]
        timers[0].start()

    start = solve(network, 600)
    answer = improve(network, start, lambda: 60.0, on_ready=stop_soon)
    assert score(network, answer.placed).key <= score(network, start).key


@pytest.mark.parametrize(
    ("written_s", "given_s"), [(0.0, 9.75), (0.1, 9.65), (1.0, 8.0), (3.5, 3.0), (4.9, 0.2)]
)
def test_the_solver_gets_what_is_left_after_writing_less_what_reading_back_may_take(
    written_s: float, given_s: float, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Ten seconds in all: writing takes `written_s`; as much again, or a quarter second, is kept back."""
    from ortools.sat.python import cp_model

    given: list[float] = []
    real = cp_model.CpSolver.solve

    def solve_so(solver: cp_model.CpSolver, *args: object) -> object:
        given.append(solver.parameters.max_time_in_seconds)
        return real(solver, *args)

    monkeypatch.setattr(cp_model.CpSolver, "solve", solve_so)
    clock = iter((10.0, 10.0 - written_s))
    network = READ["1_1"][1]
    improve(network, solve(network, 500), lambda: next(clock))
    assert given == [pytest.approx(given_s)]


@pytest.mark.parametrize("written_s", [5.0, 7.0, 12.0])
def test_without_time_left_the_plan_comes_back_as_it_was_and_no_solver_runs(written_s: float) -> None:
    clock = iter((10.0, 10.0 - written_s))
    network = READ["1_1"][1]
    start = solve(network, 500)
    answer = improve(network, start, lambda: next(clock), on_ready=lambda _: pytest.fail("it ran"))
    assert answer.placed == start
    assert not answer.is_proven
