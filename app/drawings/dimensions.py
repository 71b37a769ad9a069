"""Dimension strings: a thin line beside an edge, oblique ticks at its ends, the length above it."""

import math
from collections.abc import Sequence

from app.drawings.canvas import HAIR_MM, SMALL_MM, Canvas, Pen, Spot
from app.measure.show import format_length

_PEN = Pen(HAIR_MM)
_SHORTEST_MM = 150.0  # a shorter edge is not dimensioned: its letters would not fit


def dimension(canvas: Canvas, start: Spot, end: Spot, off_mm: float, system: str) -> None:
    """Draw one dimension line to the left of the way from start to end.

    Parameters
    ----------
    canvas : Canvas
        Drawing to put it in.
    start, end : tuple of float
        The two points measured.
    off_mm : float
        Distance of the line from the points, on paper; to the left when positive. [mm]
    system : str
        ``imperial`` or ``metric``.

    References
    ----------
    ISO 129-1 (oblique strokes as terminators), after its scope page; details common practice, no source.
    """
    length = math.dist(start, end)
    if length < _SHORTEST_MM:
        return
    along = ((end[0] - start[0]) / length, (end[1] - start[1]) / length)
    left = (-along[1], along[0])
    off = canvas.paper_mm(off_mm)
    first = (start[0] + left[0] * off, start[1] + left[1] * off)
    last = (end[0] + left[0] * off, end[1] + left[1] * off)
    over = math.copysign(canvas.paper_mm(1.2), off_mm)
    for foot, head in ((start, first), (end, last)):
        near = (foot[0] + left[0] * over, foot[1] + left[1] * over)
        far = (head[0] + left[0] * over, head[1] + left[1] * over)
        canvas.line((near, far), "dimension", _PEN)
        _tick(canvas, head, along, left)
    canvas.line((first, last), "dimension", _PEN)
    _figure(canvas, first, last, left, format_length(length, system))


def dimension_ring(canvas: Canvas, ring: Sequence[Spot], off_mm: float, system: str) -> None:
    """Dimension every side of an outline, on its outer side.

    Parameters
    ----------
    canvas : Canvas
        Drawing to put them in.
    ring : sequence of tuple
        Corners in order; the first is not repeated.
    off_mm : float
        Distance of the lines from the outline, on paper. [mm]
    system : str
        ``imperial`` or ``metric``.

    References
    ----------
    Definition.
    """
    is_anticlockwise = _signed_area(ring) > 0
    for index, start in enumerate(ring):
        end = ring[(index + 1) % len(ring)]
        dimension(canvas, start, end, -off_mm if is_anticlockwise else off_mm, system)


def _tick(canvas: Canvas, at: Spot, along: Spot, left: Spot) -> None:
    half = canvas.paper_mm(0.9)
    slant = ((along[0] + left[0]) * half, (along[1] + left[1]) * half)
    ends = ((at[0] - slant[0], at[1] - slant[1]), (at[0] + slant[0], at[1] + slant[1]))
    canvas.line(ends, "tick", Pen(HAIR_MM * 2))


def _figure(canvas: Canvas, first: Spot, last: Spot, left: Spot, words: str) -> None:
    """Write the length above the line, readable from below or from the right of the sheet."""
    turn = math.degrees(math.atan2(last[1] - first[1], last[0] - first[0]))
    is_turned_over = not -89.9 < turn <= 90.1
    up = -1.0 if is_turned_over else 1.0
    lift = canvas.paper_mm(SMALL_MM * 0.72) * up
    middle = ((first[0] + last[0]) / 2 + left[0] * lift, (first[1] + last[1]) / 2 + left[1] * lift)
    canvas.text(middle, words, SMALL_MM, turn_deg=turn + 180 if is_turned_over else turn)


def _signed_area(ring: Sequence[Spot]) -> float:
    following = [*ring[1:], ring[0]]
    return sum(a[0] * b[1] - b[0] * a[1] for a, b in zip(ring, following, strict=True)) / 2
