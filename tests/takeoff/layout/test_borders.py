"""Border courses, mitred and butted."""

import math

import pytest
import shapely

from app.job import survey as s
from tests.takeoff.layout.shapes import boarded, lengths, polygons, rectangle

# The builders' boards are 140 mm wide with end gaps of at least 3 mm; side gap 5 mm.
LONG = {"longest_run_mm": 3500.0}


def test_a_mitred_border_has_one_long_pointed_piece_a_side() -> None:
    _, pieces, _ = boarded(outline_mm=rectangle(3000, 2000), border_courses=1, **LONG)
    border = [piece for piece in pieces if piece.role == "border"]
    assert len(border) == 4
    assert all(piece.is_mitred for piece in border)
    # The cut takes half the gap off each pointed end, along the board: 1.5 mm × √2.
    assert lengths(pieces, "border") == pytest.approx(
        [3000 - 3 * 2**0.5] * 2 + [2000 - 3 * 2**0.5] * 2, abs=0.1
    )


def test_a_butted_border_runs_each_side_into_the_next() -> None:
    _, pieces, _ = boarded(outline_mm=rectangle(3000, 2000), border_courses=1, border_corner="butted", **LONG)
    border = [piece for piece in pieces if piece.role == "border"]
    assert not any(piece.is_mitred for piece in border)
    # Each side runs through one corner and butts at the other, less half a gap at either end of the joint.
    assert lengths(pieces, "border") == pytest.approx(
        [3000 - 140 - 1.5] * 2 + [2000 - 140 - 1.5] * 2, abs=0.1
    )


def test_the_courses_lie_inside_the_border_and_its_gap() -> None:
    for courses in (1, 2, 3):
        layout, _, _ = boarded(outline_mm=rectangle(3000, 2000), border_courses=courses, **LONG)
        inner = shapely.Polygon(layout.inner_mm[0][0])
        inset = courses * (140 + 5)
        assert inner.bounds == pytest.approx((inset, inset, 3000 - inset, 2000 - inset))


def test_board_ends_keep_their_end_gap_from_the_border_when_it_is_the_wider() -> None:
    layout, pieces, _ = boarded(
        outline_mm=rectangle(3000, 2000), border_courses=1, board="plastic", side_gap_mm=3.0, **LONG
    )
    assert layout.end_gap_mm == pytest.approx(6.5e-5 * 45 * (3000 - 2 * 143), abs=0.1)
    course = next(piece for piece in pieces if piece.role == "course")
    left = min(x for x, _ in course.outline_mm)
    assert left == pytest.approx(140 + layout.end_gap_mm, abs=0.01)


def test_a_border_goes_round_a_drawn_hole_but_not_round_a_pipe() -> None:
    hole = ((1200.0, 800.0), (1700.0, 800.0), (1700.0, 1300.0), (1200.0, 1300.0))
    pipe = s.Penetration(id="v", kind="vent", x_mm=2300, y_mm=1000, width_mm=100, keep_clear_mm=50)
    _, with_hole, _ = boarded(outline_mm=rectangle(3000, 2000), holes_mm=(hole,), border_courses=1, **LONG)
    _, with_pipe, _ = boarded(
        {"penetrations": (pipe,)}, outline_mm=rectangle(3000, 2000), border_courses=1, **LONG
    )
    assert len(lengths(with_hole, "border")) == 8
    assert len(lengths(with_pipe, "border")) == 4
    # Round a hole the border is longest outside: 500 mm and a board's width at either end, less the gap.
    assert lengths(with_hole, "border")[4:] == pytest.approx([500 + 280 - 3 * 2**0.5] * 4, abs=0.1)


def test_a_long_side_without_breaker_lines_is_split_into_equal_runs() -> None:
    # Courses of 900 mm need no breaker; the sides across them are 3000 mm long.
    _, pieces, _ = boarded(outline_mm=rectangle(1190, 3000), border_courses=1, longest_run_mm=1200.0)
    outer = [p for p in pieces if p.role == "border"]
    assert max(p.length_mm for p in outer) <= 1200
    assert not any(p.role == "breaker" for p in pieces)
    assert len(outer) == 2 * 1 + 2 * 3
    along = sorted(p.length_mm for p in outer)[:6]
    assert along == pytest.approx([(3000 - 3 * 2**0.5 - 2 * 3) / 3] * 6, abs=0.5)


@pytest.mark.parametrize("corner", ["mitred", "butted"])
def test_a_border_is_joined_in_line_with_the_breaker_boards(corner: str) -> None:
    layout, pieces, _ = boarded(
        outline_mm=rectangle(3000, 2000), border_courses=1, border_corner=corner, longest_run_mm=1200.0
    )
    breakers = sorted(line.start_mm[0] for line in layout.breaker_lines)
    assert len(breakers) == 2
    along = [p for p in pieces if p.role == "border" and max(y for _, y in p.outline_mm) < 150]
    ends = sorted(round(max(x for x, _ in p.outline_mm), 2) for p in along)
    for end, breaker in zip(ends, breakers, strict=False):
        assert end == pytest.approx(breaker - 1.5, abs=0.02)  # half the gap of 3 mm
    assert max(p.length_mm for p in pieces) <= 1200


@pytest.mark.parametrize("corner", ["mitred", "butted"])
def test_an_l_shape_has_a_piece_for_each_of_its_six_sides(corner: str) -> None:
    ell = ((0.0, 0.0), (3000.0, 0.0), (3000.0, 1200.0), (1400.0, 1200.0), (1400.0, 3000.0), (0.0, 3000.0))
    _, pieces, _ = boarded(outline_mm=ell, border_courses=1, border_corner=corner, **LONG)
    border = tuple(piece for piece in pieces if piece.role == "border")
    assert len(border) == 6
    band = shapely.Polygon(ell).area - shapely.Polygon(ell).buffer(-140, join_style="mitre").area
    cuts = 6 * 3 * 140 * 2**0.5 if corner == "mitred" else 6 * 3 * 140
    assert shapely.area(polygons(border)).sum() == pytest.approx(band - cuts, abs=60)


def test_a_strip_narrower_than_two_boards_is_all_border_and_still_covered() -> None:
    layout, pieces, _ = boarded(outline_mm=rectangle(3000, 200), border_courses=1, **LONG)
    assert layout.inner_mm == ()
    assert {piece.role for piece in pieces} == {"border"}
    assert layout.boards_m2 > 0.95 * layout.area_m2
    assert max(piece.width_mm for piece in pieces) <= 140.01


def test_a_needle_notch_is_bordered_on_both_sides_down_to_its_point() -> None:
    notch = ((0.0, 0.0), (1400.0, 0.0), (1500.0, 1500.0), (1600.0, 0.0), (3000.0, 0.0), (3000.0, 2500.0))
    layout, pieces, _ = boarded(outline_mm=(*notch, (0.0, 2500.0)), border_courses=1, **LONG)
    assert max(piece.width_mm for piece in pieces) <= 140.01
    assert layout.boards_m2 > 0.93 * layout.area_m2


@pytest.mark.parametrize("sides", [3, 5, 6, 8])
def test_a_regular_shape_is_bordered_by_equal_pieces_mitred_at_half_its_angle(sides: int) -> None:
    reach = 1500.0
    turns = [2 * math.pi * n / sides for n in range(sides)]
    corners = tuple((reach * math.cos(turn), reach * math.sin(turn)) for turn in turns)
    _, pieces, _ = boarded(outline_mm=corners, border_courses=1, **LONG)
    border = tuple(piece for piece in pieces if piece.role == "border")
    assert len(border) == sides
    assert all(piece.is_mitred and len(piece.outline_mm) == 4 for piece in border)
    areas = shapely.area(polygons(border))
    assert areas == pytest.approx([areas[0]] * sides, rel=1e-4)


def test_parts_side_by_side_along_the_courses_share_their_lines_and_stacked_ones_do_not() -> None:
    def part_lows(bar: s.Penetration) -> list[set[float]]:
        layout, pieces, _ = boarded({"penetrations": (bar,)}, outline_mm=ell)
        parts = [shapely.Polygon(part[0]).buffer(0.1) for part in layout.inner_mm]
        assert len(parts) == 2
        found: list[set[float]] = [set(), set()]
        for piece, shape in zip(pieces, polygons(pieces), strict=True):
            part = next(n for n, outline in enumerate(parts) if outline.covers(shape))
            found[part].add(round(min(y for _, y in piece.outline_mm), 1))
        return found

    ell = ((0.0, 0.0), (3000.0, 0.0), (3000.0, 1010.0), (1500.0, 1010.0), (1500.0, 2000.0), (0.0, 2000.0))
    upright = s.Penetration(
        id="u", kind="unit", x_mm=1700, y_mm=500, width_mm=300, depth_mm=1100, keep_clear_mm=0
    )
    left, right = sorted(part_lows(upright), key=len, reverse=True)
    assert right <= left
    level = s.Penetration(
        id="u", kind="unit", x_mm=750, y_mm=1300, width_mm=1600, depth_mm=300, keep_clear_mm=0
    )
    upper, lower = part_lows(level)
    # Each is balanced on its own: its first course begins at its own edge.
    assert {min(upper), min(lower)} == {0.0, 1450.0}
