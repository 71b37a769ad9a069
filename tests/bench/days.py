"""Figures of the plan over all jobs: 40 jobs of 14 tasks for four crews over a year; public cases."""

from collections.abc import Callable
from statistics import mean, median
from time import perf_counter, process_time

from app.schedule.exact import NotInstalled, improve
from app.schedule.joint_network import joined
from app.schedule.joint_plan import joint_plan, replanned, starts_of
from app.schedule.joint_records import JointInputs
from app.schedule.search import solve
from tests.checks.psplib_j30 import READ, length
from tests.schedule.joint_jobs import a_year


def main() -> None:
    """Print the figures."""
    inputs = a_year(1)
    tasks = sum(len(job.tasks) for job in inputs.jobs)
    plan = joint_plan(inputs)
    starts = starts_of(plan)
    print(f"Plan over {len(inputs.jobs)} jobs, {tasks} tasks; bars 150 ms and 200 ms")
    print(f"  first plan: {_said([_timed(lambda: joint_plan(inputs)) for _ in range(7)])}")
    print(f"  one slip planned again: {_said([_timed(lambda: replanned(inputs, starts)) for _ in range(7)])}")
    print(f"  {plan.late_days} days late, {plan.idle_days} idle, {plan.moves} moves")
    gaps, runs = [], []
    for optimum, network in READ.values():
        runs.append(_timed(lambda network=network: solve(network)))  # type: ignore[misc]
        gaps.append(length(solve(network)) / optimum - 1)
    print(f"Public cases, {len(gaps)} of J30, most of them hard ones; bars 1 % and 200 ms")
    print(f"  {mean(gaps):.2%} over the known optimum on average; each {_said(runs)}")
    _exact(inputs)


def _exact(inputs: JointInputs) -> None:
    """Print what the exact search does in ten seconds, where its solver is installed."""
    network = joined(inputs).network
    start = solve(network, 3600)
    try:
        answer = improve(network, start, 10.0)
    except NotInstalled:
        print("Exact search: not installed")
        return
    print(f"Exact search, 10 s: {answer.late_days} working days late, at least {answer.least_late_days}")


def _timed(act: Callable[[], object]) -> tuple[float, float]:
    wall, cpu = perf_counter(), process_time()
    act()
    return (process_time() - cpu) * 1000, (perf_counter() - wall) * 1000


def _said(runs: list[tuple[float, float]]) -> str:
    """Processor time beside the clock's: on a busy machine only the first tells of the program."""
    cpu, wall = median(run[0] for run in runs), median(run[1] for run in runs)
    return f"{cpu:.0f} ms of processor, {wall:.0f} ms by the clock"


if __name__ == "__main__":
    main()
