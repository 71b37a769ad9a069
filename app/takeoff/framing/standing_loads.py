"""What stands on the sleepers of a deck: the boards, and every box or thing set down on them."""

from dataclasses import dataclass

from shapely import Polygon

from app.job.job import Job
from app.job.plan import Box
from app.takeoff.framing.deck_frame import FieldParts
from app.takeoff.layout.records import BoxLayout, Layout
from app.takeoff.roof.footprints import box_ring, field_polygon

KN_PER_KG = 9.80665e-3  # standard gravity
WATER_KG_M3 = 1000.0  # fresh water, rounded up from 62.4 lb/ft3
_LEAST_OVERLAP_MM2 = 1e4


@dataclass(frozen=True, slots=True)
class DeckLoad:
    """The load on one kind of place of a deck.

    Attributes
    ----------
    place : str
        The field for its open part, else what stands there.
    dead_kpa, live_kpa : float
        Over the place. [kPa]
    """

    place: str
    dead_kpa: float
    live_kpa: float


def board_kpa(parts: FieldParts) -> float:
    """Give the weight of the boards of a field.

    Parameters
    ----------
    parts : FieldParts
        With its board and side gap.

    Returns
    -------
    dead_kpa : float
        Gaps taken as boarded. [kPa]

    References
    ----------
    Definition.
    """
    return parts.board.mass_kg_m / (parts.board.width_mm / 1000) * KN_PER_KG


def deck_loads(job: Job, parts: FieldParts, layout: Layout, live_kpa: float) -> tuple[DeckLoad, ...]:
    """Give the loads that the sleepers of a field must bear, place by place.

    Parameters
    ----------
    job : Job
        What stands on the deck.
    parts : FieldParts
        The field.
    layout : Layout
        Boxes as built.
    live_kpa : float
        The live load asked for. [kPa]

    Returns
    -------
    loads : tuple of DeckLoad
        The open deck first. Nobody can stand where a planter or counter stands, so it carries no live load;
        a bench and loose furniture carry theirs and the live load.

    References
    ----------
    Definition; that a box presses evenly on its footprint is common practice, no source.
    """
    boards = board_kpa(parts)
    ground = field_polygon(parts.field)
    found = [DeckLoad(parts.field.id, boards, live_kpa)]
    built = {box.box: box for box in layout.boxes}
    boxes: tuple[tuple[Box, float, float], ...] = (
        *((box, _planter_kg(job, layout, built.get(box.id), box.medium), 0.0) for box in job.plan.planters),
        *((box, _counter_kg(job, layout, built.get(box.id), box.top), 0.0) for box in job.plan.counters),
        *((box, _box_kg(job, layout, built.get(box.id)), live_kpa) for box in job.plan.benches),
        *((box, box.mass_kg + box.water_m3 * WATER_KG_M3, live_kpa) for box in job.plan.furniture),
    )
    for box, mass_kg, live in boxes:
        if Polygon(box_ring(box)).intersection(ground).area > _LEAST_OVERLAP_MM2:
            area_m2 = box.length_mm * box.width_mm / 1e6
            found.append(DeckLoad(box.id, boards + mass_kg * KN_PER_KG / area_m2, live))
    return tuple(found)


def _box_kg(job: Job, layout: Layout, box: BoxLayout | None) -> float:
    """Give the mass of a box's boards and frame."""
    if box is None:
        return 0.0
    boards = {board.id: board for board in job.choices.boards}
    sections = {section.id: section for section in job.choices.sections}
    clad = sum(
        piece.length_mm
        / 1000
        * boards[piece.profile].mass_kg_m
        * piece.width_mm
        / boards[piece.profile].width_mm
        for piece in layout.pieces
        if piece.place == box.box and piece.profile in boards
    )
    return clad + sum(length / 1000 * sections[section].mass_kg_m for section, length in box.frame_mm)


def _planter_kg(job: Job, layout: Layout, box: BoxLayout | None, medium: str) -> float:
    """Give the mass of a planter with its media saturated."""
    media = {medium.id: medium for medium in job.choices.media}
    return _box_kg(job, layout, box) + (box.media_m3 * media[medium].saturated_kg_m3 if box else 0.0)


def _counter_kg(job: Job, layout: Layout, box: BoxLayout | None, top: str) -> float:
    """Give the mass of a counter with its top."""
    tops = {top.id: top for top in job.choices.tops}
    return _box_kg(job, layout, box) + (box.top_m2 * tops[top].mass_kg_m2 if box else 0.0)
