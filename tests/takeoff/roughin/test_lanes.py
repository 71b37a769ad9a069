"""Between the sleepers and along the walls: where runs lie, and where boxes can be opened."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely.geometry import box

from app.job import plan as p
from app.job import survey as s
from app.takeoff.framing.records import Stick
from app.takeoff.roughin.apart import Apart
from app.takeoff.roughin.lanes import along_sticks, beside, half_widths_mm
from app.takeoff.roughin.records import RoughIn
from app.takeoff.roughin.rough_in import rough_in
from app.takeoff.roughin.routes import Topology, route
from tests import builders as b
from tests.takeoff.roughin.site import a_fixture, a_lit_job, end, framing_of, free, layout_of, square

SHAPES: tuple[Topology, ...] = ("chain", "tee", "hub", "loop")
ROWS = np.array([[400.0 * n, 100.0, 400.0 * n, 5900.0] for n in range(1, 15)])
HALF = np.full(len(ROWS), 29.0)
BETWEEN = Apart({}, 50.0, ROWS, HALF)
places = st.tuples(st.integers(1, 59), st.integers(1, 59)).map(lambda at: (at[0] * 100.0, at[1] * 100.0))


@settings(max_examples=40, deadline=None)
@given(st.lists(places, min_size=2, max_size=7, unique=True), st.sampled_from(SHAPES))
def test_no_run_lies_along_a_sleeper(points: list[tuple[float, float]], shape: Topology) -> None:
    ends = [end(f"E{n}", *beside(at, ROWS, HALF)) for n, at in enumerate(points)]
    routed = route(free(square(6000.0)), "C", shape, ends[0], ends[1:], BETWEEN)
    assert not routed.cut_off
    assert along_sticks([leg.turned_mm for leg in routed.legs], ROWS, HALF) == (0.0, None)


@settings(max_examples=30, deadline=None)
@given(st.lists(places, min_size=2, max_size=7, unique=True))
def test_keeping_between_the_sleepers_costs_two_lanes_at_each_device_at_most(
    points: list[tuple[float, float]],
) -> None:
    ends = [end(f"E{n}", *at) for n, at in enumerate(points)]
    between, plain = (
        sum(leg.level_mm for leg in route(free(square(6000.0)), "C", "tee", ends[0], ends[1:], apart).legs)
        for apart in (BETWEEN, None)
    )
    assert plain - 1e-6 <= between <= plain + 2 * 29.0 * 2 * len(points)


def test_a_thing_over_a_sleeper_is_met_from_its_nearer_side() -> None:
    assert beside((410.0, 3000.0), ROWS, HALF) == (429.0, 3000.0)
    assert beside((395.0, 3000.0), ROWS, HALF) == (371.0, 3000.0)
    assert beside((600.0, 3000.0), ROWS, HALF) == (600.0, 3000.0)
    assert beside((400.0, 80.0), ROWS[:1], HALF[:1]) == (371.0, 80.0), "beside its end counts too"


def test_between_two_sleepers_side_by_side_no_run_is_squeezed() -> None:
    twice = np.array([[400.0, 0.0, 400.0, 5000.0], [438.0, 0.0, 438.0, 5000.0]])
    assert beside((402.0, 2000.0), twice, np.array([29.0, 29.0])) == (371.0, 2000.0)


def test_where_nothing_but_along_a_sleeper_is_left_it_is_asked_about() -> None:
    """A passage 40 mm wide with a sleeper down its middle."""
    strip = ((0.0, 0.0), (40.0, 0.0), (40.0, 6000.0), (0.0, 6000.0))
    stick = np.array([[20.0, 500.0, 20.0, 5500.0]])
    apart = Apart({}, 50.0, stick, np.array([29.0]))
    routed = route(free(strip), "C", "chain", end("A", 20, 100), [end("B", 20, 5900)], apart)
    assert not routed.cut_off
    along, at = along_sticks([leg.turned_mm for leg in routed.legs], stick, np.array([29.0]))
    assert (along, at) == (5000.0, (20.0, 100.0))


def test_half_the_width_of_a_section_and_a_finger_is_kept_clear() -> None:
    sticks = (
        Stick("S1", "deck", "sleeper", "sleeper", (0, 0), (0, 1), 1),
        Stick("F1", "wall", "sleeper", "furring", (0, 0), (0, 1), 1),
    )
    (section,) = [one for one in b.choices().sections if one.id == "sleeper"]
    assert half_widths_mm(sticks, b.choices().sections).tolist() == [section.width_mm / 2 + 10]


def laid(job: object) -> RoughIn:
    return rough_in(job, layout_of(0.0), framing_of())  # type: ignore[arg-type]


def test_lamps_on_one_wall_share_the_line_of_the_one_nearest_to_it() -> None:
    wall = p.FeatureWall(id="W", start_mm=(1000, 2000), end_mm=(5000, 2000), height_mm=2000, **WALL)
    lamps = [
        a_fixture(f"F{n}", x, 2000 - off, z_mm=1500) for n, (x, off) in enumerate(((1500, 90), (3000, 20)))
    ]
    lamps.append(a_fixture("F2", 4500, 1930, z_mm=1500))
    source = p.Transformer(id="T1", x_mm=1000, y_mm=1940, z_mm=400, output_v=12, fed_from="panel")
    job = a_lit_job(*lamps, transformers=(source,), feature_walls=(wall,))
    runs = [run for run in laid(job).runs if run.circuit == "L1"]
    assert {y for run in runs for _, y in run.path_mm} == {1980.0}
    assert runs[0].drop_mm == pytest.approx(400 + 40 + 1500 + 70)


def test_a_lamp_in_the_deck_near_a_wall_is_not_drawn_to_it() -> None:
    wall = p.FeatureWall(id="W", start_mm=(1000, 2000), end_mm=(5000, 2000), height_mm=2000, **WALL)
    job = a_lit_job(a_fixture("F1", 3000, 1900), feature_walls=(wall,))
    (run,) = [run for run in laid(job).runs if run.circuit == "L1"]
    assert run.path_mm[-1] == (3000, 1900)


WALL = {"cladding": "cladding", "furring": "furring"}


def test_a_box_is_put_in_a_stone_bed_beside_when_that_costs_little() -> None:
    """Three arms meet at (3000, 2000) under boards; 60 mm on, a bed of stone ends the deck."""
    area = free(square(6000.0))
    boarded = box(0, 0, 6000, 6000).difference(box(2000, 2060, 4000, 2600))
    area = replace(area, boarded=boarded)
    ends = [end("A", 1000, 2000), end("B", 5000, 2000), end("C", 3000, 5000)]
    routed = route(area, "C", "tee", ends[0], ends[1:])
    (joint,) = {leg.turned_mm[-1] for leg in routed.legs if "/" in leg.to_id}
    assert not boarded.intersects(box(joint[0], joint[1], joint[0], joint[1]))
    total = sum(leg.level_mm for leg in routed.legs)
    assert 7000 < total <= 1.05 * 7000


def test_a_box_stays_under_boards_with_a_finding_when_all_else_costs_too_much() -> None:
    lights = (a_fixture("F1", 1000, 1000), a_fixture("F2", 5000, 1000), a_fixture("F3", 3000, 300))
    answer = laid(a_lit_job(*lights, circuit={"topology": "tee"}))
    for finding in (f for f in answer.findings if f.code == "roughin.joint-covered"):
        assert finding.at_mm is not None
        assert "lift-out board" in finding.text
        assert "chain" in finding.text
    covered = [joint for joint in answer.joints if not joint.is_reachable]
    assert covered
    assert len(covered) == sum(f.code == "roughin.joint-covered" for f in answer.findings)


def test_beside_a_lift_out_panel_a_box_is_within_reach() -> None:
    drain = s.Drain(id="d", kind="drain", x_mm=3000, y_mm=2000, keep_clear_mm=150)
    lights = (a_fixture("F1", 1000, 2200), a_fixture("F2", 5000, 2200), a_fixture("F3", 3000, 800))
    answer = laid(a_lit_job(*lights, circuit={"topology": "tee"}, survey={"drains": (drain,)}))
    near = [joint for joint in answer.joints if joint.lies == "by a lift-out panel"]
    assert near
    assert all(np.hypot(joint.x_mm - 3000, joint.y_mm - 2000) <= 350 + 1e-6 for joint in near)


@settings(max_examples=25, deadline=None)
@given(st.lists(places, min_size=3, max_size=7, unique=True))
def test_reach_costs_5_per_cent_at_most(points: list[tuple[float, float]]) -> None:
    plain = free(square(6000.0))
    boarded = box(500, 500, 5500, 5500)
    covered = type(plain)(plain.angle_deg, plain.area, plain.xs_mm, plain.ys_mm, plain.obstacles, boarded)
    ends = [end(f"E{n}", *at) for n, at in enumerate(points)]
    near, far = (
        sum(leg.level_mm for leg in route(area, "C", "tee", ends[0], ends[1:]).legs)
        for area in (covered, plain)
    )
    assert far - 1e-6 <= near <= 1.05 * far
