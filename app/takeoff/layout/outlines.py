"""Shapes in and out: what is drawn as polygons, polygons as plain rings, and turning between frames."""

import math
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

import numpy as np
import numpy.typing as npt
import shapely

from app.job.survey import Penetration
from app.takeoff.layout.records import Ring

# Straighter than this is no corner.
STRAIGHT_RAD = 1e-4
# Overlays are rounded to a ten-thousandth of a millimetre; see `common`.
GRID_MM, GRID_PLACES = 1e-4, 4
Floats = npt.NDArray[np.float64]
Shapes = npt.NDArray[np.object_]


@dataclass(frozen=True)
class Frame:
    """A frame of reference turned about a point; its x axis runs along the boards.

    Attributes
    ----------
    x_mm, y_mm : float
        Its origin on plan. [mm]
    angle_deg : float
        Its x axis, anticlockwise from that of the plan. [deg]
    """

    x_mm: float
    y_mm: float
    angle_deg: float

    def into(self, shapes: Any) -> Any:
        """Give shapes of the plan as seen in this frame."""
        turn = self._turn()
        return shapely.transform(shapes, lambda places: (places - (self.x_mm, self.y_mm)) @ turn)

    def out(self, shapes: Any) -> Any:
        """Give shapes of this frame as they lie on the plan."""
        turn = self._turn()
        return shapely.transform(shapes, lambda places: places @ turn.T + (self.x_mm, self.y_mm))

    def _turn(self) -> Floats:
        """Give the matrix whose columns are the frame's axes."""
        angle = math.radians(self.angle_deg)
        return np.array([[math.cos(angle), -math.sin(angle)], [math.sin(angle), math.cos(angle)]])


def keep_clear(penetrations: Iterable[Penetration]) -> shapely.Geometry:
    """Give the area that stays free of boards round what stands up through the roof.

    Parameters
    ----------
    penetrations : iterable of Penetration
        Round or square to the axes of the plan, each with its own clearance.

    Returns
    -------
    area : shapely.Geometry
        Empty when there are none. [mm]

    References
    ----------
    Definition.
    """
    return joined([_clearance(penetration) for penetration in penetrations])


def _clearance(penetration: Penetration) -> shapely.Polygon:
    """Give one penetration grown by its clearance."""
    x, y, more = penetration.x_mm, penetration.y_mm, penetration.keep_clear_mm
    half_w = penetration.width_mm / 2.0 + more
    half_d = (penetration.depth_mm or penetration.width_mm) / 2.0 + more
    if penetration.shape == "round":
        return shapely.buffer(shapely.Point(x, y), half_w, quad_segs=16)
    return shapely.box(x - half_w, y - half_d, x + half_w, y + half_d)


def common(one: Any, other: Any) -> Any:
    """Give what two shapes, or arrays of them, have in common.

    Parameters
    ----------
    one, other : shapely.Geometry or array
        Any.

    Returns
    -------
    shape : shapely.Geometry or array
        On the grid.

    Notes
    -----
    Courses share whole edges with the area they fill, nearly but not quite in one line once the plan is
    turned. Without a grid the overlay now and then drops a whole board there.

    References
    ----------
    Snap rounding.
    """
    return shapely.intersection(one, other, grid_size=GRID_MM)


def less(one: Any, other: shapely.Geometry) -> Any:
    """Give what a shape, or an array of them, has beyond another.

    Parameters
    ----------
    one : shapely.Geometry or array
        What is kept.
    other : shapely.Geometry
        What is taken away.

    Returns
    -------
    shape : shapely.Geometry or array
        On the grid; unchanged when nothing is taken away.

    References
    ----------
    Snap rounding.
    """
    if shapely.is_empty(other):
        return one
    return shapely.difference(one, other, grid_size=GRID_MM)


def joined(shapes: Any) -> shapely.Geometry:
    """Give several shapes as one.

    Parameters
    ----------
    shapes : sequence of shapely.Geometry
        Any number.

    Returns
    -------
    shape : shapely.Geometry
        On the grid; empty when there are none.

    References
    ----------
    Snap rounding.
    """
    return shapely.union_all(shapes, grid_size=GRID_MM)


def polygons_of(shape: Any) -> Shapes:
    """Give the polygons in a shape or an array of shapes, leaving points and lines out.

    Parameters
    ----------
    shape : shapely.Geometry or array
        Any result of an overlay.

    Returns
    -------
    polygons : array of shapely.Polygon
        In the order found.

    References
    ----------
    Definition.
    """
    parts: Shapes = shapely.get_parts(shapely.get_parts(shape))
    polygons: Shapes = parts[(shapely.get_type_id(parts) == 3) & ~shapely.is_empty(parts)]
    return polygons


def rings_of(polygon: shapely.Polygon) -> tuple[Ring, ...]:
    """Give a polygon as plain rings.

    Parameters
    ----------
    polygon : shapely.Polygon
        Any.

    Returns
    -------
    rings : tuple of ring
        Outer first, then the holes; the first corner is not repeated. [mm]

    References
    ----------
    Definition.
    """
    lines = [polygon.exterior, *polygon.interiors]
    return tuple(open_ring(shapely.get_coordinates(line)) for line in lines)


def open_ring(places: Floats) -> Ring:
    """Give a closed line of coordinates as a ring whose first corner is not repeated.

    Parameters
    ----------
    places : array
        Coordinates, first equal to last. [mm]

    Returns
    -------
    ring : tuple of corner
        [mm]

    References
    ----------
    Definition.
    """
    return tuple((x, y) for x, y in places[:-1].tolist())


def without_straight_corners(places: Floats) -> Floats:
    """Give the corners of an open ring at which it really turns.

    Parameters
    ----------
    places : array
        Corners, the first not repeated. [mm]

    Returns
    -------
    corners : array
        Those where the direction changes by more than a ten-thousandth of a radian. [mm]

    References
    ----------
    Definition.
    """
    apart = np.hypot(*(places - np.roll(places, 1, axis=0)).T) > 1e-6
    places = places[apart]
    before = places - np.roll(places, 1, axis=0)
    after = np.roll(places, -1, axis=0) - places
    cross = before[:, 0] * after[:, 1] - before[:, 1] * after[:, 0]
    dot = (before * after).sum(axis=1)
    corners: Floats = places[np.abs(np.arctan2(cross, dot)) > STRAIGHT_RAD]
    return corners
