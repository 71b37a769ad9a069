"""Laws of the plan over all jobs, on networks drawn at random."""

from dataclasses import replace
from datetime import timedelta
from itertools import pairwise

import networkx as nx
import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from app.schedule import links
from app.schedule.bounds import impossible
from app.schedule.calendars import add_working_days, is_working_day
from app.schedule.joint_network import joined
from app.schedule.joint_plan import joint_plan, replanned, starts_of
from app.schedule.joint_records import JointInputs, JointJob
from app.schedule.network import FIRM, Network, Ready, Wait, Work
from app.schedule.notice import Told
from app.schedule.passes import serial_pass
from app.schedule.search import score, solve
from app.schedule.supposed import Supposed
from tests.schedule.joint_jobs import CREWS, MONDAY, a_year

SEEDS = st.integers(0, 10_000)


def random_network(seed: int, works: int = 14, *, due: bool = False) -> Network:
    chance = np.random.default_rng(seed)
    made = []
    for number in range(works):
        after = tuple(
            Wait(str(other), int(chance.integers(0, 3))) for other in range(number) if chance.random() < 0.2
        )
        uses = ((f"c{int(chance.integers(2))}", 1),) if chance.random() < 0.8 else ()
        made.append(Work(str(number), str(number % 3), int(chance.integers(1, 5)), FIRM, uses, after))
    worked = tuple(int(day % 7 < 5) for day in range(400))
    promised = tuple((str(job), int(chance.integers(5, 40))) for job in range(3)) if due else ()
    calendars = ((FIRM, worked), ("c0", worked), ("c1", worked))
    return Network(tuple(made), (("c0", 1), ("c1", 1)), calendars, promised, (), frozenset({"c0", "c1"}))


@given(SEEDS)
@settings(max_examples=40, deadline=None)
def test_with_crews_enough_the_plan_is_the_longest_path(seed: int) -> None:
    network = random_network(seed)
    ones = tuple((name, (1,) * 400) for name, _ in network.calendars)
    network = replace(network, calendars=ones)
    graph = nx.DiGraph()
    for work in network.works:
        graph.add_node(work.code)
        for wait in work.after:
            before = next(other for other in network.works if other.code == wait.on)
            graph.add_edge(wait.on, work.code, weight=before.need + wait.lag_days)
    placed = serial_pass(Ready(network), range(len(network.works)), with_crews=False)
    early: dict[str, int] = {}
    for code in nx.topological_sort(graph):
        early[code] = max(
            (early[other] + graph.edges[other, code]["weight"] for other in graph.predecessors(code)),
            default=0,
        )
    assert list(placed.starts) == [early[work.code] for work in network.works]


@given(SEEDS)
@settings(max_examples=30, deadline=None)
def test_no_crew_works_twice_at_once_and_nothing_starts_before_what_it_waits_for(seed: int) -> None:
    inputs = a_year(seed, jobs=5)
    plan = joint_plan(inputs)
    tasks = {(task.job, task.code): task for task in plan.tasks}
    for job in inputs.jobs:
        for task in job.tasks:
            here = tasks[job.code, task.code]
            assert here.start_on >= job.start_on
            assert is_working_day(inputs.calendar, here.start_on)
            for before, _ in task.after:
                assert here.start_on > tasks[job.code, before].end_on
    for crew in CREWS:
        spans = sorted((task.start_on, task.end_on) for task in plan.tasks if task.who == crew.code)
        assert all(last < first for (_, last), (first, _) in pairwise(spans))


def with_goods_and_outsiders(seed: int, jobs: int) -> JointInputs:
    """The same jobs; goods come on days of their own, an electrician who needs notice does some tasks."""
    chance = np.random.default_rng(seed)
    inputs = a_year(seed, jobs=jobs)

    def changed(job: JointJob) -> JointJob:
        tasks = tuple(
            replace(task, who=links.ELECTRICIAN) if task.code == "fit-out" and chance.random() < 0.7 else task
            for task in job.tasks
        )
        ready = tuple(
            (task.code, job.start_on + timedelta(days=int(chance.integers(0, 90))))
            for task in tasks
            if not task.is_hold_point and chance.random() < 0.4
        )
        done = (tasks[0].code,) if chance.random() < 0.3 else ()
        return replace(job, tasks=tasks, ready_on=ready, done=done)

    return replace(inputs, jobs=tuple(changed(job) for job in inputs.jobs))


@given(SEEDS)
@settings(max_examples=30, deadline=None)
def test_nothing_starts_before_its_goods_its_signature_or_its_notice(seed: int) -> None:
    inputs = with_goods_and_outsiders(seed, jobs=5)
    tasks = {(task.job, task.code): task for task in joint_plan(inputs).tasks}
    first_visit = add_working_days(inputs.calendar, MONDAY, 5)
    for job in inputs.jobs:
        ready, names = dict(job.ready_on), {task.code: task for task in job.tasks}
        for task in job.tasks:
            if task.code in job.done:
                continue
            here = tasks[job.code, task.code]
            assert here.start_on >= ready.get(task.code, MONDAY)
            assert task.who != links.ELECTRICIAN or here.start_on >= first_visit
            for before, _ in task.after:
                if names[before].is_hold_point and before not in job.done:
                    assert here.start_on > tasks[job.code, before].end_on


@given(SEEDS)
@settings(max_examples=20, deadline=None)
def test_once_outsiders_have_been_told_planning_again_changes_nothing(seed: int) -> None:
    inputs = with_goods_and_outsiders(seed, jobs=4)
    plan = joint_plan(inputs)
    told = tuple(Told(task.job, task.code, task.start_on, task.end_on) for task in plan.tasks)
    assert starts_of(replanned(replace(inputs, told=told), starts_of(plan))) == starts_of(plan)


@given(SEEDS, st.integers(0, 60), st.sampled_from(["rain", "wind", "away"]))
@settings(max_examples=30, deadline=None)
def test_a_day_taken_away_never_ends_anything_earlier(seed: int, day: int, kind: str) -> None:
    inputs = with_goods_and_outsiders(seed, jobs=5)
    plan = joint_plan(inputs)
    lost = Supposed(kind, MONDAY + timedelta(days=day), crew="gull")  # type: ignore[arg-type]
    now = replanned(replace(inputs, supposed=(lost,)), starts_of(plan))
    then = {(task.job, task.code): task.end_on for task in replanned(inputs, starts_of(plan)).tasks}
    assert all(task.end_on >= then[task.job, task.code] for task in now.tasks)


@given(SEEDS)
@settings(max_examples=20, deadline=None)
def test_the_same_question_has_the_same_answer_and_keeping_the_order_keeps_the_days(seed: int) -> None:
    inputs = a_year(seed, jobs=4)
    plan = joint_plan(inputs)
    assert joint_plan(inputs) == plan
    assert starts_of(replanned(inputs, starts_of(plan))) == starts_of(plan)


@given(SEEDS)
@settings(max_examples=30, deadline=None)
def test_a_proof_is_never_gainsaid_by_a_plan(seed: int) -> None:
    network = random_network(seed, works=9, due=True)
    placed = solve(network, 4000)
    late = score(network, placed).late_days
    for proof in impossible(network):
        assert late >= proof.late_days > 0


@given(SEEDS)
@settings(max_examples=20, deadline=None)
def test_looking_longer_is_never_worse(seed: int) -> None:
    network = joined(a_year(seed, jobs=3)).network
    little, much = solve(network, 500), solve(network, 6000)
    assert score(network, much).key <= score(network, little).key
