"""What stands on the roof, and the decks themselves, as upright blocks: for the view and for shadows."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from shapely import Polygon

from app.drawings.canvas import Spot
from app.drawings.levels import level_of_fields
from app.drawings.pierced import Hole, Pierced
from app.drawings.stick_shapes import stick_corners
from app.drawings.things import box_corners
from app.job.job import Job
from app.job.plan import FeatureWall
from app.job.survey import Door
from app.takeoff.chain import Takeoff

_WALL_MM, _EDGE_MM = 75.0, 150.0
_DOOR_MM = 2032.0  # the survey gives a door no height; this one is shown: common practice, no source
_DOOR_OFF_MM = 300.0  # a door noted this near to an edge stands in it


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
    pierced : Pierced or None
        The openings of a wall or an edge; None: it has none.
    """

    name: str
    kind: str
    footprint_mm: tuple[Spot, ...]
    bottom_mm: float
    top_mm: float
    pierced: Pierced | None = None


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
        pierced = _wall_openings(wall, base)
        found.append(Block(wall.name or wall.id, "wall", ring, base, base + wall.height_mm, pierced))
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
        ring_mm = anticlockwise(corners)
        pierced = _doors_in(job.survey.doors, (start, end), (nx, ny))
        found.append(Block(edge.id, "edge", ring_mm, base, base + edge.height_mm, pierced))
    return tuple(found)


def _wall_openings(wall: FeatureWall, base_mm: float) -> Pierced | None:
    """Give the openings of a feature wall: seen from its front, its start is on the left."""
    long = math.dist(wall.start_mm, wall.end_mm)
    if not wall.openings or not long:
        return None
    ux, uy = (wall.end_mm[0] - wall.start_mm[0]) / long, (wall.end_mm[1] - wall.start_mm[1]) / long
    front = (wall.start_mm[0] + uy * _WALL_MM / 2, wall.start_mm[1] - ux * _WALL_MM / 2)
    holes = tuple(
        Hole(
            one.x_mm,
            one.x_mm + one.width_mm,
            base_mm + one.z_mm,
            base_mm + one.z_mm + one.height_mm,
            # A niche whose depth nobody gave is shown as deep as the wall.
            (one.depth_mm or _WALL_MM) if one.kind == "niche" else None,
        )
        for one in wall.openings
    )
    return Pierced(front, (ux, uy), (-uy * _WALL_MM, ux * _WALL_MM), long, holes)


def _doors_in(doors: Sequence[Door], ends: tuple[Spot, Spot], back: Spot) -> Pierced | None:
    """Give the doors that stand in one edge of the roof."""
    start, end = ends
    long = math.dist(start, end) or 1.0
    along = ((end[0] - start[0]) / long, (end[1] - start[1]) / long)
    holes = []
    for door in doors:
        dx, dy = door.x_mm - start[0], door.y_mm - start[1]
        at, off = dx * along[0] + dy * along[1], abs(dx * along[1] - dy * along[0])
        if off <= _DOOR_OFF_MM and 0 < at < long:
            half = door.width_mm / 2
            holes.append(Hole(at - half, at + half, door.threshold_mm, door.threshold_mm + _DOOR_MM))
    return Pierced(start, along, back, long, tuple(holes)) if holes else None


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
