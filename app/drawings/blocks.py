"""What stands on the roof, and the decks themselves, as upright blocks: for the view and for shadows."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from shapely import Polygon

from app.drawings.canvas import Spot
from app.drawings.levels import level_of_fields
from app.drawings.stick_shapes import stick_corners
from app.drawings.things import box_corners
from app.job.job import Job
from app.takeoff.chain import Takeoff

_WALL_MM, _EDGE_MM = 75.0, 150.0


@dataclass(frozen=True, slots=True)
class Block:
    """An upright block: what stands on the roof, as far as the view shows it.

    Attributes
    ----------
    name : str
        What it is.
    kind : str
        ``planter``, ``bench``, ``counter``, ``furniture``, ``wall`` or ``edge``.
    footprint_mm : tuple of (float, float)
        Convex, anticlockwise. [mm]
    bottom_mm, top_mm : float
        Above datum. [mm]
    """

    name: str
    kind: str
    footprint_mm: tuple[Spot, ...]
    bottom_mm: float
    top_mm: float


def standing_blocks(job: Job, takeoff: Takeoff) -> tuple[Block, ...]:
    """Give every box, wall and piece of furniture as a block.

    Parameters
    ----------
    job : Job
        Survey, plan and choices.
    takeoff : Takeoff
        Holds the level of the decks.

    Returns
    -------
    blocks : tuple of Block
        In the order of the plan.

    References
    ----------
    Definition.
    """
    plan = job.plan
    tops = level_of_fields(job, takeoff)
    fields = [(Polygon(field.outline_mm), tops.get(field.id, 0.0)) for field in plan.deck_fields]

    def stands_at(ring: Sequence[Spot]) -> float:
        middle = Polygon(ring).centroid
        on = [top for field, top in fields if field.covers(middle)]
        return on[0] if on else takeoff.roof.height_mm(middle.x, middle.y)

    found: list[Block] = []
    kinds = (("planter", plan.planters), ("bench", plan.benches), ("counter", plan.counters))
    for kind, boxes in (*kinds, ("furniture", plan.furniture)):
        for box in boxes:
            ring = box_corners(box)
            base = stands_at(ring)
            found.append(Block(box.name or box.id, kind, ring, base, base + box.height_mm))
    for wall in plan.feature_walls:
        ring = anticlockwise(stick_corners(wall.start_mm, wall.end_mm, _WALL_MM))
        base = stands_at(ring)
        found.append(Block(wall.name or wall.id, "wall", ring, base, base + wall.height_mm))
    return tuple(found)


def edge_blocks(job: Job, takeoff: Takeoff) -> tuple[Block, ...]:
    """Give the parapets, walls and guards round the roof as blocks outside its outline.

    Parameters
    ----------
    job : Job
        Survey, plan and choices.
    takeoff : Takeoff
        Holds the surface.

    Returns
    -------
    blocks : tuple of Block
        In the order of the edges; open edges have none.

    References
    ----------
    Definition.
    """
    ring = job.survey.outline_mm
    out = -1.0 if Polygon(ring).exterior.is_ccw else 1.0
    found: list[Block] = []
    for edge in job.survey.edges:
        if edge.height_mm <= 0:
            continue
        start, end = ring[edge.from_corner], ring[(edge.from_corner + 1) % len(ring)]
        long = math.dist(start, end) or 1.0
        thick = _EDGE_MM if edge.kind in ("parapet", "wall") else _EDGE_MM / 3
        nx, ny = (
            -(end[1] - start[1]) / long * out * thick,
            (end[0] - start[0]) / long * out * thick,
        )
        corners = (start, end, (end[0] + nx, end[1] + ny), (start[0] + nx, start[1] + ny))
        base = min(takeoff.roof.height_mm(*start), takeoff.roof.height_mm(*end))
        found.append(Block(edge.id, "edge", anticlockwise(corners), base, base + edge.height_mm))
    return tuple(found)


def anticlockwise(ring: Sequence[Spot]) -> tuple[Spot, ...]:
    """Give a ring turned anticlockwise.

    Parameters
    ----------
    ring : sequence of (float, float)
        Corners, the first not repeated.

    Returns
    -------
    ring : tuple of (float, float)

    References
    ----------
    Definition.
    """
    return tuple(ring) if Polygon(ring).exterior.is_ccw else tuple(reversed(ring))
