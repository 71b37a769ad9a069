"""Laws of the whole takeoff over small jobs drawn at random: what can be carried, what is cut, what stops."""

from collections import Counter
from typing import Any

import pytest
from hypothesis import Phase, find, given, settings
from hypothesis import strategies as st

from app.job.job import Job
from app.job.plan import Furniture, StoneBed
from app.job.survey import LiveLoad
from app.takeoff.chain import Takeoff, take_off
from tests.builders import (
    a_board,
    a_deck_field,
    a_job,
    a_plan,
    a_planter,
    a_section,
    a_survey,
    choices,
    stock,
)
from tests.takeoff.totals.by_hand import ring

QUICK = (Phase.explicit, Phase.reuse, Phase.generate)  # a whole takeoff is too slow to shrink
LENGTHS_MM = (1800, 2400, 3000, 3600, 4800)
offers = st.lists(st.sampled_from(LENGTHS_MM), min_size=1, max_size=3, unique=True)


@st.composite
def small_jobs(draw: st.DrawFn) -> Job:
    """A deck of any size and angle, stock of any lengths, a way up of any length."""
    field = a_deck_field(
        outline_mm=ring(200, 200, draw(st.integers(1200, 5600)), draw(st.integers(900, 3700))),
        angle_deg=draw(st.sampled_from((0.0, 90.0, 45.0, 20.0))),
        border_courses=draw(st.integers(0, 2)),
        joints=draw(st.sampled_from(("breaker", "staggered", "aligned"))),
    )
    base = choices()
    materials = choices(
        boards=(a_board(stock=stock("B", *draw(offers))), *base.boards[1:]),
        sections=(a_section(stock=stock("S", *draw(offers))), *base.sections[1:]),
    )
    longest = draw(st.integers(1000, 5200))
    way_up = a_survey().way_up.model_copy(update={"longest_piece_mm": float(longest)})
    return a_job(a_survey(way_up=way_up), a_plan(deck_fields=(field,)), materials)


def uncut(takeoff: Takeoff) -> set[str]:
    return {finding.place for finding in takeoff.findings if finding.code == "totals.piece-too-long"}


def is_cut_below(takeoff: Takeoff, job: Job, profile: str) -> bool:
    """Whether no stock of a profile gets up whole, so that it is cut on the ground, and that is said."""
    way_up_mm = job.survey.way_up.longest_piece_mm
    offered = {one.id: one for one in (*job.choices.boards, *job.choices.sections)}[profile]
    said = " ".join(found.text for found in takeoff.findings if found.code == "totals.stock-not-carried")
    return min(o.length_mm for o in offered.stock) > way_up_mm and f"{offered.name}: " in said


@settings(max_examples=25, deadline=None, phases=QUICK)
@given(small_jobs())
def test_nothing_is_longer_than_its_stock_or_the_way_up_and_all_is_cut_once(job: Job) -> None:
    takeoff = take_off(job, {})
    way_up_mm = job.survey.way_up.longest_piece_mm
    profiles = (*job.choices.boards, *job.choices.sections)
    longest = {one.id: max(offer.length_mm for offer in one.stock) for one in profiles}
    told = any(finding.grade == "stop" for finding in takeoff.findings)
    for piece in takeoff.layout.pieces:
        assert piece.length_mm <= min(way_up_mm, longest[piece.profile]) + 0.1 or told, piece.id
    needed = Counter(piece.id for piece in takeoff.layout.pieces)
    needed += Counter(stick.id for stick in takeoff.framing.sticks)
    cut: Counter[str] = Counter()
    for plan in takeoff.totals.cut_plans:
        for stick in plan.sticks:
            assert stick.stock_mm <= way_up_mm or is_cut_below(takeoff, job, plan.profile)
            assert stick.stock_mm in {offer.length_mm for one in profiles for offer in one.stock}
            assert sum(length_mm for _, length_mm in stick.pieces) <= stick.stock_mm + 1e-6
            cut += Counter(name for name, _ in stick.pieces)
            cut += Counter(name for name, _, _ in stick.beside)
    assert cut <= needed
    assert set(cut.values()) == {1} or (not cut and told)
    assert cut == needed or uncut(takeoff)


def a_loaded_job(live_kpa: float, mass_kg: float, saturated: float, stone_mm: float, water_m3: float) -> Job:
    base = choices()
    medium = base.media[0].model_copy(update={"saturated_kg_m3": saturated})
    spa = {"x_mm": 3500, "y_mm": 2500, "length_mm": 1500, "width_mm": 1500, "height_mm": 800}
    plan = a_plan(
        planters=(a_planter(),),
        stone_beds=(
            StoneBed(id="bed", outline_mm=ring(200, 3900, 5000, 90), depth_mm=stone_mm, stone="gravel"),
        ),
        furniture=(Furniture(id="spa", mass_kg=mass_kg, water_m3=water_m3, **spa),),
    )
    survey = a_survey(live_load=LiveLoad(live_kpa=live_kpa, source="asked (invented)"))
    return a_job(survey, plan, choices(media=(medium,)))


def stops(job: Job) -> set[tuple[str, str]]:
    found = [one for one in take_off(job, {}).findings if one.grade == "stop"]
    # The worst place is one finding for the whole job, and goes to wherever is worst.
    return {(one.code, "" if one.code == "totals.worst-place" else one.place) for one in found}


loads = st.fixed_dictionaries(
    {
        "live_kpa": st.floats(0.5, 8),
        "mass_kg": st.floats(0, 3000),
        "saturated": st.floats(400, 2200),
        "stone_mm": st.floats(10, 400),
        "water_m3": st.floats(0, 3),
    }
)


@settings(max_examples=15, deadline=None, phases=QUICK)
@given(loads, loads)
def test_adding_load_of_any_kind_never_removes_a_stop(one: dict[str, Any], other: dict[str, Any]) -> None:
    light = {name: min(one[name], other[name]) for name in one}
    heavy = {name: max(one[name], other[name]) for name in one}
    assert stops(a_loaded_job(**light)) <= stops(a_loaded_job(**heavy))


LIGHT = {"live_kpa": 0.5, "mass_kg": 0.0, "saturated": 400.0, "stone_mm": 10.0, "water_m3": 0.0}


@pytest.mark.parametrize(
    ("name", "much"),
    [("live_kpa", 8.0), ("mass_kg", 3000.0), ("saturated", 2200.0), ("stone_mm", 400.0), ("water_m3", 3.0)],
)
def test_each_load_alone_can_bring_a_stop(name: str, much: float) -> None:
    assert not stops(a_loaded_job(**LIGHT))
    assert stops(a_loaded_job(**(LIGHT | {name: much})))


def _is_joined(job: Job) -> bool:
    """Whether the way up and not the board's own length cuts the rows."""
    takeoff = take_off(job, {})
    return (
        job.survey.way_up.longest_piece_mm < 2400 and len(takeoff.layout.pieces) > 20 and not uncut(takeoff)
    )


SEEN = {
    "rows cut by the way up": _is_joined,
    "stock longer than the way up": lambda job: (
        max(offer.length_mm for offer in job.choices.boards[0].stock) > job.survey.way_up.longest_piece_mm
    ),
    "more than one board of stock": lambda job: any(
        len(plan.sticks) > 20 for plan in take_off(job, {}).totals.cut_plans
    ),
}


@pytest.mark.parametrize("what", SEEN)
def test_the_laws_are_tried_on(what: str) -> None:
    found = settings(max_examples=60, deadline=None, phases=(Phase.generate,), derandomize=True)
    find(small_jobs(), SEEN[what], settings=found)
