"""Laws of the whole takeoff: turning the job changes no count, and more load never removes a stop."""

from collections import Counter
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from app.job.job import Job
from app.job.plan import Fixture, Opening, Speaker
from app.job.record import Record
from app.job.survey import LiveLoad
from app.takeoff.chain import Takeoff, take_off
from tests import demo
from tests.takeoff.framing.framed import turned

_CORNERS = ("outline_mm", "line_mm")
_SPOTS = ("start_mm", "end_mm")
# What is measured along the visible and the carrying parts; runs follow the sheet's own directions.
_TURNS = ("deck.", "frame.", "wall.", "planter.", "bench.", "counter.", "bed.", "box.")


def turn(value: Any, angle_deg: float) -> Any:
    """Everything that lies on plan, turned about the origin."""
    if isinstance(value, tuple):
        return tuple(turn(one, angle_deg) for one in value)
    if not isinstance(value, Record) or isinstance(value, Opening):
        return value
    changes: dict[str, Any] = {}
    for name in type(value).model_fields:
        held = getattr(value, name)
        if name in _SPOTS and isinstance(held, tuple):
            changes[name] = turned(held, angle_deg)
        elif name in _CORNERS:
            changes[name] = tuple(turned(corner, angle_deg) for corner in held)
        elif name == "holes_mm":
            changes[name] = tuple(tuple(turned(corner, angle_deg) for corner in ring) for ring in held)
        elif name == "angle_deg" or (name == "aim_deg" and isinstance(value, Fixture | Speaker)):
            changes[name] = held + angle_deg
        elif name == "north_deg":
            changes[name] = (held - angle_deg) % 360
        elif isinstance(held, Record | tuple):
            changes[name] = turn(held, angle_deg)
    if "x_mm" in type(value).model_fields:
        changes["x_mm"], changes["y_mm"] = turned((value.x_mm, value.y_mm), angle_deg)
    return value.model_copy(update=changes)


def turned_job(job: Job, angle_deg: float) -> Job:
    return job.model_copy(update={"survey": turn(job.survey, angle_deg), "plan": turn(job.plan, angle_deg)})


def counts(takeoff: Takeoff) -> dict[str, Any]:
    framing = takeoff.framing
    return {
        "pieces": Counter((piece.place, piece.role, piece.profile) for piece in takeoff.layout.pieces),
        "sticks": Counter((stick.place, stick.role) for stick in framing.sticks),
        "pads": Counter((pad.place, pad.packers, pad.shims) for pad in framing.pads),
        "crossings": Counter(crossing.piece for crossing in framing.crossings),
        "connectors": framing.connectors,
        "panels": framing.access_panels,
        "stocks": Counter(
            (plan.profile, stick.item) for plan in takeoff.totals.cut_plans for stick in plan.sticks
        ),
    }


@pytest.fixture(scope="module")
def straight() -> Takeoff:
    return take_off(demo.demo_job(), {})


@pytest.mark.parametrize("angle", [90.0, 180.0, 37.0, 213.4])
def test_turning_the_whole_job_keeps_every_count(straight: Takeoff, angle: float) -> None:
    found = take_off(turned_job(demo.demo_job(), angle), {})
    before, after = counts(straight), counts(found)
    for name, wanted in before.items():
        assert after[name] == wanted, name
    amounts = {
        (quantity.basis, quantity.item): quantity.amount
        for quantity in found.totals.quantities
        if quantity.basis.startswith(_TURNS)
    }
    wanted_amounts = {
        (quantity.basis, quantity.item): quantity.amount
        for quantity in straight.totals.quantities
        if quantity.basis.startswith(_TURNS)
    }
    assert wanted_amounts == pytest.approx(amounts, rel=1e-4)


@given(low=st.floats(0.5, 5), more=st.floats(0.01, 5), extra_kg=st.floats(0, 4000))
@settings(max_examples=6, deadline=None)
def test_more_load_never_removes_a_stop_of_the_whole_takeoff(
    low: float, more: float, extra_kg: float
) -> None:
    def stops(live_kpa: float, add_kg: float) -> set[tuple[str, str]]:
        job = demo.demo_job()
        plan = job.plan.model_copy(
            update={
                "furniture": tuple(
                    thing.model_copy(update={"mass_kg": thing.mass_kg + add_kg})
                    for thing in job.plan.furniture
                )
            }
        )
        survey = job.survey.model_copy(
            update={"live_load": LiveLoad(live_kpa=live_kpa, source="asked (invented)")}
        )
        found = take_off(job.model_copy(update={"survey": survey, "plan": plan}), {})
        return {(finding.code, finding.place) for finding in found.findings if finding.grade == "stop"}

    assert stops(low, 0.0) <= stops(low + more, extra_kg)
