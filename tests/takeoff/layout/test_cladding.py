"""Feature walls unfolded."""

import math
from itertools import pairwise
from typing import Any

import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from app.job import plan as p
from app.takeoff.layout.cladding import clad_wall, furring_columns_mm
from app.takeoff.layout.end_gaps import RunRule
from app.takeoff.layout.joints import joints_over_furring
from app.takeoff.layout.lay_out import lay_out
from app.takeoff.roof.read_roof import read_roof
from tests.builders import a_job, a_plan, choices
from tests.takeoff.layout.shapes import polygons


def a_wall(**changes: Any) -> p.FeatureWall:
    fields: dict[str, Any] = {"id": "wall", "start_mm": (0, 4000), "end_mm": (3000, 4000), "height_mm": 2315}
    return p.FeatureWall(**(fields | {"cladding": "pine", "furring": "furring"} | changes))


def a_niche(**changes: Any) -> p.Opening:
    fields: dict[str, Any] = {"id": "niche", "kind": "niche", "x_mm": 1000, "z_mm": 870, "width_mm": 600}
    return p.Opening(**(fields | {"height_mm": 430, "depth_mm": 140} | changes))


def codes(wall: p.FeatureWall, **job: Any) -> dict[str, str]:
    whole = a_job(plan=a_plan(deck_fields=(), feature_walls=(wall,)), **job)
    return {f.code: f.grade for f in lay_out(whole, read_roof(whole)).findings}


def test_a_plain_wall_is_clad_in_whole_courses() -> None:
    clad = clad_wall(a_wall(), a_job())  # 16 × 140 + 15 × 5 = 2315
    assert len(clad.pieces) == 16
    assert {piece.length_mm for piece in clad.pieces} == {3000.0}
    assert not any(piece.is_ripped for piece in clad.pieces)
    assert clad.layout.net_m2 == pytest.approx(3.0 * 2.315)
    assert clad.layout.cap_mm == 3000.0
    assert clad.layout.fabric_m2 == pytest.approx(3.0 * 2.315)


def test_a_wall_on_a_slant_is_as_long_as_its_line() -> None:
    clad = clad_wall(a_wall(start_mm=(0, 0), end_mm=(1800, 2400)), a_job())
    assert clad.layout.length_mm == pytest.approx(3000.0)
    assert {piece.plane for piece in clad.pieces} == {"wall"}


def test_a_niche_is_cut_out_and_lined_through_its_depth() -> None:
    clad = clad_wall(a_wall(openings=(a_niche(),)), a_job())
    # 870 = 6 × 145: courses 7, 8 and 9 (870 to 1300) are parted, three pieces become six.
    face = [piece for piece in clad.pieces if piece.plane == "wall"]
    assert len(face) == 13 + 2 * 3
    planes = {piece.plane for piece in clad.pieces} - {"wall"}
    assert planes == {f"wall-niche-{side}" for side in ("left", "right", "head", "sill", "back")}
    by_plane = {plane: [x for x in clad.pieces if x.plane == plane] for plane in planes}
    assert [x.length_mm for x in by_plane["wall-niche-left"]] == [430.0]
    assert [x.length_mm for x in by_plane["wall-niche-head"]] == [600.0]
    assert len(by_plane["wall-niche-back"]) == 3  # 430 = 3 × 140 + 2 × 5
    assert clad.layout.net_m2 == pytest.approx(3.0 * 2.315 - 0.6 * 0.43)
    assert clad.layout.fabric_m2 == pytest.approx(3.0 * 2.315)  # the fabric runs on behind a niche


def test_a_door_has_no_sill_and_no_back_and_interrupts_the_fabric() -> None:
    door = a_niche(id="door", kind="door", z_mm=0, height_mm=2000, depth_mm=100)
    clad = clad_wall(a_wall(openings=(door,)), a_job())
    assert {x.plane for x in clad.pieces} == {"wall", "wall-door-left", "wall-door-right", "wall-door-head"}
    assert clad.layout.fabric_m2 == pytest.approx(3.0 * 2.315 - 0.6 * 2.0)
    lines = [(line.start_mm[0], line.start_mm[1]) for line in clad.layout.furring_mm]
    assert all(z >= 2000 - 1e-6 for x, z in lines if 1000 < x < 1600)


def test_an_opening_notches_the_course_it_bites_into() -> None:
    clad = clad_wall(a_wall(openings=(a_niche(z_mm=900, height_mm=400, depth_mm=0),)), a_job())
    notched = [x for x in clad.pieces if len(x.outline_mm) > 4]
    assert [x.length_mm for x in notched] == [3000.0]


def test_an_opening_within_one_board_parts_it() -> None:
    small = a_niche(z_mm=40, width_mm=60, height_mm=60, depth_mm=0)
    clad = clad_wall(a_wall(openings=(small,)), a_job())
    assert len(clad.pieces) == 17
    assert clad.pieces[0].length_mm == pytest.approx(1030 - 1.5)


def test_furring_stands_at_both_ends_beside_openings_and_no_wider_apart_than_asked() -> None:
    wall = a_wall(openings=(a_niche(),), furring_spacing_mm=400)
    columns = furring_columns_mm(wall, 3000.0, 38.0)
    assert columns[0] == 19.0
    assert columns[-1] == 2981.0
    assert 1000 - 19 in columns
    assert 1600 + 19 in columns
    steps = [b - a for a, b in pairwise(columns)]
    assert max(steps[:3]) <= 400
    assert min(steps) >= 38.0


def test_openings_close_together_share_a_strip_instead_of_two_in_one_place() -> None:
    pair = (a_niche(), a_niche(id="second", x_mm=1620))
    columns = furring_columns_mm(a_wall(openings=pair), 3000.0, 38.0)
    assert min(b - a for a, b in pairwise(columns)) >= 37.9


def test_long_courses_are_joined_over_furring() -> None:
    clad = clad_wall(a_wall(end_mm=(5800, 4000)), a_job())
    assert clad.joints_off_furring == 0
    columns = furring_columns_mm(a_wall(), 5800.0, 38.0)
    assert all(x.length_mm <= 3600.0 for x in clad.pieces)
    ends = sorted({round(max(c for c, _ in x.outline_mm), 3) for x in clad.pieces})
    joint = ends[0] + 1.5  # half the gap of 3 mm
    assert min(abs(joint - column) for column in columns) < 0.01


@settings(max_examples=40, deadline=None)
@given(st.floats(100, 15000), st.floats(500, 4000), st.floats(200, 1200))
def test_joints_keep_every_stretch_within_the_limit(length: float, limit: float, spacing: float) -> None:
    columns = furring_columns_mm(a_wall(furring_spacing_mm=spacing), length, 38.0)
    joints, missed = joints_over_furring(0.0, length, columns, RunRule(limit, "stock", 0.0, 0.0, 3.0, 8.0))
    stops = [0.0, *joints, length]
    assert stops == sorted(stops)
    assert max(b - a for a, b in pairwise(stops)) <= limit + 0.06
    if not missed and spacing <= limit / 8:
        assert len(joints) <= math.ceil(length / (limit - spacing)) - 1 + (length <= limit)
    assert sum(min(abs(j - c) for c in columns) > 1e-6 for j in joints) <= missed


def test_joints_that_hang_free_stop() -> None:
    short = choices()
    board = short.boards[0].model_copy(update={"stock": short.boards[0].stock[:1]})  # 2400 mm
    way = {"materials": choices(boards=(board,))}
    wide = a_wall(end_mm=(5800, 4000), furring_spacing_mm=5000)
    assert codes(wide, **way)["layout.joint-off-furring"] == "stop"
    assert "layout.joint-off-furring" not in codes(a_wall(end_mm=(5800, 4000)), **way)


def test_a_wall_on_an_existing_one_and_a_free_one_are_put_to_an_engineer() -> None:
    assert codes(a_wall()) == {"layout.wall-fixing": "check"}
    free = codes(a_wall(fixing="free-standing"))
    assert free == {"layout.wall-wind": "check", "layout.wall-snow": "note"}


@settings(max_examples=25, deadline=None)
@given(st.floats(50, 2300), st.floats(50, 2200), st.floats(60, 600), st.floats(60, 1500))
def test_no_piece_lies_in_an_opening_or_outside_the_wall(x: float, z: float, w: float, h: float) -> None:
    opening = a_niche(x_mm=x, z_mm=z, width_mm=w, height_mm=min(h, 2315 - z), depth_mm=0)
    clad = clad_wall(a_wall(openings=(opening,)), a_job())
    hole = shapely.box(x + 0.01, z + 0.01, x + w - 0.01, z + opening.height_mm - 0.01)
    shapes = polygons(clad.pieces)
    assert not shapely.intersects(shapes, hole).any()
    assert shapely.covers(shapely.box(-0.01, -0.01, 3000.01, 2315.01), shapes).all()
