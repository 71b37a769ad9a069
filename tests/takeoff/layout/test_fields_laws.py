"""Laws of a boarded field, whatever its outline, angle, border, board and holes."""

from collections.abc import Callable
from typing import Any

import numpy as np
import pytest
import shapely
from hypothesis import Phase, find, given, settings
from hypothesis import strategies as st

from app.job import survey as s
from tests.takeoff.layout.shapes import MIDDLE, boarded, fields, polygons, star_outlines, turned

LAWS = settings(max_examples=30, deadline=None)


@LAWS
@given(fields())
def test_pieces_lie_inside_the_field_and_do_not_overlap(field: dict[str, Any]) -> None:
    _, pieces, _ = boarded(**field)
    drawn = shapely.Polygon(field["outline_mm"], field["holes_mm"])
    shapes = polygons(pieces)
    assert shapely.is_valid(shapes).all()
    # A hundredth of a millimetre for rounding.
    assert shapely.covers(drawn.buffer(0.01), shapes).all()
    inner = shapely.buffer(shapes, -0.01)
    assert shapely.union_all(inner).area == pytest.approx(shapely.area(inner).sum(), rel=1e-6)


@LAWS
@given(fields())
def test_what_no_piece_covers_is_gaps_and_reported_corners(field: dict[str, Any]) -> None:
    layout, pieces, whole = boarded(**field)
    drawn = shapely.Polygon(field["outline_mm"], field["holes_mm"])
    # Half the widest gap: side gap, end gap, or the board's greatest gap at border corners.
    half = max(layout.end_gap_mm, layout.side_gap_mm, 8.0) / 2 + 0.05
    spread = shapely.union_all(shapely.buffer(polygons(pieces), half, join_style="mitre"))
    uncovered = drawn.difference(spread).area
    said = sum(f.value or 0.0 for f in whole.findings if f.code == "layout.left-open") * 100.0
    assert uncovered <= 0.005 * drawn.area + said


@LAWS
@given(fields())
def test_areas_add_up(field: dict[str, Any]) -> None:
    layout, pieces, _ = boarded(**field)
    shapes = polygons(pieces)
    drawn = shapely.Polygon(field["outline_mm"], field["holes_mm"])
    gaps = drawn.difference(shapely.union_all(shapes)).area
    assert layout.area_m2 == pytest.approx(drawn.area / 1e6, rel=1e-6)
    assert layout.boards_m2 == pytest.approx(shapely.area(shapes).sum() / 1e6, rel=1e-6)
    assert layout.boards_m2 + gaps / 1e6 == pytest.approx(layout.area_m2, rel=1e-5)


@LAWS
@given(fields())
def test_no_piece_is_longer_than_its_run_the_stock_or_the_way_up_nor_wider_than_its_board(
    field: dict[str, Any],
) -> None:
    layout, pieces, _ = boarded(**field)
    limit = min(field["longest_run_mm"] or 3600.0, 3600.0)  # 3600 turns on the builders' stair
    assert max(piece.length_mm for piece in pieces) <= limit + 0.1
    assert max(piece.width_mm for piece in pieces) <= 140.0 + 0.1
    courses = [piece for piece in pieces if piece.role == "course"]
    if courses:
        assert layout.run_mm == pytest.approx(max(piece.length_mm for piece in courses))
        assert layout.least_rip_mm == pytest.approx(min(piece.width_mm for piece in courses))


@LAWS
@given(fields())
def test_ids_are_unique_and_run_in_laying_order(field: dict[str, Any]) -> None:
    _, pieces, _ = boarded(**field)
    assert [piece.id for piece in pieces] == [f"deck-{n:03d}" for n in range(1, len(pieces) + 1)]


@settings(max_examples=20, deadline=None)
@given(fields(), st.floats(1.0, 359.0))
def test_turning_plan_and_field_together_keeps_every_count_and_length(
    field: dict[str, Any], turn: float
) -> None:
    _, before, _ = boarded(**field)
    moved = {
        "outline_mm": turned(field["outline_mm"], turn, MIDDLE),
        "holes_mm": tuple(turned(hole, turn, MIDDLE) for hole in field["holes_mm"]),
        "angle_deg": (field["angle_deg"] + turn + 180.0) % 360.0 - 180.0,
    }
    _, after, _ = boarded(**(field | moved))

    def big(pieces: Any) -> list[tuple[str, float]]:
        # Near the sliver limit rounding may tip a piece; all others must be the same.
        kept = [p for p in pieces if p.length_mm > 25 and p.width_mm > 8 and _area(p) > 1500]
        return sorted((p.role, round(p.length_mm), round(p.width_mm)) for p in kept)  # type: ignore[misc]

    def near(one: Any, other: Any) -> bool:
        # The needle tip of a border's mitre is as long as rounding leaves it.
        reach = 6 if one[0] == "border" else 1
        return one[0] == other[0] and abs(one[1] - other[1]) <= reach and abs(one[2] - other[2]) <= reach

    first, second = big(before), big(after)
    assert len(first) == len(second)
    assert sum(p[1] for p in first) == pytest.approx(sum(p[1] for p in second), rel=1e-3)
    assert all(any(near(one, other) for other in second) for one in first)


def _area(piece: Any) -> float:
    return float(shapely.Polygon(piece.outline_mm).area)


@settings(max_examples=25, deadline=None)
@given(star_outlines(), st.floats(30.0, 500.0), st.floats(-800, 800), st.floats(-800, 800), st.booleans())
def test_boards_stay_clear_of_what_comes_through_the_roof(
    outline: Any, width: float, dx: float, dy: float, is_round: bool
) -> None:
    pipe = s.Penetration(
        id="v",
        kind="vent",
        x_mm=MIDDLE[0] + dx,
        y_mm=MIDDLE[1] + dy,
        shape="round" if is_round else "square",
        width_mm=width,
        keep_clear_mm=40.0,
    )
    _, pieces, _ = boarded({"penetrations": (pipe,)}, outline_mm=outline, border_courses=1)
    reach = width / 2 + 40.0
    centre = shapely.Point(pipe.x_mm, pipe.y_mm)
    clear = centre.buffer(reach * 0.99) if is_round else centre.buffer(reach - 0.01, cap_style="square")
    assert not shapely.intersects(polygons(pieces), clear).any()


@settings(max_examples=25, deadline=None)
@given(star_outlines(), st.floats(-90, 90), st.sampled_from((3.0, 5.0, 8.0)))
def test_courses_counted_by_taking_the_gaps_away_agree(outline: Any, angle: float, gap: float) -> None:
    _, pieces, _ = boarded(outline_mm=outline, angle_deg=angle, side_gap_mm=gap, longest_run_mm=20000.0)
    if any(piece.role == "breaker" for piece in pieces):
        return
    # Written the other way round: turn the outline flat, subtract the gap strips, count what is left.
    flat = shapely.affinity.rotate(shapely.Polygon(outline), -angle, origin=MIDDLE)
    left, low, right, high = flat.bounds
    count = int(np.ceil((high - low + gap - 0.4) / (140 + gap)))
    start = (low + high - count * (140 + gap) + gap) / 2
    gaps = [
        shapely.box(left - 1, start + n * (140 + gap) - gap, right + 1, start + n * (140 + gap))
        for n in range(1, count)
    ]
    parts = [
        part for part in shapely.get_parts(flat.difference(shapely.MultiPolygon(gaps))) if part.area > 1e-3
    ]
    assert sum(part.area for part in parts) / 1e6 == pytest.approx(
        shapely.area(polygons(pieces)).sum() / 1e6, abs=len(parts) * 500e-6
    )
    big = [part for part in parts if _is_clearly_kept(part)]
    assert len(big) <= len(pieces) <= len(parts)


def _is_clearly_kept(part: Any) -> bool:
    left, low, right, high = part.bounds
    return bool(right - left > 10.1 and high - low > 5.1 and part.area > 501)


SEEN: dict[str, Callable[[dict[str, Any]], bool]] = {
    "an outline that turns inward": lambda field: _is_hollow(field["outline_mm"]),
    "an outline with square corners only": lambda field: (
        len(field["outline_mm"]) >= 8 and _is_square(field["outline_mm"])
    ),
    "a hole": lambda field: bool(field["holes_mm"]) and len(boarded(**field)[1]) > 10,
    "courses that run aslant": lambda field: abs(field["angle_deg"]) % 45 > 5,
    "a border with mitres": lambda field: any(p.is_mitred for p in boarded(**field)[1]),
    "breaker boards": lambda field: any(p.role == "breaker" for p in boarded(**field)[1]),
    "rips": lambda field: any(p.is_ripped for p in boarded(**field)[1]),
    "more than fifty pieces": lambda field: len(boarded(**field)[1]) > 50,
}


@pytest.mark.parametrize("what", SEEN)
def test_the_laws_are_tried_on(what: str) -> None:
    # Raises when not one of them shows up among the decks that the laws draw.
    find(
        fields(),
        SEEN[what],
        settings=settings(max_examples=100, deadline=None, phases=(Phase.generate,), derandomize=True),
    )


def _is_hollow(outline: Any) -> bool:
    whole = shapely.Polygon(outline)
    return bool(whole.convex_hull.area > 1.1 * whole.area)


def _is_square(outline: Any) -> bool:
    return all(
        abs(x1 - x0) < 1e-6 or abs(y1 - y0) < 1e-6
        for (x0, y0), (x1, y1) in zip(outline, (*outline[1:], outline[0]), strict=True)
    )
