"""Fascia: boards under the open edges of a deck field, where no wall, parapet or other field stands."""

from dataclasses import dataclass
from itertools import pairwise

import shapely

from app.job.job import Job
from app.job.plan import DeckField
from app.takeoff.layout.boxes import BOX_GAP_MM, box_board
from app.takeoff.layout.faces import clad_face
from app.takeoff.layout.pieces import Place
from app.takeoff.layout.records import Piece
from app.takeoff.roof.footprints import field_polygon
from app.takeoff.roof.records import RoofReading

# Nearer than this to a wall, a parapet or a field no fascia is seen. Common practice, no source.
HIDDEN_WITHIN_MM = 200.0
SHORTEST_MM, LOWEST_MM = 100.0, 20.0
LOOK_EVERY_MM = 250.0


@dataclass(frozen=True)
class FieldFascia:
    """The fascia of one field.

    Attributes
    ----------
    pieces : tuple of Piece
        Each side in a plane of its own.
    length_mm : float
        Along its edges. [mm]
    tallest_mm : float
        Tallest side. [mm]
    """

    pieces: tuple[Piece, ...]
    length_mm: float
    tallest_mm: float


def field_fascia(field: DeckField, job: Job, roof: RoofReading, first: int) -> FieldFascia:
    """Give the fascia boards of a field.

    Parameters
    ----------
    field : DeckField
        Outline, holes and whether it has a fascia.
    job : Job
        Survey, plan and choices.
    roof : RoofReading
        Levels of the fields, and the membrane.
    first : int
        Number of the first piece.

    Returns
    -------
    fascia : FieldFascia
        From the underside of the boards down to the least free height over the membrane at its lowest, or
        to the lower field beside it: cut to the roof on site.

    References
    ----------
    Common practice, no source.
    """
    if not field.has_fascia or roof.level is None:
        return FieldFascia((), 0.0, 0.0)
    board, rule = box_board(field.fascia or field.board, job)
    deck = next(board for board in job.choices.boards if board.id == field.board)
    under_mm = roof.level_of(field.id) - deck.thickness_mm
    hidden, lower = _round_about(field, job, roof)
    free_mm = job.choices.limits.least_free_height_mm
    pieces: tuple[Piece, ...] = ()
    length_mm = tallest_mm = 0.0
    for number, run in enumerate(_open_runs(field, hidden), start=1):
        high_mm = under_mm - free_mm - _lowest_mm(run, roof)
        for shape, level_mm in lower:
            if (
                shapely.distance(shape, shapely.Point(*run.interpolate(0.5, normalized=True).coords[0]))
                < 60.0
            ):
                high_mm = min(high_mm, under_mm - level_mm)
        if high_mm < LOWEST_MM:
            continue
        place = Place(field.id, f"{field.id}-fascia-{number}", board.id, board.width_mm)
        size = (float(run.length), high_mm)
        pieces += clad_face(place, size, BOX_GAP_MM, rule, first + len(pieces), role="fascia")
        length_mm += float(run.length)
        tallest_mm = max(tallest_mm, high_mm)
    return FieldFascia(pieces, length_mm, tallest_mm)


def _round_about(
    field: DeckField, job: Job, roof: RoofReading
) -> tuple[shapely.Geometry, list[tuple[shapely.Polygon, float]]]:
    """Give what hides an edge (walls, parapets, fields not lower), and the lower fields with their levels."""
    corners = job.survey.outline_mm
    walls = [
        shapely.LineString([corners[edge.from_corner], corners[(edge.from_corner + 1) % len(corners)]])
        for edge in job.survey.edges
        if edge.kind in ("parapet", "wall")
    ]
    own_mm = roof.level_of(field.id)
    others = [
        (field_polygon(other), roof.level_of(other.id))
        for other in job.plan.deck_fields
        if other is not field
    ]
    level = [shapely.buffer(shape, 60.0) for shape, level_mm in others if level_mm >= own_mm - LOWEST_MM]
    hidden = shapely.union_all([*(shapely.buffer(wall, HIDDEN_WITHIN_MM) for wall in walls), *level])
    return hidden, [(shape, level_mm) for shape, level_mm in others if level_mm < own_mm - LOWEST_MM]


def _open_runs(field: DeckField, hidden: shapely.Geometry) -> list[shapely.LineString]:
    """Give the stretches of the field's edges that are seen, side by side round its outline and holes."""
    found = []
    for ring in (field.outline_mm, *field.holes_mm):
        for start, end in pairwise((*ring, ring[0])):
            seen = shapely.difference(shapely.LineString([start, end]), hidden)
            found += [
                part
                for part in shapely.get_parts(seen)
                if part.geom_type == "LineString" and part.length >= SHORTEST_MM
            ]
    return found


def _lowest_mm(run: shapely.LineString, roof: RoofReading) -> float:
    """Give the lowest height of the membrane along a stretch."""
    spots = shapely.get_coordinates(shapely.segmentize(run, LOOK_EVERY_MM)).tolist()
    return min(roof.height_mm(x, y) for x, y in spots)
