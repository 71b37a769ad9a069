"""Where visible pieces cross the timber beneath them: the places they are fixed."""

import math
from collections.abc import Sequence
from itertools import pairwise

import numpy as np
import shapely
from shapely import LineString

from app.takeoff.framing.records import Crossing, Stick
from app.takeoff.layout.records import Piece

_ALONG_DEG = 30.0  # timber nearer than this to the length of a piece lies along it
_TOUCH_MM = 5.0  # a shorter meeting is a corner, not a crossing


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
    lines = shapely.linestrings([[stick.start_mm, stick.end_mm] for stick in sticks])
    outlines = [shapely.Polygon(piece.outline_mm) for piece in pieces]
    found_in_piece, found_of_stick = shapely.STRtree(lines).query(outlines, predicate="intersects")
    shared = shapely.intersection(np.asarray(outlines)[found_in_piece], lines[found_of_stick])
    met: dict[int, list[tuple[Stick, LineString]]] = {}
    for piece, stick, part in zip(found_in_piece, found_of_stick, shared, strict=True):
        for line in getattr(part, "geoms", (part,)):
            if isinstance(line, LineString) and line.length >= _TOUCH_MM:
                met.setdefault(int(piece), []).append((sticks[int(stick)], line))
    return tuple(
        crossing
        for number in sorted(met)
        for crossing in _on_piece(pieces[number], outlines[number], met[number], spacing_mm)
    )


def _on_piece(
    piece: Piece, outline: shapely.Polygon, met: list[tuple[Stick, LineString]], spacing_mm: float
) -> list[Crossing]:
    """Give the crossings of one piece, in the order its timber is listed."""
    ux, uy = direction_of(outline)
    across: list[tuple[Stick, LineString]] = []
    along: list[tuple[Stick, LineString]] = []
    for stick, line in sorted(met, key=lambda item: item[0].id):
        (x0, y0), (x1, y1) = line.coords[0], line.coords[-1]
        sine = abs(ux * (y1 - y0) - uy * (x1 - x0)) / line.length
        (along if sine < math.sin(math.radians(_ALONG_DEG)) else across).append((stick, line))
    found = [_crossing(piece, stick, line, line.length / 2) for stick, line in across]
    if not along:
        return found
    stick, line = max(along, key=lambda item: (round(item[1].length, 3), item[0].id))
    stations = math.ceil(line.length / spacing_mm - 1e-9) + 1
    if len(across) >= stations - 1:
        return found
    end_mm = min(line.length / 4, 40.0)
    step_mm = (line.length - 2 * end_mm) / (stations - 1)
    return found + [_crossing(piece, stick, line, end_mm + step_mm * index) for index in range(stations)]


def _crossing(piece: Piece, stick: Stick, line: LineString, along_mm: float) -> Crossing:
    """Give one crossing, so far along the shared line."""
    place = line.interpolate(along_mm)
    return Crossing(piece=piece.id, stick=stick.id, x_mm=float(place.x), y_mm=float(place.y))


def direction_of(outline: shapely.Polygon) -> tuple[float, float]:
    """Give the direction of the longest edge of an outline.

    Parameters
    ----------
    outline : shapely.Polygon
        Of a board.

    Returns
    -------
    direction : tuple of float
        Unit vector.

    Examples
    --------
    >>> direction_of(shapely.box(0, 0, 1000, 140))
    (1.0, 0.0)

    References
    ----------
    Definition.
    """
    edges = list(pairwise(outline.exterior.coords))
    (x0, y0), (x1, y1) = max(edges, key=lambda edge: round(math.dist(*edge), 3))
    length = math.dist((x0, y0), (x1, y1))
    ux, uy = (x1 - x0) / length, (y1 - y0) / length
    return (ux, uy) if (ux, uy) >= (0.0, 0.0) else (-ux, -uy)
