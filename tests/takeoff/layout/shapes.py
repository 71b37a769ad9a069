"""Random decks for the laws of the layout room."""

import math
from typing import Any

import numpy as np
import shapely
from hypothesis import assume
from hypothesis import strategies as st

from app.takeoff.layout.lay_out import lay_out
from app.takeoff.layout.records import FieldLayout, Layout, Piece
from app.takeoff.roof.read_roof import read_roof
from tests.builders import a_deck_field, a_job, a_plan, a_survey

MIDDLE = (3000.0, 3000.0)
Corners = tuple[tuple[float, float], ...]


@st.composite
def star_outlines(draw: st.DrawFn, least: int = 3, most: int = 9) -> Corners:
    """Any simple polygon seen whole from its middle, up to about 9 m across."""
    count = draw(st.integers(least, most))
    turns = [draw(st.floats(0.15, 1.0)) for _ in range(count)]
    angles = np.cumsum(turns) / sum(turns) * 2 * math.pi
    corners = []
    for angle in angles:
        reach = draw(st.floats(900.0, 4500.0))
        corners.append((MIDDLE[0] + reach * math.cos(angle), MIDDLE[1] + reach * math.sin(angle)))
    polygon = shapely.Polygon(corners)
    assume(polygon.is_valid and polygon.area > 1e6)
    return tuple(corners)


@st.composite
def angular_outlines(draw: st.DrawFn) -> Corners:
    """A rectangle with up to four pieces cut out of its sides: L, U, T, Z and combs."""
    width, depth = draw(st.floats(2500.0, 8000.0)), draw(st.floats(2000.0, 6000.0))
    left, low = MIDDLE[0] - width / 2, MIDDLE[1] - depth / 2
    shape = shapely.box(left, low, left + width, low + depth)
    for _ in range(draw(st.integers(0, 4))):
        wide, deep = draw(st.floats(200.0, 0.6 * width)), draw(st.floats(200.0, 0.6 * depth))
        x = left + draw(st.floats(0.0, 1.0)) * (width - wide)
        y = low if draw(st.booleans()) else low + depth - deep
        shape = shape.difference(shapely.box(x, y, x + wide, y + deep))
    shape = max(shapely.get_parts(shape), key=lambda part: float(part.area)).buffer(0)
    shape = shape.buffer(-20.0, join_style="mitre").buffer(20.0, join_style="mitre")  # no needle-thin arms
    assume(shape.geom_type == "Polygon" and not shape.interiors and shape.area > 1e6)
    return tuple((float(x), float(y)) for x, y in shape.exterior.coords[:-1])


@st.composite
def fields(draw: st.DrawFn) -> dict[str, Any]:
    """A deck field of any outline, angle, border and board, perhaps with a hole."""
    outline = draw(st.one_of(star_outlines(), angular_outlines()))
    hole = turned(((-250, -180), (250, -180), (250, 180), (-250, 180)), draw(st.floats(-90, 90)))
    has_hole = draw(st.booleans()) and shapely.Polygon(outline).buffer(-60).contains(shapely.Polygon(hole))
    return {
        "outline_mm": outline,
        "holes_mm": (hole,) if has_hole else (),
        "angle_deg": draw(st.floats(-90.0, 90.0)),
        "border_courses": draw(st.integers(0, 3)),
        "border_corner": draw(st.sampled_from(("mitred", "butted"))),
        "side_gap_mm": draw(st.sampled_from((3.0, 5.0, 8.0))),
        "longest_run_mm": draw(st.sampled_from((None, 1500.0, 2500.0))),
        "board": draw(st.sampled_from(("pine", "plastic"))),
        "joints": draw(st.sampled_from(("breaker", "breaker", "staggered", "aligned"))),
    }


def turned(corners: Corners, angle_deg: float, about: tuple[float, float] = (0.0, 0.0)) -> Corners:
    """Corners turned about a point, then moved to the middle when that is the origin."""
    cos, sin = math.cos(math.radians(angle_deg)), math.sin(math.radians(angle_deg))
    x0, y0 = about
    move = MIDDLE if about == (0.0, 0.0) else about
    return tuple(
        (
            move[0] + (x - x0) * cos - (y - y0) * sin,
            move[1] + (x - x0) * sin + (y - y0) * cos,
        )
        for x, y in corners
    )


def boarded(
    survey: dict[str, Any] | None = None, **field: Any
) -> tuple[FieldLayout, tuple[Piece, ...], Layout]:
    """One deck field laid out."""
    job = a_job(survey=a_survey(**(survey or {})), plan=a_plan(deck_fields=(a_deck_field(**field),)))
    layout = lay_out(job, read_roof(job))
    return layout.fields[0], layout.pieces, layout


def polygons(pieces: tuple[Piece, ...]) -> Any:
    """The pieces' outlines as an array of shapes."""
    return np.array([shapely.Polygon(piece.outline_mm) for piece in pieces], dtype=object)


def lengths(pieces: tuple[Piece, ...], role: str) -> list[float]:
    """Lengths of the pieces of one role, longest first, to a tenth of a millimetre."""
    return sorted((round(piece.length_mm, 1) for piece in pieces if piece.role == role), reverse=True)


def rectangle(length: float, width: float) -> Corners:
    """A rectangle from the origin."""
    return ((0.0, 0.0), (length, 0.0), (length, width), (0.0, width))
