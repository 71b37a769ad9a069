"""The membrane between the spot heights: one plane where one fits, else triangles."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np
import numpy.typing as npt
import shapely

from app.job.survey import SpotHeight

# Spot heights are read to ±3 mm with a levelling instrument; a plane that misses one by more than
# twice that is not the shape of the roof. Common practice, no source.
PLANE_TOLERANCE_MM = 6.0

Floats = npt.NDArray[np.float64]


@dataclass(frozen=True)
class Plane:
    """A sloping plane, z = `level_mm` + `rise_x` (x − x0) + `rise_y` (y − y0).

    Attributes
    ----------
    x0_mm, y0_mm : float
        Middle of the spot heights. [mm]
    level_mm : float
        Height there. [mm]
    rise_x, rise_y : float
        Rise per unit of length along each axis.
    """

    x0_mm: float
    y0_mm: float
    level_mm: float
    rise_x: float
    rise_y: float

    def height_mm(self, x_mm: float, y_mm: float) -> float:
        """Give the height of the plane at a place."""
        return self.level_mm + self.rise_x * (x_mm - self.x0_mm) + self.rise_y * (y_mm - self.y0_mm)


@dataclass(frozen=True)
class Surface:
    """The membrane.

    Attributes
    ----------
    method : str
        ``plane`` or ``triangulated``.
    plane : Plane
        Best plane by least squares, whatever the method.
    plane_residual_mm : float
        Largest distance of a spot height from the best plane. [mm]
    residual_mm : float
        Largest distance of a spot height from the surface used. [mm]
    height_mm : callable
        Height above datum at a place. [mm]
    corners_mm : array
        Spot heights with repeated places averaged: x, y, z. [mm]
    triangles : tuple of (int, int, int)
        Corners of each triangle; empty for a plane.
    is_in_line : bool
        Whether all spot heights stand in one line, so that the cross fall is unknown.
    zones : tuple of (str, shapely.Polygon, Surface)
        Parts of the roof with a surface of their own: id, outline and surface.
    own_height_mm : callable or None
        Height of this surface as if it had no zones; None when it has none. [mm]
    """

    method: Literal["plane", "triangulated"]
    plane: Plane
    plane_residual_mm: float
    residual_mm: float
    height_mm: Callable[[float, float], float]
    corners_mm: tuple[tuple[float, float, float], ...]
    triangles: tuple[tuple[int, int, int], ...]
    is_in_line: bool
    zones: tuple[tuple[str, shapely.Polygon, "Surface"], ...] = ()
    own_height_mm: Callable[[float, float], float] | None = None


def fit_surface(spots: Sequence[SpotHeight], tolerance_mm: float = PLANE_TOLERANCE_MM) -> Surface:
    """Give the membrane that the spot heights describe.

    Parameters
    ----------
    spots : sequence of SpotHeight
        At least three.
    tolerance_mm : float
        Largest distance from the best plane at which the plane is still used. [mm]

    Returns
    -------
    surface : Surface
        A plane when every spot height lies within the tolerance of it; otherwise Delaunay triangles
        through the spot heights.

    Notes
    -----
    Outside the outermost spot heights the triangulated surface is carried on from the nearest point of
    their hull with the slope of the best plane, so that it has no step there.

    References
    ----------
    Linear least squares; Delaunay triangulation with barycentric interpolation. The tolerance is common
    practice, no source.
    """
    places, heights, spread_mm = _merge_repeats(spots)
    plane, is_in_line = _best_plane(places, heights)
    fitted = np.array([plane.height_mm(x, y) for x, y in places])
    residual_mm = float(np.max(np.abs(heights - fitted))) + spread_mm
    corners = tuple((float(x), float(y), float(z)) for (x, y), z in zip(places, heights, strict=True))
    if residual_mm <= tolerance_mm or is_in_line:
        return Surface("plane", plane, residual_mm, residual_mm, plane.height_mm, corners, (), is_in_line)
    triangles = _triangles(places)
    height_mm = _interpolator(places, heights, triangles, plane)
    return Surface(
        "triangulated", plane, residual_mm, spread_mm, height_mm, corners, triangles, is_in_line=False
    )


def _merge_repeats(spots: Sequence[SpotHeight]) -> tuple[Floats, Floats, float]:
    """Average heights read twice at one place; also give the largest distance from that average."""
    read: dict[tuple[float, float], list[float]] = {}
    for spot in spots:
        read.setdefault((round(spot.x_mm, 3), round(spot.y_mm, 3)), []).append(spot.z_mm)
    means = [sum(values) / len(values) for values in read.values()]
    spread = max(abs(z - mean) for mean, values in zip(means, read.values(), strict=True) for z in values)
    return np.array(list(read), dtype=np.float64), np.array(means, dtype=np.float64), spread


def _best_plane(places: Floats, heights: Floats) -> tuple[Plane, bool]:
    """Fit by least squares about the middle; say whether the places stand in one line."""
    middle = places.mean(axis=0)
    centred = places - middle
    spread = np.linalg.svd(centred, compute_uv=False)
    # Places within a thousandth of a line say nothing about the fall across it.
    is_in_line = len(places) < 3 or bool(spread[1] <= 1e-3 * max(spread[0], 1.0))
    rises, *_ = np.linalg.lstsq(centred, heights - heights.mean(), rcond=1e-3 if is_in_line else None)
    plane = Plane(float(middle[0]), float(middle[1]), float(heights.mean()), float(rises[0]), float(rises[1]))
    return plane, is_in_line


def _triangles(places: Floats) -> tuple[tuple[int, int, int], ...]:
    """Give the Delaunay triangles as corner numbers."""
    numbers = {(float(x), float(y)): number for number, (x, y) in enumerate(places)}
    parts = shapely.get_parts(shapely.delaunay_triangles(shapely.multipoints(places)))
    rings = shapely.get_coordinates(parts).reshape(-1, 4, 2)[:, :3]
    return tuple(
        (numbers[tuple(a.tolist())], numbers[tuple(b.tolist())], numbers[tuple(c.tolist())])
        for a, b, c in rings
    )


def _interpolator(
    places: Floats, heights: Floats, triangles: tuple[tuple[int, int, int], ...], plane: Plane
) -> Callable[[float, float], float]:
    """Give the height by barycentric weights, carried on outside with the slope of the plane."""
    corners = np.array(triangles)
    a, b, c = places[corners[:, 0]], places[corners[:, 1]], places[corners[:, 2]]
    ab, ac = b - a, c - a
    inverse = 1.0 / (ab[:, 0] * ac[:, 1] - ab[:, 1] * ac[:, 0])
    hull = shapely.get_coordinates(shapely.convex_hull(shapely.multipoints(places)))
    start, along = hull[:-1], hull[1:] - hull[:-1]
    squared = (along**2).sum(axis=1)

    def inside(x_mm: float, y_mm: float) -> tuple[float, float]:
        dx, dy = x_mm - a[:, 0], y_mm - a[:, 1]
        to_b = (dx * ac[:, 1] - dy * ac[:, 0]) * inverse
        to_c = (ab[:, 0] * dy - ab[:, 1] * dx) * inverse
        weights = np.stack((1.0 - to_b - to_c, to_b, to_c))
        least = weights.min(axis=0)
        best = int(least.argmax())
        return float(weights[:, best] @ heights[corners[best]]), float(least[best])

    def height_mm(x_mm: float, y_mm: float) -> float:
        height, least = inside(x_mm, y_mm)
        if least >= -1e-9:
            return height
        offset = np.array((x_mm, y_mm)) - start
        share = np.clip((offset * along).sum(axis=1) / squared, 0.0, 1.0)
        nearest = start + share[:, None] * along
        distance = ((np.array((x_mm, y_mm)) - nearest) ** 2).sum(axis=1)
        x, y = (float(value) for value in nearest[int(distance.argmin())])
        return inside(x, y)[0] + plane.height_mm(x_mm, y_mm) - plane.height_mm(x, y)

    return height_mm
