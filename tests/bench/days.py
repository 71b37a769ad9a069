"""Figures of the plan over all jobs: 40 jobs of 14 tasks for four crews over a year; public cases."""

import shutil
import sqlite3
import tempfile
from collections.abc import Callable
from contextlib import closing
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from pathlib import Path
from statistics import mean, median
from threading import Timer
from time import perf_counter, process_time

import httpx

from app.schedule.bounds import impossible
from app.schedule.exact import NotInstalled, improve
from app.schedule.joint_network import joined
from app.schedule.joint_plan import joint_plan, replanned, starts_of
from app.schedule.joint_records import JointInputs
from app.schedule.search import score, solve
from tests.bench.load import load
from tests.bench.results import note, worked_ms
from tests.bench.server import _insert, _row, running
from tests.checks.psplib_j30 import READ, length
from tests.schedule.joint_jobs import a_year
from tests.trust.kill import make_template


def main() -> None:
    """Print the figures."""
    inputs = a_year(1)
    tasks = sum(len(job.tasks) for job in inputs.jobs)
    plan = joint_plan(inputs)
    starts = starts_of(plan)
    print(f"Plan over {len(inputs.jobs)} jobs, {tasks} tasks; bars 150 ms and 200 ms")
    first = [_timed(lambda: joint_plan(inputs)) for _ in range(7)]
    print(f"  first plan: {_said(first)}{note('first plan, ms', median(run[0] for run in first))}")
    again = [_timed(lambda: replanned(inputs, starts)) for _ in range(7)]
    words = note("slip planned again, ms", median(run[0] for run in again))
    print(f"  one slip planned again: {_said(again)}{words}")
    print(f"  {plan.late_days} days late, {plan.idle_days} idle, {plan.moves} moves")
    gaps, runs = [], []
    for optimum, network in READ.values():
        runs.append(_timed(lambda network=network: solve(network)))  # type: ignore[misc]
        gaps.append(length(solve(network)) / optimum - 1)
    print(f"Public cases, {len(gaps)} of J30, most of them hard ones; bars 1 % and 200 ms")
    print(f"  {mean(gaps):.2%} over the known optimum on average; each {_said(runs)}")
    _cannot_fit(inputs)
    _exact(inputs)
    _pages()


def _cannot_fit(inputs: JointInputs) -> None:
    """Promise every job four weeks too early: what is proven, and how long that takes."""
    early = tuple(
        replace(job, finish_by_on=job.finish_by_on and job.finish_by_on - timedelta(days=42))
        for job in inputs.jobs
    )
    network = joined(replace(inputs, jobs=early)).network
    took = _timed(lambda: impossible(network))
    proofs = impossible(network)
    print(f"Promises six weeks earlier: {len(proofs)} proofs that they cannot all be kept, {_said([took])}")
    for proof in proofs[:3]:
        who = proof.crew or "one job by itself"
        print(
            f"  {who}: {proof.work_days} days of work in {proof.free_days}, {proof.late_days} late at least"
        )


def _exact(inputs: JointInputs) -> None:
    """Print what the exact search does in ten seconds, what it tells meanwhile, and how soon it stops."""
    network = joined(inputs).network
    start = solve(network, 3600)
    told: list[tuple[int, int]] = []
    try:
        began = perf_counter()
        answer = improve(
            network,
            start,
            lambda: began + 10.0 - perf_counter(),
            lambda late, least: told.append((late, least)),
        )
    except NotInstalled:
        print("Exact search: not installed")
        return
    took, before, after = perf_counter() - began, score(network, start), score(network, answer.placed)
    print(f"Exact search, bound 10 s: {took:.1f} s, told {len(told)} times how far it is")
    print(f"  late days {before.late_days} to {after.late_days}, at least {answer.least_late_days}")
    print(f"  sum of ends {before.sum_of_ends} to {after.sum_of_ends}, proven: {answer.is_proven}")
    stopped: list[float] = []

    def stop_soon(stop: Callable[[], None]) -> None:
        def act() -> None:
            stopped.append(perf_counter())
            stop()

        Timer(2.0, act).start()

    improve(network, start, lambda: 30.0, on_ready=stop_soon)
    print(f"  told to stop, it stops after {perf_counter() - stopped[0]:.2f} s")


def _pages() -> None:
    """Ask a served firm with 40 signed jobs and four crews for its pages of days."""
    template = make_template(Path(tempfile.mkdtemp(prefix="upstand-bench-")))
    path = template.path.parent / "forty.sqlite"
    shutil.copy(template.path, path)
    with closing(sqlite3.connect(path)) as db, db:
        job, crew = dict(_row(db, "SELECT * FROM jobs WHERE id = 3")), dict(_row(db, "SELECT * FROM crews"))
        for code in ("east", "west"):
            _insert(db, "crews", {**crew, "code": code, "name": f"Crew {code}"})
        codes = [row[0] for row in db.execute("SELECT code FROM crews")]
        db.execute("DELETE FROM jobs WHERE id > 3")
        for number in range(4, 44):
            start = (datetime.now(UTC) + timedelta(days=7 * number - 14)).date().isoformat()
            put = {"id": number, "sequence": number, "state": "signed", "start_on": start}
            _insert(db, "jobs", {**job, **put, "crew_code": codes[number % len(codes)]})
    headers = {"cookie": f"session={template.session}"}
    print("Pages of a firm with 40 signed jobs and 4 crews; bar 150 ms")
    columns = {"/": "this week of 40 jobs, p50 ms", "/days": "days of 40 jobs, p50 ms"}
    with running(f"sqlite:///{path}", template.path.parent) as (port, pid):
        for name in ("/days", "/", "/jobs/5/days"):
            began = perf_counter()
            # Waited for whole: cold it takes longer than a short load lasts, and would count as a warm one.
            first = httpx.get(f"http://127.0.0.1:{port}{name}", headers=headers, timeout=300.0)
            cold = (perf_counter() - began) * 1000
            before = worked_ms(pid)
            warm = load(port, (name,), 3.0, 1, headers)
            own = (worked_ms(pid) - before) / len(warm.ms)
            words = note(columns[name], warm.at(0.5)) if name in columns else ""
            many_bad = (first.status_code != 200) + warm.bad
            bad = f", {many_bad} BAD" if many_bad else ""
            said = f"{warm.text()}, {own:.0f} ms of processor each"
            print(f"  {name}: first {cold:.0f} ms, then {said}{bad}{words}")


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
