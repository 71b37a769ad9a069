"""Where visible pieces cross the timber beneath them: the places they are fixed."""

import math
from collections.abc import Iterable, Sequence
from itertools import pairwise
from typing import Any

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import LineString

from app.takeoff.framing.records import Crossing, Stick
from app.takeoff.layout.records import Piece

_ALONG_DEG = 30.0  # timber nearer than this to the length of a piece lies along it
_TOUCH_MM = 5.0  # a shorter meeting is a corner, not a crossing
_PARALLEL = 1e-7  # sine; below it a line runs along an edge: turned corners are rounded to 1e-6 mm
_ON_EDGE_MM = 1e-3  # a board that ends on a centre line bears there, whatever the last decimals say
_MOST_CORNERS = 8  # of an outline that is clipped in bulk

Corners = Sequence[tuple[float, float]]
Met = tuple[int, float, float, float, float]  # number of the stick, and the ends of what it shares


def crossings_of(pieces: Sequence[Piece], sticks: Sequence[Stick], spacing_mm: float) -> tuple[Crossing, ...]:
    """Give every crossing of the pieces and sticks of one place, in one plane.

    Parameters
    ----------
    pieces : sequence of Piece
        Boards of one deck field, or cladding of one wall.
    sticks : sequence of Stick
        Timber of the same place.
    spacing_mm : float
        Distance between fixings where a piece lies along the timber. [mm]

    Returns
    -------
    crossings : tuple of Crossing
        Piece by piece. A piece that lies along timber (a border on its rim, a breaker board on its
        sleepers) is fixed there at the spacing, unless enough timber crosses it.

    Notes
    -----
    A crossing is the middle of the part of a stick's centre line that lies within the piece's outline.

    References
    ----------
    Geometry; fixing at every crossing is common practice, no source.
    """
    if not pieces or not sticks:
        return ()
    rings = [_open(piece.outline_mm) for piece in pieces]
    ends = np.array([(*stick.start_mm, *stick.end_mm) for stick in sticks])
    lines = shapely.linestrings(ends.reshape(-1, 2, 2))
    outlines = _polygons(rings)
    tree = shapely.STRtree(lines)
    of_piece, of_stick = tree.query(outlines, predicate="dwithin", distance=_ON_EDGE_MM)
    in_bulk = np.array([len(ring) <= _MOST_CORNERS and _is_convex(ring) for ring in rings])[of_piece]
    met: dict[int, list[Met]] = {}
    _clip_in_bulk(rings, ends, of_piece[in_bulk], of_stick[in_bulk], met)
    _clip_each(outlines, lines, of_piece[~in_bulk], of_stick[~in_bulk], met)
    names = [stick.id for stick in sticks]
    return tuple(
        crossing
        for number in sorted(met)
        for crossing in _on_piece(pieces[number].id, rings[number], met[number], names, spacing_mm)
    )


def _open(ring: Corners) -> Corners:
    """Give the corners of an outline, the first only once."""
    return ring[:-1] if ring[0] == ring[-1] else ring


def _polygons(rings: Sequence[Corners]) -> NDArray[Any]:
    """Give outlines as polygons, those with as many corners made together."""
    found = np.empty(len(rings), dtype=object)
    by_count: dict[int, list[int]] = {}
    for number, ring in enumerate(rings):
        by_count.setdefault(len(ring), []).append(number)
    for numbers in by_count.values():
        found[numbers] = shapely.polygons(np.array([rings[number] for number in numbers]))
    return found


def _is_convex(ring: Corners) -> bool:
    """Say whether an outline turns one way only."""
    turns = []
    (ax, ay), (bx, by) = ring[-2], ring[-1]
    for cx, cy in ring:
        turns.append((bx - ax) * (cy - by) - (by - ay) * (cx - bx))
        ax, ay, bx, by = bx, by, cx, cy
    return min(turns) >= 0.0 or max(turns) <= 0.0


def _clip_in_bulk(
    rings: Sequence[Corners],
    ends: NDArray[np.float64],
    of_piece: NDArray[np.int64],
    of_stick: NDArray[np.int64],
    met: dict[int, list[Met]],
) -> None:
    """Note what centre lines share with convex outlines: each edge cuts off what lies outside it."""
    if not len(of_piece):
        return
    most = max(len(rings[number]) for number in of_piece)
    # Each outline once, filled up to as many corners, then dealt out: a piece meets many sticks.
    asked, of_asked = np.unique(of_piece, return_inverse=True)
    filled = [(*ring, *[ring[-1]] * (most - len(ring))) for ring in (rings[number] for number in asked)]
    corners = np.array(filled)[of_asked]
    edges = np.roll(corners, -1, axis=1) - corners
    x, y = corners[..., 0], corners[..., 1]
    turn = np.sign((x * np.roll(y, -1, axis=1) - np.roll(x, -1, axis=1) * y).sum(axis=1))[:, None]
    start, along = ends[of_stick, None, :2], ends[of_stick, None, 2:] - ends[of_stick, None, :2]
    inside = turn * _cross(edges, start - corners)
    gain = turn * _cross(edges, along)
    edge_mm, along_mm = np.hypot(edges[..., 0], edges[..., 1]), np.hypot(along[..., 0], along[..., 1])
    is_parallel = np.abs(gain) <= _PARALLEL * edge_mm * along_mm
    with np.errstate(divide="ignore", invalid="ignore"):
        at = -inside / gain
    enters = np.where(~is_parallel & (gain > 0), at, 0.0).max(axis=1).clip(min=0.0)
    leaves = np.where(~is_parallel & (gain < 0), at, 1.0).min(axis=1).clip(max=1.0)
    is_outside = (is_parallel & (inside < -_ON_EDGE_MM * edge_mm)).any(axis=1)
    is_met = ~is_outside & ((leaves - enters) * along_mm[:, 0] >= _TOUCH_MM)
    first, last = (start[:, 0] + share[:, None] * along[:, 0] for share in (enters, leaves))
    shared = np.hstack([first, last])[is_met].tolist()
    for piece, stick, row in zip(of_piece[is_met].tolist(), of_stick[is_met].tolist(), shared, strict=True):
        met.setdefault(piece, []).append((stick, *row))


def _cross(left: NDArray[np.float64], right: NDArray[np.float64]) -> NDArray[np.float64]:
    """Give the cross products of plane vectors."""
    found: NDArray[np.float64] = left[..., 0] * right[..., 1] - left[..., 1] * right[..., 0]
    return found


def _clip_each(
    outlines: NDArray[Any],
    lines: NDArray[Any],
    of_piece: NDArray[np.int64],
    of_stick: NDArray[np.int64],
    met: dict[int, list[Met]],
) -> None:
    """Note what centre lines share with notched outlines."""
    wider = shapely.buffer(outlines[of_piece], _ON_EDGE_MM, join_style="mitre")
    shared = shapely.intersection(wider, lines[of_stick])
    for piece, stick, part in zip(of_piece.tolist(), of_stick.tolist(), shared, strict=True):
        for line in getattr(part, "geoms", (part,)):
            if isinstance(line, LineString) and line.length >= _TOUCH_MM:
                met.setdefault(piece, []).append((stick, *line.coords[0], *line.coords[-1]))


def _on_piece(
    piece: str, ring: Corners, met: Iterable[Met], names: Sequence[str], spacing_mm: float
) -> list[Crossing]:
    """Give the crossings of one piece, in the order its timber is listed."""
    ux, uy = direction_of(ring)
    slant = math.sin(math.radians(_ALONG_DEG))
    found: list[Crossing] = []
    along: list[tuple[float, str, Met]] = []
    for part in sorted(met, key=lambda part: names[part[0]]):
        stick, x0, y0, x1, y1 = part
        length = math.hypot(x1 - x0, y1 - y0)
        if abs(ux * (y1 - y0) - uy * (x1 - x0)) < slant * length:
            along.append((length, names[stick], part))
        else:
            found.append(Crossing(piece, names[stick], (x0 + x1) / 2, (y0 + y1) / 2))
    if not along:
        return found
    length, name, (_, x0, y0, x1, y1) = max(along, key=lambda item: (round(item[0], 3), item[1]))
    stations = math.ceil(length / spacing_mm - 1e-9) + 1
    if len(found) >= stations - 1:
        return found
    end_mm = min(length / 4, 40.0)
    step_mm = (length - 2 * end_mm) / (stations - 1)
    shares = [(end_mm + step_mm * index) / length for index in range(stations)]
    return found + [Crossing(piece, name, x0 + (x1 - x0) * at, y0 + (y1 - y0) * at) for at in shares]


def direction_of(ring: Corners) -> tuple[float, float]:
    """Give the direction of the longest edge of an outline.

    Parameters
    ----------
    ring : sequence of corner
        Of a board.

    Returns
    -------
    direction : tuple of float
        Unit vector.

    Examples
    --------
    >>> direction_of([(0.0, 0.0), (1000.0, 0.0), (1000.0, 140.0), (0.0, 140.0)])
    (1.0, 0.0)

    References
    ----------
    Definition.
    """
    edges = pairwise([*ring, ring[0]])
    (x0, y0), (x1, y1) = max(edges, key=lambda edge: round(math.dist(*edge), 3))
    length = math.dist((x0, y0), (x1, y1))
    ux, uy = (x1 - x0) / length, (y1 - y0) / length
    return (ux, uy) if (ux, uy) >= (0.0, 0.0) else (-ux, -uy)
