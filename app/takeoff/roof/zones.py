"""The whole membrane: the roof and its zones, each from its own spot heights and folds."""

from collections.abc import Iterable, Sequence
from dataclasses import replace

import numpy as np
import shapely

from app.job.survey import Fold, SpotHeight, Survey
from app.takeoff.roof.surface import PLANE_TOLERANCE_MM, Floats, Surface, fit_surface

# A fold is followed by corners this far apart, so that triangles do not reach across it.
FOLD_STEP_MM = 250.0
# Points of a fold nearer than this to a spot height are left to the spot height, which was measured.
SAME_SPOT_MM = 50.0


def fit_roof(survey: Survey, tolerance_mm: float = PLANE_TOLERANCE_MM) -> Surface:
    """Give the membrane of the whole roof, zone by zone.

    Parameters
    ----------
    survey : Survey
        Spot heights, zones and folds.
    tolerance_mm : float
        Largest distance from the best plane at which the plane is still used. [mm]

    Returns
    -------
    surface : Surface
        Of the roof round the zones; `height_mm` and `residual_mm` speak for the whole roof. When the zones
        leave no spot height over, the first zone's surface is taken for what lies between them.

    Notes
    -----
    A spot height belongs to the zone it names, else to the zone it lies in. A fold belongs where its
    middle lies; it is followed by points every 250 mm, which the triangles then keep to.

    References
    ----------
    Definition; points close together along a line make a Delaunay triangulation follow it.
    """
    shapes = {zone.id: shapely.Polygon(zone.outline_mm) for zone in survey.zones}
    spots: dict[str | None, list[SpotHeight]] = {}
    for spot in survey.spot_heights:
        spots.setdefault(spot.zone or _zone_at(shapes, spot.x_mm, spot.y_mm), []).append(spot)
    for fold in survey.folds:
        middle = shapely.LineString([fold.start_mm, fold.end_mm]).centroid
        mine = spots.setdefault(_zone_at(shapes, middle.x, middle.y), [])
        mine.extend(_along(fold, mine))
    if not shapes:
        return fit_surface(spots[None], tolerance_mm)
    zones = tuple(
        (name, shape, fit_surface(spots[name], tolerance_mm))
        for name, shape in shapes.items()
        if name in spots
    )
    main = fit_surface(spots[None], tolerance_mm) if None in spots else zones[0][2]
    for _, shape, _ in zones:
        shapely.prepare(shape)

    def height_mm(x_mm: float, y_mm: float) -> float:
        for _, shape, surface in zones:
            if shapely.intersects_xy(shape, x_mm, y_mm):
                return surface.height_mm(x_mm, y_mm)
        return main.height_mm(x_mm, y_mm)

    residual_mm = max(surface.residual_mm for surface in (main, *(zone[2] for zone in zones)))
    return replace(
        main, height_mm=height_mm, residual_mm=residual_mm, zones=zones, own_height_mm=main.height_mm
    )


def _zone_at(shapes: dict[str, shapely.Polygon], x_mm: float, y_mm: float) -> str | None:
    """Give the zone that a place lies in."""
    return next((name for name, shape in shapes.items() if shapely.intersects_xy(shape, x_mm, y_mm)), None)


def _along(fold: Fold, measured: Iterable[SpotHeight]) -> list[SpotHeight]:
    """Give points along a fold as if they were measured, save where something was."""
    known = shapely.MultiPoint([(spot.x_mm, spot.y_mm) for spot in measured])
    (x0, y0), (x1, y1) = fold.start_mm, fold.end_mm
    steps = max(1, int(np.ceil(np.hypot(x1 - x0, y1 - y0) / FOLD_STEP_MM)))
    found = []
    for step in range(steps + 1):
        share = step / steps
        x, y = x0 + share * (x1 - x0), y0 + share * (y1 - y0)
        if known.is_empty or shapely.distance(known, shapely.Point(x, y)) > SAME_SPOT_MM:
            z = fold.start_z_mm + share * (fold.end_z_mm - fold.start_z_mm)
            found.append(SpotHeight.model_construct(id=f"{fold.id}-{step}", x_mm=x, y_mm=y, z_mm=z))
    return found


def heights_mm(surface: Surface, places_mm: Floats) -> Floats:
    """Give the height of the membrane at many places at once.

    Parameters
    ----------
    surface : Surface
        The membrane.
    places_mm : array
        x and y, one row each. [mm]

    Returns
    -------
    heights_mm : array
        The same as `surface.height_mm` gives one by one. [mm]

    References
    ----------
    Definition.
    """
    heights = _own_heights(surface, places_mm)
    for _, shape, zone in reversed(surface.zones):
        within = shapely.intersects_xy(shape, places_mm)
        heights[within] = _own_heights(zone, places_mm[within])
    return heights


def _own_heights(surface: Surface, places: Floats) -> Floats:
    """Give heights of one surface, without its zones."""
    plane = surface.plane
    offsets = places - (plane.x0_mm, plane.y0_mm)
    flat: Floats = plane.level_mm + offsets @ np.array([plane.rise_x, plane.rise_y])
    if surface.method == "plane" or not len(places):
        return flat
    corners = np.array(surface.corners_mm)
    heights, is_found = flat, np.zeros(len(places), dtype=bool)
    for a, b, c in surface.triangles:
        (ax, ay, az), (bx, by, bz), (cx, cy, cz) = corners[a], corners[b], corners[c]
        area = (bx - ax) * (cy - ay) - (by - ay) * (cx - ax)
        dx, dy = places[:, 0] - ax, places[:, 1] - ay
        to_b = (dx * (cy - ay) - dy * (cx - ax)) / area
        to_c = ((bx - ax) * dy - (by - ay) * dx) / area
        within = (to_b >= -1e-9) & (to_c >= -1e-9) & (to_b + to_c <= 1 + 1e-9) & ~is_found
        heights[within] = (az + to_b * (bz - az) + to_c * (cz - az))[within]
        is_found |= within
    for number in np.flatnonzero(~is_found):
        heights[number] = _outside(surface, float(places[number, 0]), float(places[number, 1]))
    return heights


def _outside(surface: Surface, x_mm: float, y_mm: float) -> float:
    """Give the height where no triangle lies, from the surface itself and not from a zone of it."""
    return (surface.own_height_mm or surface.height_mm)(x_mm, y_mm)


def slopes_of(surface: Surface) -> Sequence[tuple[float, float, float, float, float]]:
    """Give the steepness of every part of the membrane.

    Parameters
    ----------
    surface : Surface
        The membrane of the whole roof.

    Returns
    -------
    slopes : sequence of tuple of float
        Middle x and y [mm], area on plan [mm2], rise along x and along y. One for a plane, with the area of
        the spot heights' hull.

    References
    ----------
    Definition.
    """
    found: list[tuple[float, float, float, float, float]] = []
    zones = [zone[2] for zone in surface.zones if zone[2].plane is not surface.plane]
    for part in (surface, *zones):
        plane = part.plane
        if part.method == "plane":
            hull = shapely.convex_hull(shapely.MultiPoint([corner[:2] for corner in part.corners_mm]))
            found.append((plane.x0_mm, plane.y0_mm, float(hull.area), plane.rise_x, plane.rise_y))
            continue
        corners = np.array(part.corners_mm)[np.array(part.triangles)]
        one, other = corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0]
        across = one[:, 0] * other[:, 1] - one[:, 1] * other[:, 0]
        rise_x = (one[:, 2] * other[:, 1] - other[:, 2] * one[:, 1]) / across
        rise_y = (other[:, 2] * one[:, 0] - one[:, 2] * other[:, 0]) / across
        middles = corners[:, :, :2].mean(axis=1)
        rows = np.column_stack((middles, np.abs(across) / 2.0, rise_x, rise_y)).tolist()
        found += [tuple(row) for row in rows]
    return found
