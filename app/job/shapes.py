"""Plan shapes of what the job file describes, for the checks on it."""

from collections.abc import Iterator, Sequence
from typing import Any, Protocol

from shapely import Point, Polygon, affinity, box

from app.job.job import Job
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


def placed_at(job: Job, place: str) -> tuple[float, float] | None:
    """Give where on the plan a thing of the job file lies.

    Parameters
    ----------
    job : Job
        Survey, plan and choices.
    place : str
        Id of the thing.

    Returns
    -------
    at_mm : tuple of float or None
        Its spot, its centre, or a spot within its outline; None for what has no place. [mm]

    References
    ----------
    Definition.
    """
    for thing in _things(job):
        if thing.id != place:
            continue
        if hasattr(thing, "x_mm"):
            return thing.x_mm, thing.y_mm
        if hasattr(thing, "outline_mm"):
            spot = area_within(thing.outline_mm).representative_point()
            return spot.x, spot.y
        if hasattr(thing, "start_mm"):
            return (thing.start_mm[0] + thing.end_mm[0]) / 2, (thing.start_mm[1] + thing.end_mm[1]) / 2
        if hasattr(thing, "from_corner"):
            ring = job.survey.outline_mm
            start, end = ring[thing.from_corner], ring[(thing.from_corner + 1) % len(ring)]
            return (start[0] + end[0]) / 2, (start[1] + end[1]) / 2
    return None


def _things(job: Job) -> Iterator[Any]:
    """Go through everything of the survey and the plan that has an id."""
    for part in (job.survey, job.plan):
        for name in type(part).model_fields:
            value = getattr(part, name)
            if isinstance(value, tuple):
                yield from (thing for thing in value if hasattr(thing, "id"))
