"""A deck field turned so that its courses run along x and its sleepers along y.

Everything is framed in these local axes and turned back at the end; so a turned plan gives the same frame.

        y ▲   sleepers run this way
          │
          └──▶ x   courses run this way
"""

import math
from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np
import shapely
from shapely import MultiPolygon, Polygon
from shapely.affinity import rotate
from shapely.geometry.base import BaseGeometry

from app.takeoff.layout.records import Ring

_DECIMALS = 6  # of a millimetre: turning leaves noise far below what a rule can show
_TINY_MM2 = 1.0


@dataclass(frozen=True, slots=True)
class Axes:
    """The local axes of one deck field.

    Attributes
    ----------
    angle_deg : float
        Direction of the courses on plan. [deg]
    """

    angle_deg: float

    def to_plan(self, x_mm: float, y_mm: float) -> tuple[float, float]:
        """Give the place on plan of a place in local axes."""
        return _turned(x_mm, y_mm, self.angle_deg)

    def to_local(self, x_mm: float, y_mm: float) -> tuple[float, float]:
        """Give the place in local axes of a place on plan."""
        return _turned(x_mm, y_mm, -self.angle_deg)

    def shape_to_local(self, shape: BaseGeometry) -> BaseGeometry:
        """Give a shape on plan in local axes."""
        turned = rotate(shape, -self.angle_deg, origin=(0.0, 0.0))
        return shapely.transform(turned, lambda corners: np.round(corners, _DECIMALS))


def _turned(x_mm: float, y_mm: float, angle_deg: float) -> tuple[float, float]:
    """Give a point turned anticlockwise about the origin; right angles turn exactly."""
    quarter = angle_deg / 90.0
    if quarter == round(quarter):
        cosine, sine = ((1, 0), (0, 1), (-1, 0), (0, -1))[round(quarter) % 4]
    else:
        cosine, sine = math.cos(math.radians(angle_deg)), math.sin(math.radians(angle_deg))  # type: ignore[assignment]
    return (
        round(x_mm * cosine - y_mm * sine, _DECIMALS) + 0.0,
        round(x_mm * sine + y_mm * cosine, _DECIMALS) + 0.0,
    )


def shape_of(parts: Iterable[Iterable[Ring]]) -> MultiPolygon:
    """Give the shape of parts as the layout room writes them.

    Parameters
    ----------
    parts : iterable of iterable of ring
        Each part: its outer ring, then its holes.

    Returns
    -------
    shape : MultiPolygon

    References
    ----------
    Definition.
    """
    polygons = []
    for part in parts:
        outer, *holes = part
        polygons.append(Polygon(outer, holes))
    return as_parts(shapely.union_all(polygons))


def as_parts(shape: BaseGeometry) -> MultiPolygon:
    """Give the areas of any shape, without its lines, points and slivers.

    Parameters
    ----------
    shape : shapely geometry
        The answer of any overlay.

    Returns
    -------
    areas : MultiPolygon
        Left to right, then bottom to top.

    References
    ----------
    Definition.
    """
    areas = [
        part
        for part in getattr(shape, "geoms", (shape,))
        if isinstance(part, Polygon) and not part.is_empty and part.area > _TINY_MM2
    ]
    return MultiPolygon(sorted(areas, key=lambda part: part.bounds))
