"""What covers the runs: boards, stone, walls and boxes; where a box can be opened, and the lines of walls."""

from collections.abc import Sequence
from dataclasses import replace

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry import LineString, Point
from shapely.geometry.base import BaseGeometry

from app.job.job import Job
from app.job.shapes import area_within, box_outline
from app.takeoff.roughin.obstacles import FreeArea, to_turned_mm

ALONG_WALL_MM = 150.0  # a run this near to a wall or parapet lies along it; common practice, no source
PANEL_REACH_MM = 200.0  # from the edge of a lift-out panel to a box beside it; common practice, no source
NARROW_MM = 75.0  # half a gap that a hand goes into; common practice, no source
SQUARE_MM = 1.0  # a wall this much out of line still lies along the axis


def stone_of(job: Job) -> BaseGeometry:
    """Give the stone beds on plan.

    Parameters
    ----------
    job : Job
        With its plan.

    Returns
    -------
    area : shapely geometry

    References
    ----------
    Definition.
    """
    return shapely.union_all([area_within(bed.outline_mm) for bed in job.plan.stone_beds])


def near_panels(job: Job) -> BaseGeometry:
    """Give the ground within reach from the lift-out panels over drains, on plan.

    Parameters
    ----------
    job : Job
        Drains and deck fields.

    Returns
    -------
    area : shapely geometry
        Also where there is no deck over a drain, and then nothing is out of reach there.

    References
    ----------
    Common practice, no source: an arm's reach of 200 mm beside the panel.
    """
    spots = [
        Point(drain.x_mm, drain.y_mm).buffer(max(drain.keep_clear_mm, drain.diameter_mm / 2) + PANEL_REACH_MM)
        for drain in job.survey.drains
    ]
    return shapely.union_all(spots)


def out_of_reach(job: Job) -> BaseGeometry:
    """Give the ground under boards that cannot be reached without taking boards up, on plan.

    Parameters
    ----------
    job : Job
        Survey and plan.

    Returns
    -------
    area : shapely geometry
        Decks without stone beds and without what lies beside lift-out panels; a gap between decks too
        narrow for a hand counts as boards.

    References
    ----------
    NFPA 70 (NEC) 314.29, from memory; common practice, no source.
    """
    decks = shapely.union_all([area_within(f.outline_mm, f.holes_mm) for f in job.plan.deck_fields])
    decks = decks.buffer(NARROW_MM, join_style="mitre").buffer(-NARROW_MM, join_style="mitre")
    return decks.difference(shapely.union_all([stone_of(job), near_panels(job)]))


def covered_area(job: Job) -> BaseGeometry:
    """Give where a run is covered: under boards, stone or boxes, or along a wall or parapet; on plan.

    Parameters
    ----------
    job : Job
        Survey and plan.

    Returns
    -------
    area : shapely geometry

    References
    ----------
    Common practice, no source.
    """
    covers = [area_within(f.outline_mm, f.holes_mm) for f in job.plan.deck_fields]
    covers += [area_within(bed.outline_mm) for bed in job.plan.stone_beds]
    covers += [box_outline(b) for b in (*job.plan.planters, *job.plan.benches, *job.plan.counters)]
    covers.append(area_within(job.survey.outline_mm).exterior.buffer(ALONG_WALL_MM))
    covers += [LineString([w.start_mm, w.end_mm]).buffer(ALONG_WALL_MM) for w in job.plan.feature_walls]
    return shapely.union_all(covers)


def _turned(area: BaseGeometry, angle_deg: float) -> BaseGeometry:
    """Give a shape in turned axes."""

    def turn(corners: NDArray[np.float64]) -> NDArray[np.float64]:
        spots = [to_turned_mm((float(x), float(y)), angle_deg) for x, y in corners]
        return np.array(spots, dtype=np.float64).reshape(-1, 2)

    return shapely.transform(area, turn)


def _walls(job: Job, angle_deg: float) -> Sequence[tuple[tuple[float, float], tuple[float, float]]]:
    """Give feature walls and sides of the roof that lie along the turned axes."""
    corners = job.survey.outline_mm
    lines = [(w.start_mm, w.end_mm) for w in job.plan.feature_walls]
    lines += [(a, corners[(n + 1) % len(corners)]) for n, a in enumerate(corners)]
    turned = [(to_turned_mm(a, angle_deg), to_turned_mm(b, angle_deg)) for a, b in lines]
    return [(a, b) for a, b in turned if min(abs(a[0] - b[0]), abs(a[1] - b[1])) < SQUARE_MM]


def with_cover(free: FreeArea, job: Job) -> FreeArea:
    """Give the free area with what covers the runs, what is out of reach, and the lines of walls.

    Parameters
    ----------
    free : FreeArea
        Where runs may lie.
    job : Job
        Survey and plan.

    Returns
    -------
    free : FreeArea
        With all of it in turned axes.

    References
    ----------
    Definition.
    """
    return replace(
        free,
        boarded=_turned(out_of_reach(job), free.angle_deg),
        covered=_turned(covered_area(job), free.angle_deg),
        walls_mm=tuple(_walls(job, free.angle_deg)),
    )
