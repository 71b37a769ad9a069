"""The outline of every stick under the decks as it is cut: square, or along what its slanting end meets."""

import math

import shapely

from app.drawings.canvas import Spot
from app.job.job import Job
from app.takeoff.chain import Takeoff
from app.takeoff.framing.records import Stick

_MET = ("rim", "trimmer")
_SLANT_MM = 0.5  # of length beyond the centre line, from which an end slants
_WITHIN_MM = 2.0


def stick_shapes(job: Job, takeoff: Takeoff) -> dict[str, tuple[Spot, ...]]:
    """Give the outline of each stick under the decks.

    Parameters
    ----------
    job : Job
        Sections and deck fields.
    takeoff : Takeoff
        Its sticks.

    Returns
    -------
    shapes : dict of str to tuple of corner
        By id of the stick. [mm]

    Notes
    -----
    A stick that is cut longer than its centre line is drawn on at both ends and trimmed by the rims and
    trimmers of its field; where that does not give its length to cut it stays square.

    References
    ----------
    Definition.
    """
    widths = {section.id: section.width_mm for section in job.choices.sections}
    fields = {field.id: shapely.Polygon(field.outline_mm) for field in job.plan.deck_fields}
    sticks = [stick for stick in takeoff.framing.sticks if stick.place in fields]
    shapes = {
        stick.id: stick_corners(stick.start_mm, stick.end_mm, widths[stick.section]) for stick in sticks
    }
    rooms = {
        place: field.difference(
            shapely.union_all(
                [shapely.Polygon(shapes[s.id]) for s in sticks if s.place == place and s.role in _MET]
            )
        )
        for place, field in fields.items()
    }
    return {
        stick.id: _as_cut(stick, shapes[stick.id], widths[stick.section], rooms[stick.place])
        for stick in sticks
    }


def _as_cut(
    stick: Stick, square: tuple[Spot, ...], width_mm: float, room: shapely.Geometry
) -> tuple[Spot, ...]:
    """Give one stick, trimmed where its ends slant."""
    long_mm = math.dist(stick.start_mm, stick.end_mm)
    more_mm = stick.length_mm - long_mm
    if stick.role in _MET or more_mm < _SLANT_MM or long_mm == 0.0:
        return square
    (x0, y0), (x1, y1) = stick.start_mm, stick.end_mm
    ux, uy = (x1 - x0) / long_mm, (y1 - y0) / long_mm
    middle = shapely.Point((x0 + x1) / 2, (y0 + y1) / 2)
    # Both ends may slant, or one where the other is a splice.
    for before, after in ((more_mm, more_mm), (more_mm, 0.0), (0.0, more_mm)):
        ends = ((x0 - ux * before, y0 - uy * before), (x1 + ux * after, y1 + uy * after))
        whole = shapely.Polygon(stick_corners(*ends, width_mm))
        cut = whole.intersection(room)
        part = next((one for one in shapely.get_parts(cut) if one.distance(middle) < 1.0), None)
        if part is None or part.geom_type != "Polygon" or part.area > whole.area - 1.0:
            continue
        corners = [(float(x), float(y)) for x, y in part.exterior.coords[:-1]]
        along = [x * ux + y * uy for x, y in corners]
        if abs(max(along) - min(along) - stick.length_mm) <= _WITHIN_MM:
            return tuple(corners)
    return square


def stick_corners(
    start_mm: tuple[float, float], end_mm: tuple[float, float], width_mm: float
) -> tuple[tuple[float, float], ...]:
    """Give the outline of a stick on plan.

    Parameters
    ----------
    start_mm, end_mm : tuple of float
        Its centre line. [mm]
    width_mm : float
        Its width as laid. [mm]

    Returns
    -------
    corners : tuple of (float, float)
        Four of them, round the stick. [mm]

    References
    ----------
    Definition.
    """
    start, end = start_mm, end_mm
    length = ((end[0] - start[0]) ** 2 + (end[1] - start[1]) ** 2) ** 0.5 or 1.0
    left = (-(end[1] - start[1]) / length * width_mm / 2, (end[0] - start[0]) / length * width_mm / 2)
    return (
        (start[0] + left[0], start[1] + left[1]),
        (end[0] + left[0], end[1] + left[1]),
        (end[0] - left[0], end[1] - left[1]),
        (start[0] - left[0], start[1] - left[1]),
    )
