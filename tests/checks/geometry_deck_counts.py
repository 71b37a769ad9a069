"""Counts and lengths of boards on plain shapes, from closed forms worked by hand (elementary geometry)."""

import pytest
import shapely

from tests.takeoff.layout.shapes import boarded, lengths, polygons, rectangle

B, G = 140.0, 5.0  # board and gap of the builders
PITCH = B + G
FREE = {"longest_run_mm": 3600.0}


@pytest.mark.parametrize("count", [1, 2, 7, 25])
def test_rectangle_of_whole_courses(count: int) -> None:
    _, pieces, _ = boarded(outline_mm=rectangle(3000, count * PITCH - G), **FREE)
    assert lengths(pieces, "course") == [3000.0] * count
    assert {round(piece.width_mm, 6) for piece in pieces} == {B}


@pytest.mark.parametrize("angle", [0.0, 180.0, -180.0, 360.0])
def test_right_triangle_by_similar_triangles(angle: float) -> None:
    base, height = 3400.0, 20 * PITCH - G
    _, pieces, _ = boarded(outline_mm=((0, 0), (base, 0), (0, height)), angle_deg=angle, **FREE)
    # The long point of each course is at its lower edge: base × (1 − y / height).
    expected = [base * (1 - n * PITCH / height) for n in range(20)]
    assert lengths(pieces, "course") == pytest.approx(expected, abs=0.1)
    assert all(piece.is_mitred for piece in pieces)


def test_right_triangle_laid_the_other_way() -> None:
    base, height = 20 * PITCH - G, 3400.0
    _, pieces, _ = boarded(outline_mm=((0, 0), (base, 0), (0, height)), angle_deg=90.0, **FREE)
    assert lengths(pieces, "course") == pytest.approx(
        [height * (1 - n * PITCH / base) for n in range(20)], abs=0.1
    )


def test_equilateral_triangle_laid_along_a_slanted_side() -> None:
    side = 3000.0
    rise = side * 3**0.5 / 2
    _, pieces, _ = boarded(outline_mm=((0, 0), (side, 0), (side / 2, rise)), angle_deg=60.0, **FREE)
    count = int((rise + G) // PITCH) + 1
    edge = (rise - (count - 2) * B - (count - 1) * G) / 2
    lows = [0.0, *(edge + G + n * PITCH for n in range(count - 1))]
    assert lengths(pieces, "course") == pytest.approx([side * (1 - low / rise) for low in lows], abs=0.1)


def test_l_shape_whose_step_falls_between_two_courses() -> None:
    # Ten courses over all; the upper four stop at 1200 mm, where the step lies in a gap.
    top, step = 10 * PITCH - G, 6 * PITCH - G / 2
    ell = ((0, 0), (3000, 0), (3000, step), (1200, step), (1200, top), (0, top))
    _, pieces, _ = boarded(outline_mm=ell, **FREE)
    assert lengths(pieces, "course") == [3000.0] * 6 + [1200.0] * 4


def test_l_shape_whose_step_bites_into_a_course_keeps_that_piece_whole() -> None:
    top, step = 10 * PITCH - G, 6 * PITCH + 80.0
    ell = ((0, 0), (3000, 0), (3000, step), (1200, step), (1200, top), (0, top))
    _, pieces, _ = boarded(outline_mm=ell, **FREE)
    assert lengths(pieces, "course") == [3000.0] * 7 + [1200.0] * 3
    notched = [piece for piece in pieces if len(piece.outline_mm) == 6]
    assert len(notched) == 1
    assert notched[0].width_mm == pytest.approx(B)


def test_hole_parts_the_courses_it_covers_and_notches_its_neighbours() -> None:
    # The hole runs from the middle of course 3 to the middle of course 7: 4, 5 and 6 are parted.
    low, high = 2 * PITCH + 70.0, 6 * PITCH + 70.0
    hole = ((1000.0, low), (1600.0, low), (1600.0, high), (1000.0, high))
    layout, pieces, _ = boarded(outline_mm=rectangle(3000, 10 * PITCH - G), holes_mm=(hole,), **FREE)
    assert lengths(pieces, "course") == [3000.0] * 7 + [1400.0] * 3 + [1000.0] * 3
    assert len([piece for piece in pieces if len(piece.outline_mm) == 8]) == 2
    assert layout.area_m2 == pytest.approx((3000 * (10 * PITCH - G) - 600 * 4 * PITCH) / 1e6)


def test_parallelogram_at_45_degrees() -> None:
    count = 12
    rise = count * PITCH - G
    _, pieces, _ = boarded(outline_mm=((0, 0), (2000, 0), (2000 + rise, rise), (rise, rise)), **FREE)
    # Square cut to slanted: every piece is the base and one board's width along the slope.
    assert lengths(pieces, "course") == pytest.approx([2000.0 + B] * count, abs=0.1)


@pytest.mark.parametrize(("length", "breakers"), [(3600.0, 0), (3601.0, 1), (7346.0, 1), (7347.0, 2)])
def test_breakers_by_the_closed_form(length: float, breakers: int) -> None:
    # Two runs of 3600, a breaker of 140 and its gaps of 3: 7346 mm is the longest with one.
    layout, pieces, _ = boarded(outline_mm=rectangle(length, 5 * PITCH - G), longest_run_mm=3600.0)
    assert len(layout.breaker_lines) == breakers
    run = (length - breakers * (B + 6)) / (breakers + 1)
    assert lengths(pieces, "course") == pytest.approx([run] * 5 * (breakers + 1), abs=0.1)
    assert lengths(pieces, "breaker") == pytest.approx([5 * PITCH - G] * breakers)


@pytest.mark.parametrize("courses", [1, 2, 3])
def test_mitred_border_area_is_that_of_the_frame_less_its_mitre_gaps(courses: int) -> None:
    length, width = 3400.0, 2600.0
    _, pieces, _ = boarded(outline_mm=rectangle(length, width), border_courses=courses, **FREE)
    border = tuple(piece for piece in pieces if piece.role == "border")
    expected = 0.0
    for k in range(courses):
        l_k, w_k = length - 2 * k * PITCH, width - 2 * k * PITCH
        frame = l_k * w_k - (l_k - 2 * B) * (w_k - 2 * B)
        # Four gaps of 3 mm along a diagonal of 140 √2, less the two corner triangles of each.
        expected += frame - 4 * (3 * B * 2**0.5)
    assert len(border) == 4 * courses
    assert shapely.area(polygons(border)).sum() == pytest.approx(expected, abs=12.0 * courses * 4)
