"""What becomes of a clipped shape."""

import pytest
import shapely

from app.job import survey as s
from app.takeoff.layout.outlines import keep_clear
from tests.takeoff.layout.shapes import boarded, lengths, polygons, rectangle


def a_pipe(**changes: object) -> s.Penetration:
    fields = {"id": "v", "kind": "vent", "x_mm": 1000.0, "y_mm": 360.0, "shape": "round", "width_mm": 60.0}
    return s.Penetration(**(fields | {"keep_clear_mm": 10.0} | changes))  # type: ignore[arg-type]


# Five full boards of 140 mm with gaps of 5 mm: the middle of the third is at 360 mm.
FIVE = rectangle(2000.0, 5 * 140.0 + 4 * 5.0)


def test_a_board_with_a_pipe_through_it_is_cut_in_two_so_that_it_can_be_laid() -> None:
    _, pieces, _ = boarded({"penetrations": (a_pipe(),)}, outline_mm=FIVE)
    assert len(pieces) == 6
    assert lengths(pieces, "course") == pytest.approx([2000.0] * 4 + [998.5] * 2)


def test_a_board_notched_at_its_edge_stays_one_piece_with_its_real_outline() -> None:
    _, pieces, _ = boarded({"penetrations": (a_pipe(y_mm=290.0),)}, outline_mm=FIVE)
    notched = [piece for piece in pieces if len(piece.outline_mm) > 4]
    assert len(pieces) == 5
    assert notched
    assert all(piece.length_mm == pytest.approx(2000.0) for piece in notched)
    assert all(shapely.Polygon(piece.outline_mm).area < 2000 * 140 for piece in notched)
    assert not any(piece.is_mitred for piece in notched)


def test_a_wide_clearance_parts_the_courses_it_crosses() -> None:
    _, pieces, _ = boarded({"penetrations": (a_pipe(width_mm=380.0, shape="square"),)}, outline_mm=FIVE)
    # 400 mm square about (1000, 360): 160 to 560 covers course 3 whole and bites into 2 and 4.
    assert len(pieces) == 6
    assert lengths(pieces, "course")[-2:] == [800.0, 800.0]


def test_square_and_round_clearances_have_their_own_shape() -> None:
    square = keep_clear((a_pipe(shape="square", width_mm=100.0, depth_mm=200.0),))
    assert square.bounds == pytest.approx((1000 - 60, 360 - 110, 1000 + 60, 360 + 110))
    assert keep_clear((a_pipe(),)).area == pytest.approx(3.14159 * 40**2, rel=0.003)
    assert keep_clear(()).is_empty


def test_a_slanted_end_is_mitred_and_a_square_one_is_not() -> None:
    slanted = ((0.0, 0.0), (2000.0, 0.0), (1280.0, 720.0), (0.0, 720.0))
    _, pieces, _ = boarded(outline_mm=slanted)
    assert len(pieces) == 5
    assert all(piece.is_mitred for piece in pieces)
    _, square, _ = boarded(outline_mm=FIVE)
    assert not any(piece.is_mitred or piece.is_ripped for piece in square)


def test_the_length_is_the_long_point() -> None:
    slanted = ((0.0, 0.0), (2000.0, 0.0), (1280.0, 720.0), (0.0, 720.0))
    _, pieces, _ = boarded(outline_mm=slanted)
    assert lengths(pieces, "course") == pytest.approx([2000 - 145.0 * n for n in range(5)])


def test_only_the_first_and_the_last_course_are_ripped_on_a_rectangle() -> None:
    _, pieces, _ = boarded(outline_mm=rectangle(2000.0, 800.0))
    assert [piece.is_ripped for piece in pieces] == [True, False, False, False, False, True]
    assert pieces[0].width_mm == pytest.approx(pieces[-1].width_mm)
    assert sum(piece.width_mm for piece in pieces) + 5 * 5.0 == pytest.approx(800.0)


def test_slivers_are_left_out_and_said() -> None:
    # A tail 4 mm wide and 3 m long: nothing that narrow can be fixed.
    tail = ((0.0, 0.0), (5000.0, 0.0), (5000.0, 4.0), (2000.0, 4.0), (2000.0, 720.0), (0.0, 720.0))
    layout, pieces, whole = boarded(outline_mm=tail, longest_run_mm=2500.0)
    assert all(piece.width_mm >= 5.0 for piece in pieces)
    assert layout.boards_m2 == pytest.approx(shapely.area(polygons(pieces)).sum() / 1e6)
    assert any("Slivers" in assumption.text for assumption in whole.assumptions)
    assert any(finding.code == "layout.left-open" for finding in whole.findings)


STEPPED = ((0.0, 0.0), (2000.0, 0.0), (2000.0, 720.0), (1000.0, 720.0), (1000.0, 460.0), (0.0, 460.0))


def test_a_narrow_tongue_left_by_the_outline_is_noted_with_its_width() -> None:
    # Courses balance on the full width of 720 mm; the step at 460 mm leaves the fourth a tongue of 25 mm.
    _, _, whole = boarded(outline_mm=STEPPED)
    found = [f for f in whole.findings if f.code == "layout.narrow-rip"]
    assert len(found) == 1
    assert found[0].grade == "note"
    assert found[0].value == pytest.approx(460.0 - 3 * 145.0, abs=1.0)
    at = found[0].at_mm
    assert at is not None
    assert 0.0 <= at[0] <= 1000.0
    assert 435.0 <= at[1] <= 460.0


def test_a_step_that_leaves_more_than_half_a_board_is_not_noted() -> None:
    wider = tuple((x, 520.0 if y == 460.0 else y) for x, y in STEPPED)
    _, _, whole = boarded(outline_mm=wider)
    assert "layout.narrow-rip" not in {f.code for f in whole.findings}


def test_a_field_under_half_a_board_wide_is_noted() -> None:
    _, pieces, whole = boarded(outline_mm=rectangle(2000.0, 60.0))
    assert [piece.width_mm for piece in pieces] == pytest.approx([60.0])
    assert "layout.narrow-rip" in {f.code for f in whole.findings}
