"""Shadows on the roof and on decks at levels of their own, each level for itself."""

from collections.abc import Callable, Sequence

import shapely
from shapely import Polygon
from shapely.geometry.base import BaseGeometry

from app.drawings.blocks import Block, anticlockwise
from app.drawings.canvas import Spot
from app.drawings.levels import level_of_fields
from app.drawings.sun import Sun, shadow_of
from app.job.job import Job
from app.takeoff.chain import Takeoff

_ON_MM = 1.0  # a block whose foot is nearer than this to a level stands on it


def deck_blocks(job: Job, takeoff: Takeoff) -> tuple[Block, ...]:
    """Give the decks as blocks from the roof to their boards, cut into convex parts.

    Parameters
    ----------
    job : Job
        Survey, plan and choices.
    takeoff : Takeoff
        Holds the surface and the level of the decks.

    Returns
    -------
    blocks : tuple of Block
        Of kind ``deck``; empty while no level is known.

    References
    ----------
    Definition.
    """
    tops = level_of_fields(job, takeoff)
    found: list[Block] = []
    for field in job.plan.deck_fields:
        if field.id not in tops:
            continue
        drawn = Polygon(field.outline_mm, field.holes_mm)
        for part in shapely.constrained_delaunay_triangles(drawn).geoms:
            ring = anticlockwise(tuple(part.exterior.coords)[:-1])
            base = min(takeoff.roof.height_mm(x, y) for x, y in ring)
            found.append(Block(field.name or field.id, "deck", ring, base, tops[field.id]))
    return tuple(found)


def shadows_on(
    level: Callable[[Spot], float],
    ground: BaseGeometry,
    casters: Sequence[Block],
    sun: Sun,
    north_deg: float,
) -> BaseGeometry:
    """Give what of one level lies in shadow.

    Parameters
    ----------
    level : callable
        Height of the level at a spot, above datum in millimetres; a roof's fall is taken as level under
        each block.
    ground : shapely geometry
        How far the level goes on plan.
    casters : sequence of Block
        What may stand in the sun; whatever does not reach above the level casts nothing on it.
    sun : Sun
        Where the sun stands.
    north_deg : float
        Direction of north, clockwise from up the sheet. [deg]

    Returns
    -------
    shadows : shapely geometry
        All shadows on the level as one, cut to the ground.

    References
    ----------
    Definition; see `shadow_of`.
    """
    fallen = []
    for block in casters:
        middle = Polygon(block.footprint_mm).centroid
        at = level((middle.x, middle.y))
        if block.top_mm <= at + _ON_MM:
            continue
        foot = max(0.0, block.bottom_mm - at)
        ring = shadow_of(
            block.footprint_mm, block.top_mm - at, sun, north_deg, foot if foot > _ON_MM else 0.0
        )
        if ring:
            fallen.append(Polygon(ring))
    return shapely.union_all(fallen).intersection(ground)
