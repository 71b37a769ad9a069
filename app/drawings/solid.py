"""The whole as triangles and lines in space, for a view that is turned in the browser."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import shapely
from shapely.geometry.base import BaseGeometry

from app.drawings.blocks import Block, edge_blocks, standing_blocks
from app.drawings.canvas import Spot
from app.drawings.levels import level_of_fields
from app.drawings.pierced import Place, pierced_faces
from app.job.job import Job
from app.job.shapes import area_within
from app.takeoff.chain import Takeoff


@dataclass(frozen=True, slots=True)
class SolidPart:
    """One thing in space.

    Attributes
    ----------
    name : str
        What it is.
    kind : str
        ``roof``, ``deck``, ``bed`` or as of a block.
    triangles_mm : tuple of Place
        Three corners after three: its faces. [mm]
    lines_mm : tuple of Place
        Two ends after two: what is drawn of its edges, and of the boards. [mm]
    """

    name: str
    kind: str
    triangles_mm: tuple[Place, ...]
    lines_mm: tuple[Place, ...]


def solid_parts(job: Job, takeoff: Takeoff) -> tuple[SolidPart, ...]:
    """Give the roof, the decks with their boards, the beds, and everything that stands.

    Parameters
    ----------
    job : Job
        Survey, plan and choices.
    takeoff : Takeoff
        Its pieces and levels are what is shown.

    Returns
    -------
    parts : tuple of SolidPart
        At true size, heights above datum.

    Notes
    -----
    The roof is shown through the heights at its corners. Doors, windows and niches are cut out of walls;
    what a wall is thick stands in no record and is shown as 75 mm, an edge as 150 mm, a door as 2032 mm high.

    References
    ----------
    Definition.
    """
    return (
        _roof(job, takeoff),
        *_beds(takeoff),
        *_decks(job, takeoff),
        *(_block(block) for block in (*standing_blocks(job, takeoff), *edge_blocks(job, takeoff))),
    )


def _roof(job: Job, takeoff: Takeoff) -> SolidPart:
    survey, height = job.survey, takeoff.roof.height_mm
    corners = [(x, y, height(x, y)) for x, y in _cut(area_within(survey.outline_mm, survey.holes_mm))]
    rings = (survey.outline_mm, *survey.holes_mm)
    lines = [place for ring in rings for place in _round([(x, y, height(x, y)) for x, y in ring])]
    return SolidPart("roof", "roof", tuple(corners), tuple(lines))


def _beds(takeoff: Takeoff) -> Iterable[SolidPart]:
    height = takeoff.roof.height_mm
    for bed in takeoff.layout.beds:
        shown = [(x, y, height(x, y) + 1.0) for x, y in _cut(area_within(bed.outline_mm))]
        lines = _round([(x, y, height(x, y) + 1.0) for x, y in bed.outline_mm])
        yield SolidPart(bed.bed, "bed", tuple(shown), tuple(lines))


def _decks(job: Job, takeoff: Takeoff) -> Iterable[SolidPart]:
    tops, height = level_of_fields(job, takeoff), takeoff.roof.height_mm
    for field in job.plan.deck_fields:
        if field.id not in tops:
            continue
        top = tops[field.id]
        faces: list[Place] = [(x, y, top) for x, y in _cut(area_within(field.outline_mm, field.holes_mm))]
        lines: list[Place] = []
        for ring in (field.outline_mm, *field.holes_mm):
            foot = [(x, y, height(x, y)) for x, y in ring]
            head = [(x, y, top) for x, y in ring]
            faces += _sides(foot, head)
            lines += [*_round(head), *_round(foot)]
        for piece in takeoff.layout.pieces:
            if piece.plane == "plan" and piece.place == field.id:
                lines += _round([(x, y, top) for x, y in piece.outline_mm])
        yield SolidPart(field.name or field.id, "deck", tuple(faces), tuple(lines))


def _block(block: Block) -> SolidPart:
    if block.pierced:
        faces, edges = pierced_faces(block.pierced, block.bottom_mm, block.top_mm)
        return SolidPart(block.name, block.kind, faces, edges)
    foot = [(x, y, block.bottom_mm) for x, y in block.footprint_mm]
    head = [(x, y, block.top_mm) for x, y in block.footprint_mm]
    fan = [place for at in range(1, len(head) - 1) for place in (head[0], head[at], head[at + 1])]
    posts = [place for ends in zip(foot, head, strict=True) for place in ends]
    return SolidPart(
        block.name, block.kind, (*_sides(foot, head), *fan), (*_round(head), *_round(foot), *posts)
    )


def _cut(area: BaseGeometry) -> list[Spot]:
    """Cut an area into triangles, seen from above anticlockwise: three corners after three."""
    triangles = shapely.constrained_delaunay_triangles(area).geoms
    return [spot for part in triangles for spot in shapely.normalize(part).reverse().exterior.coords[:-1]]


def _sides(foot: Sequence[Place], head: Sequence[Place]) -> list[Place]:
    """Give the upright faces between two rings, two triangles to each side."""
    found: list[Place] = []
    for at, low in enumerate(foot):
        after = (at + 1) % len(foot)
        found += [low, foot[after], head[after], low, head[after], head[at]]
    return found


def _round(ring: Sequence[Place]) -> list[Place]:
    """Give the sides of a ring as pairs of ends."""
    return [place for at, start in enumerate(ring) for place in (start, ring[(at + 1) % len(ring)])]
