"""Plan shapes of what the job file describes, for the checks on it."""

from collections.abc import Sequence
from typing import Protocol

from shapely import Point, Polygon, affinity, box

from app.job.plan import Box
from app.job.survey import Penetration

Ring = Sequence[tuple[float, float]]


class Spot(Protocol):
    """Anything of the job file that has an id and one place on plan."""

    @property
    def id(self) -> str: ...

    @property
    def x_mm(self) -> float: ...

    @property
    def y_mm(self) -> float: ...


def area_within(outline: Ring, holes: Sequence[Ring] = ()) -> Polygon:
    """Give the polygon of an outline and its holes, whichever way they turn.

    Parameters
    ----------
    outline : sequence of tuple of float
        Corners. [mm]
    holes : sequence of sequence of tuple of float
        Corners of each hole. [mm]

    Returns
    -------
    polygon : Polygon
        May be unsound; the caller looks first.

    References
    ----------
    Definition.
    """
    return Polygon(outline, holes)


def box_outline(thing: Box) -> Polygon:
    """Give the rectangle that a box covers on plan.

    Parameters
    ----------
    thing : Box
        Placed by its centre, turned anticlockwise by its angle.

    Returns
    -------
    polygon : Polygon

    References
    ----------
    Definition.
    """
    half_length, half_width = thing.length_mm / 2, thing.width_mm / 2
    flat = box(
        thing.x_mm - half_length, thing.y_mm - half_width, thing.x_mm + half_length, thing.y_mm + half_width
    )
    return affinity.rotate(flat, thing.angle_deg, origin=(thing.x_mm, thing.y_mm))


def penetration_outline(thing: Penetration) -> Polygon:
    """Give what a penetration covers on plan, without its keep-clear.

    Parameters
    ----------
    thing : Penetration
        Round or square.

    Returns
    -------
    polygon : Polygon

    References
    ----------
    Definition.
    """
    if thing.shape == "round":
        return Point(thing.x_mm, thing.y_mm).buffer(thing.width_mm / 2)
    half_width, half_depth = thing.width_mm / 2, (thing.depth_mm or thing.width_mm) / 2
    x, y = thing.x_mm, thing.y_mm
    return box(x - half_width, y - half_depth, x + half_width, y + half_depth)
