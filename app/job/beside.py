"""Which things of the plan stand beside which kind of roof edge."""

from itertools import chain

from shapely import LineString
from shapely.geometry.base import BaseGeometry

from app.job.job import Job
from app.job.shapes import area_within, box_outline

# Closer than this a thing stands at the edge: a hand's work reaches it. Common practice, no source.
BESIDE_MM = 300.0


def edges_beside(job: Job, within_mm: float = BESIDE_MM) -> dict[str, tuple[str, ...]]:
    """Give the kinds of roof edge that each thing of the plan stands beside.

    Parameters
    ----------
    job : Job
        Survey and plan.
    within_mm : float
        How far from the edge still counts. [mm]

    Returns
    -------
    kinds : dict of str to tuple of str
        By id of a deck field, wall, box or bed: ``parapet``, ``wall``, ``guard``, ``open``, each once, in
        the order of the survey's edges.

    References
    ----------
    Definition.
    """
    outline = job.survey.outline_mm
    edges = [
        (edge.kind, LineString((outline[edge.from_corner], outline[(edge.from_corner + 1) % len(outline)])))
        for edge in job.survey.edges
        if edge.from_corner < len(outline)
    ]
    return {
        place: tuple(dict.fromkeys(kind for kind, line in edges if line.distance(shape) <= within_mm))
        for place, shape in _shapes(job).items()
    }


def _shapes(job: Job) -> dict[str, BaseGeometry]:
    """Give the plan shape of each thing that assemblies can hold at."""
    plan = job.plan
    found: dict[str, BaseGeometry] = {one.id: area_within(one.outline_mm) for one in plan.deck_fields}
    found |= {one.id: area_within(one.outline_mm) for one in plan.stone_beds}
    found |= {wall.id: LineString((wall.start_mm, wall.end_mm)) for wall in plan.feature_walls}
    found |= {box.id: box_outline(box) for box in chain(plan.planters, plan.benches, plan.counters)}
    return found
