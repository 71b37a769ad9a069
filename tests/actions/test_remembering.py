"""The engine with memory gives what it gives without: over any run of edits, part by part."""

import copy
import gc
from typing import Any

from hypothesis import given, settings
from hypothesis import strategies as st

from app.actions.remembering import Remembering, _Seen
from app.job.doing import at_once
from app.job.file import read_job, write_job
from app.job.job import Job
from app.whole_job import WholeJob, whole_job
from tests import demo

START = write_job(demo.demo_job())
REMEMBERING = Remembering()  # one for all runs: what one left behind must not lead the next astray
LISTS = ("furniture", "planters", "benches", "counters", "fixtures", "outlets", "speakers")


def worked_out(job: Job, do: Any = at_once) -> WholeJob:
    return whole_job(job, demo.prices(), demo.crew(), demo.calendar(), demo.START, demo.TODAY, do=do)


def told(answer: WholeJob) -> list[Any]:
    """Everything of an answer that can be compared: the surface is compared by its heights."""
    takeoff, roof = answer.takeoff, answer.takeoff.roof
    heights = [roof.height_mm(x, y) for x, y in ((500, 500), (4000, 2500), (2000, 6500))]
    parts = {name: getattr(roof, name) for name in roof.__dataclass_fields__ if name != "height_mm"}
    rooms = (takeoff.layout, takeoff.framing, takeoff.rough_in, takeoff.totals)
    return [heights, parts, *rooms, takeoff.findings, takeoff.assumptions, answer.estimate, answer.days]


def edited(document: dict[str, Any], edit: tuple[str, int, int]) -> dict[str, Any]:
    """A job file with one thing moved, taken out or changed."""
    what, number, by = edit
    drawn = copy.deepcopy(document)
    plan, survey = drawn["plan"], drawn["survey"]
    if what == "deck":
        plan["deck_fields"][number % len(plan["deck_fields"])]["outline"][0][0] += by / 10
    elif what == "wall":
        plan["feature_walls"][0]["height"] -= abs(by) * 2
    elif what == "height":
        survey["spot_heights"][number % len(survey["spot_heights"])]["z"] += by / 20
    elif what == "title":
        drawn["title"] = f"Title {number}"
    elif what == "units":
        drawn["units"] = "imperial" if number % 2 else "metric"
    elif plan[what]:
        things = plan[what]
        if number == 7:
            del things[-1]
        else:
            things[number % len(things)]["x"] += by
    return drawn


edits = st.tuples(
    st.sampled_from((*LISTS, "deck", "wall", "height", "title", "units")),
    st.integers(0, 7),
    st.integers(-60, 60),
)


@settings(max_examples=10, deadline=None)
@given(st.lists(edits, min_size=2, max_size=4))
def test_with_memory_any_run_of_edits_gives_what_it_gives_without(run: list[tuple[str, int, int]]) -> None:
    document = START
    for edit in run:
        document = edited(document, edit)
        try:
            job = read_job(document)
        except ValueError:  # an edit that makes no job is none
            continue
        known = REMEMBERING.known(job)
        assert known == job
        assert told(worked_out(known, REMEMBERING)) == told(worked_out(job))


def test_nothing_that_is_remembered_holds_on_to_the_job_it_was_read_from() -> None:
    worked_out(REMEMBERING.known(demo.demo_job()), REMEMBERING)
    gc.collect()
    assert not [one for one in gc.get_objects() if isinstance(one, _Seen)]


def test_a_step_is_done_anew_only_when_something_it_reads_has_changed() -> None:
    done: list[int] = []

    def planters(job: Job) -> int:
        done.append(len(job.plan.planters))
        return done[-1]

    remembering = Remembering()
    moved = copy.deepcopy(START)
    moved["plan"]["furniture"][0]["x"] += 50
    fewer = copy.deepcopy(START)
    del fewer["plan"]["planters"][0]
    answers = [remembering(planters, read_job(document)) for document in (START, moved, fewer, START)]
    assert answers == [2, 2, 1, 2]
    assert done == [2, 1]


def test_what_a_step_reads_within_another_counts_for_both() -> None:
    def inner(job: Job) -> int:
        return len(job.plan.benches)

    def outer(job: Job) -> int:
        return remembering(inner, job) * 10

    remembering = Remembering()
    none = copy.deepcopy(START)
    none["plan"]["benches"] = []
    remembering(inner, read_job(START))  # known before the outer one asks
    many = len(START["plan"]["benches"])
    assert [remembering(outer, read_job(document)) for document in (START, none, START)] == [
        many * 10,
        0,
        many * 10,
    ]
