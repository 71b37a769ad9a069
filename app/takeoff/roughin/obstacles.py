"""Where runs may lie: inside the roof outline, clear of penetrations and drains, in the deck's own axes."""

import math
from dataclasses import dataclass, field

import shapely
from shapely.geometry import Point, Polygon, box
from shapely.geometry.base import BaseGeometry

from app.job.survey import Drain, Penetration, Survey
from app.takeoff.layout.records import Layout

ROUNDING_DIGITS = 3  # a thousandth of a millimetre: hides the noise of turning, nothing else
SKIN_MM = 0.01  # added all round, so that a run may lie exactly on the edge of the free area


@dataclass(frozen=True, slots=True, eq=False)
class FreeArea:
    """The part of the roof that runs may use, in axes turned to the sleepers.

    Attributes
    ----------
    angle_deg : float
        Direction of the turned x axis on plan. [deg]
    area : shapely geometry
        Free area in turned axes.
    xs_mm, ys_mm : tuple of float
        Coordinates of roof corners and of the sides of obstacles, in turned axes. [mm]
    obstacles : tuple of (str, shapely geometry)
        What must be passed round, each by its id, in turned axes.
    boarded : shapely geometry or None
        What lies under boards out of reach, in turned axes; joints are better kept out of it.
    covered : shapely geometry or None
        Where runs are covered: under boards, in stone, along a wall, under boxes; in turned axes.
    walls_mm : tuple of ((float, float), (float, float))
        Walls and sides of the roof that lie along the turned axes, end to end. [mm]
    stretches_mm : dict of (bool, float) to list of (float, float)
        What of a line lies in the area, kept once asked: by whether it lies along x, and its place. [mm]
    """

    angle_deg: float
    area: BaseGeometry
    xs_mm: tuple[float, ...]
    ys_mm: tuple[float, ...]
    obstacles: tuple[tuple[str, BaseGeometry], ...]
    boarded: BaseGeometry | None = None
    covered: BaseGeometry | None = None
    walls_mm: tuple[tuple[tuple[float, float], tuple[float, float]], ...] = ()
    stretches_mm: dict[tuple[bool, float], list[tuple[float, float]]] = field(default_factory=dict)


def _turn(angle_deg: float) -> tuple[float, float]:
    """Give cosine and sine, exact at the quarter turns."""
    quarter = {0.0: (1.0, 0.0), 90.0: (0.0, 1.0), 180.0: (-1.0, 0.0), 270.0: (0.0, -1.0)}
    angle = angle_deg % 360.0
    return quarter.get(angle) or (math.cos(math.radians(angle)), math.sin(math.radians(angle)))


def to_turned_mm(point_mm: tuple[float, float], angle_deg: float) -> tuple[float, float]:
    """Give a plan point in axes turned to the sleepers.

    Parameters
    ----------
    point_mm : tuple of float
        On plan. [mm]
    angle_deg : float
        Direction of the turned x axis. [deg]

    Returns
    -------
    turned_mm : tuple of float
        Rounded to a thousandth of a millimetre. [mm]

    Examples
    --------
    >>> to_turned_mm((0.0, 5.0), 90.0)
    (5.0, 0.0)

    References
    ----------
    Definition.
    """
    cosine, sine = _turn(angle_deg)
    x, y = point_mm
    return (
        round(cosine * x + sine * y, ROUNDING_DIGITS) + 0.0,
        round(cosine * y - sine * x, ROUNDING_DIGITS) + 0.0,
    )


def to_plan_mm(turned_mm: tuple[float, float], angle_deg: float) -> tuple[float, float]:
    """Give a point in turned axes back on plan.

    Parameters
    ----------
    turned_mm : tuple of float
        In turned axes. [mm]
    angle_deg : float
        Direction of the turned x axis. [deg]

    Returns
    -------
    point_mm : tuple of float
        On plan. [mm]

    Examples
    --------
    >>> to_plan_mm((5.0, 0.0), 90.0)
    (0.0, 5.0)

    References
    ----------
    Definition.
    """
    cosine, sine = _turn(angle_deg)
    x, y = turned_mm
    return cosine * x - sine * y + 0.0, sine * x + cosine * y + 0.0


def main_angle_deg(survey: Survey, layout: Layout) -> float:
    """Give the direction the runs follow: the courses of the largest deck field.

    Parameters
    ----------
    survey : Survey
        Roof outline.
    layout : Layout
        Deck fields as boarded.

    Returns
    -------
    angle_deg : float
        Without a deck field, the direction of the longest side of the roof. [deg]

    References
    ----------
    Common practice, no source: runs lie along the sleepers or square across them.
    """
    if layout.fields:
        return max(layout.fields, key=lambda field: round(field.area_m2, 3)).angle_deg % 360.0
    corners = survey.outline_mm
    sides = [(a, corners[(n + 1) % len(corners)]) for n, a in enumerate(corners)]
    (ax, ay), (bx, by) = max(sides, key=lambda side: round(math.dist(*side), 3))
    return math.degrees(math.atan2(by - ay, bx - ax)) % 360.0


def _octagon(x_mm: float, y_mm: float, radius_mm: float) -> BaseGeometry:
    """Give the octagon round a circle, its flat sides on the turned axes."""
    reach = radius_mm / math.cos(math.pi / 8)
    angles = [math.pi / 8 + n * math.pi / 4 for n in range(8)]
    return Polygon([(x_mm + reach * math.cos(a), y_mm + reach * math.sin(a)) for a in angles])


def _standing(thing: Penetration, angle_deg: float) -> BaseGeometry:
    """Give a penetration with its keep-clear, in turned axes."""
    if thing.shape == "round":
        centre = to_turned_mm((thing.x_mm, thing.y_mm), angle_deg)
        return _octagon(*centre, thing.width_mm / 2 + thing.keep_clear_mm)
    half_x = thing.width_mm / 2 + thing.keep_clear_mm
    half_y = (thing.depth_mm or thing.width_mm) / 2 + thing.keep_clear_mm
    square = box(thing.x_mm - half_x, thing.y_mm - half_y, thing.x_mm + half_x, thing.y_mm + half_y)
    return Polygon([to_turned_mm(corner, angle_deg) for corner in square.exterior.coords])


def _drained(drain: Drain, angle_deg: float) -> BaseGeometry:
    """Give a drain with its keep-clear, in turned axes."""
    centre = to_turned_mm((drain.x_mm, drain.y_mm), angle_deg)
    return _octagon(*centre, max(drain.keep_clear_mm, drain.diameter_mm / 2))


def free_area(survey: Survey, angle_deg: float) -> FreeArea:
    """Give the part of the roof that runs may use.

    Parameters
    ----------
    survey : Survey
        Outline, holes, penetrations, drains.
    angle_deg : float
        Direction of the main field. [deg]

    Returns
    -------
    free : FreeArea
        In axes turned to that direction.

    Notes
    -----
    Round keep-clear areas become the octagon round them (at most 8.2 % wider at its corners).

    References
    ----------
    Definition.
    """

    def turned(ring: tuple[tuple[float, float], ...]) -> Polygon:
        return Polygon([to_turned_mm(corner, angle_deg) for corner in ring])

    roof = turned(survey.outline_mm)
    holes = [turned(hole) for hole in survey.holes_mm]
    obstacles = [(thing.id, _standing(thing, angle_deg)) for thing in survey.penetrations]
    obstacles += [(drain.id, _drained(drain, angle_deg)) for drain in survey.drains]
    blocked = shapely.union_all([*holes, *(shape for _, shape in obstacles)])
    area = roof.difference(blocked).buffer(SKIN_MM, join_style="mitre")
    corners = [corner for ring in (roof, *holes) for corner in ring.exterior.coords]
    bounds = [shape.bounds for _, shape in obstacles]
    return FreeArea(
        angle_deg=angle_deg,
        area=area,
        xs_mm=tuple(x for x, _ in corners) + tuple(x for b in bounds for x in (b[0], b[2])),
        ys_mm=tuple(y for _, y in corners) + tuple(y for b in bounds for y in (b[1], b[3])),
        obstacles=tuple(obstacles),
    )


def standing_in(free: FreeArea, turned_mm: tuple[float, float]) -> str:
    """Say what keeps a point from the free area.

    Parameters
    ----------
    free : FreeArea
        Where runs may lie.
    turned_mm : tuple of float
        The point, in turned axes. [mm]

    Returns
    -------
    reason : str
        A phrase for a sentence that begins with the thing's name.

    References
    ----------
    Definition.
    """
    point = Point(turned_mm)
    for name, shape in free.obstacles:
        if shape.buffer(-SKIN_MM).contains(point):
            return f"stands in the keep-clear of {name}"
    if not free.area.covers(point):
        return "stands outside the roof outline"
    return "is cut off by what stands on the roof"
