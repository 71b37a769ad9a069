"""Caps, returns, screens and the weight of feature walls."""

import math

import pytest

from app.job import plan as p
from app.takeoff.layout.cladding import clad_wall
from app.takeoff.layout.lay_out import lay_out
from app.takeoff.layout.wall_parts import cap_developed_mm, cap_sheet_m2
from app.takeoff.roof.read_roof import read_roof
from tests.builders import a_job, a_plan
from tests.takeoff.layout.test_cladding import a_niche, a_wall


def findings(wall: p.FeatureWall) -> dict[str, str]:
    whole = a_job(plan=a_plan(deck_fields=(), feature_walls=(wall,)))
    return {f.code: f"{f.grade}: {f.text}" for f in lay_out(whole, read_roof(whole)).findings}


def a_screen_niche(**changes: object) -> p.Opening:
    size = {"width_mm": 1400, "height_mm": 900, "depth_mm": 120}
    screen = {"screen_width_mm": 1230, "screen_height_mm": 710, "screen_mass_kg": 22}
    return a_niche(**(size | screen | changes))


def test_a_cap_is_bent_from_a_sheet_that_reaches_down_both_faces() -> None:
    # 58 deep, 12 off either face, sloped 5 %; leg 50, drip 12 and hem 10 at each foot.
    assert cap_developed_mm(58.0, 5.0) == pytest.approx((58 + 24) * math.hypot(1, 0.05) + 2 * 72)
    layout = clad_wall(a_wall(), a_job()).layout
    assert layout.cap_across_mm == 38 + 20  # furring and cladding
    assert layout.cap_m2 == pytest.approx(3.0 * layout.cap_developed_mm / 1e3)
    assert cap_sheet_m2(6001.0, 250.0) == pytest.approx((6.001 + 2 * 0.1) * 0.25)
    assert clad_wall(a_wall(cap_depth_mm=200), a_job()).layout.cap_across_mm == 200
    without = clad_wall(a_wall(has_cap=False), a_job()).layout
    assert without.cap_m2 == without.cap_mm == without.cap_developed_mm == 0.0


def test_returns_are_clad_capped_and_counted_like_the_face() -> None:
    clad = clad_wall(a_wall(start_return_mm=90, end_return_mm=150), a_job())
    by_plane = {piece.plane: piece.length_mm for piece in clad.pieces}
    assert by_plane["wall-return-start"] == 90.0
    assert by_plane["wall-return-end"] == 150.0
    assert sum(piece.plane == "wall-return-start" for piece in clad.pieces) == 16  # course by course
    assert clad.layout.cap_mm == pytest.approx(3240.0)
    assert clad.layout.net_m2 == pytest.approx(3.24 * 2.315)
    assert clad.layout.mass_kg > clad_wall(a_wall(), a_job()).layout.mass_kg


def test_a_screen_hangs_on_two_pieces_of_blocking_across_its_niche() -> None:
    wall = a_wall(openings=(a_screen_niche(),))
    layout = clad_wall(wall, a_job()).layout
    assert len(layout.blocking_mm) == 2
    for line in layout.blocking_mm:
        assert line in layout.furring_mm  # bought and cut with the strips
        assert line.end_mm[0] - line.start_mm[0] == pytest.approx(1400)
        assert 870 + 95 < line.start_mm[1] < 870 + 95 + 710
    assert clad_wall(a_wall(openings=(a_niche(),)), a_job()).layout.blocking_mm == ()


def test_a_screen_with_room_is_a_note_and_one_without_is_a_check() -> None:
    roomy = findings(a_wall(openings=(a_screen_niche(),)))["layout.screen-niche"]
    assert roomy.startswith("note")
    assert "85 mm at each side" in roomy
    assert "leaves 45 mm behind" in roomy
    tight = findings(a_wall(openings=(a_screen_niche(screen_width_mm=1350),)))["layout.screen-niche"]
    assert tight.startswith("check")
    proud = findings(a_wall(openings=(a_screen_niche(depth_mm=0),)))["layout.screen-niche"]
    assert "stands 75 mm proud" in proud


def test_open_joints_without_fabric_are_told_and_closed_ones_are_not() -> None:
    assert "layout.open-joints" in findings(a_wall(has_fabric=False))
    assert "layout.open-joints" not in findings(a_wall(has_fabric=False, side_gap_mm=0))
    assert "layout.open-joints" not in findings(a_wall())


def test_a_wall_weighs_its_boards_and_strips_and_a_tenth() -> None:
    layout = clad_wall(a_wall(), a_job()).layout
    boards = 16 * 3.0 * 1.26
    strips = len(layout.furring_mm) * 2.315 * 0.92
    assert layout.mass_kg == pytest.approx(1.1 * (boards + strips))


def test_the_wall_it_is_fixed_to_is_said_to_move() -> None:
    assert "bends and moves" in findings(a_wall())["layout.wall-fixing"]
