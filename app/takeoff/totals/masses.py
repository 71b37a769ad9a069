"""What each thing drawn weighs, part by part, as it stands on the roof: wet and saturated."""

import math
from collections.abc import Mapping

from app.job.job import Job
from app.takeoff.framing.records import Framing
from app.takeoff.layout.records import BoxLayout, Layout, Piece

Parts = tuple[tuple[str, float], ...]

WATER_KG_M3 = 1000.0  # 62.4 pcf: U.S. Navy salvage handbook, appendix E, table E-1


def masses_by_place(job: Job, layout: Layout, framing: Framing) -> Mapping[str, Parts]:
    """Give the mass of everything that stays, by place and part.

    Parameters
    ----------
    job : Job
        Materials with their masses.
    layout : Layout
        Pieces, boxes, beds.
    framing : Framing
        Sticks and pads.

    Returns
    -------
    masses : mapping of str to tuple of (str, float)
        Place → label and mass. [kg]

    Notes
    -----
    Boards by length × width left after ripping; media saturated; stone wet. Fasteners, tape, cable,
    lining, shims and plants have no mass in the choices and are left out.

    References
    ----------
    Definition.
    """
    masses: dict[str, list[tuple[str, float]]] = {}
    for label, by_place in (
        ("boards", _boards(job, layout)),
        ("frame", _sticks(job, framing)),
        ("pads", _pads(job, framing)),
        ("saturated media", _media(job, layout)),
        ("top", _tops(job, layout)),
        ("wet stone", _stone(job, layout)),
        ("furniture", {thing.id: thing.mass_kg for thing in job.plan.furniture}),
        ("water", {thing.id: thing.water_m3 * WATER_KG_M3 for thing in job.plan.furniture}),
    ):
        for place, mass_kg in by_place.items():
            if mass_kg > 0.0:
                masses.setdefault(place, []).append((label, mass_kg))
    return {place: tuple(parts) for place, parts in masses.items()}


def piece_kg(piece: Piece, mass_kg_m: float, board_mm: float) -> float:
    """Give the mass of one piece of board.

    Parameters
    ----------
    piece : Piece
        Its length and width after ripping.
    mass_kg_m : float
        Mass of the full profile. [kg/m]
    board_mm : float
        Width of the full profile. [mm]

    Returns
    -------
    mass_kg : float
        Longest-point length × share of the width. [kg]

    References
    ----------
    Definition.
    """
    return piece.length_mm / 1000 * mass_kg_m * min(1.0, piece.width_mm / board_mm)


def _boards(job: Job, layout: Layout) -> Mapping[str, float]:
    """Sum the boards by place."""
    boards = {board.id: board for board in job.choices.boards}
    found: list[tuple[str, float]] = []
    for piece in layout.pieces:
        board = boards.get(piece.profile)
        if board is not None:
            found.append((piece.place, piece_kg(piece, board.mass_kg_m, board.width_mm)))
    return _summed(found)


def _sticks(job: Job, framing: Framing) -> Mapping[str, float]:
    """Sum the sticks by place."""
    kg_m = {section.id: section.mass_kg_m for section in job.choices.sections}
    return _summed([(stick.place, stick.length_mm / 1000 * kg_m[stick.section]) for stick in framing.sticks])


def _pads(job: Job, framing: Framing) -> Mapping[str, float]:
    """Sum the pads and packers by place."""
    mass_kg = {pad.id: pad.mass_kg for pad in job.choices.pads}
    pedestal_kg = {pedestal.id: pedestal.mass_kg for pedestal in job.choices.pedestals}
    packer_kg = {packer.item: packer.mass_kg for pad in job.choices.pads for packer in pad.packers}
    return _summed(
        [
            (
                spot.place,
                pedestal_kg[spot.pedestal]
                if spot.pedestal
                else mass_kg[spot.pad] + math.fsum(packer_kg[item] for item in spot.packers),
            )
            for spot in framing.pads
        ]
    )


def _media(job: Job, layout: Layout) -> Mapping[str, float]:
    """Saturated mass of the media by planter."""
    kg_m3 = {medium.id: medium.saturated_kg_m3 for medium in job.choices.media}
    of_planter = {planter.id: kg_m3[planter.medium] for planter in job.plan.planters}
    return {box.box: box.media_m3 * of_planter[box.box] for box in _boxes(layout, "planter")}


def _tops(job: Job, layout: Layout) -> Mapping[str, float]:
    """Mass of the counter tops by counter."""
    kg_m2 = {top.id: top.mass_kg_m2 for top in job.choices.tops}
    of_counter = {counter.id: kg_m2[counter.top] for counter in job.plan.counters}
    return {box.box: box.top_m2 * of_counter[box.box] for box in _boxes(layout, "counter")}


def _stone(job: Job, layout: Layout) -> Mapping[str, float]:
    """Wet mass of the stone by bed."""
    kg_m3 = {stone.id: stone.wet_kg_m3 for stone in job.choices.stones}
    of_bed = {bed.id: kg_m3[bed.stone] for bed in job.plan.stone_beds}
    return {bed.bed: bed.volume_m3 * of_bed[bed.bed] for bed in layout.beds}


def _boxes(layout: Layout, kind: str) -> list[BoxLayout]:
    """Give the boxes of one kind."""
    return [box for box in layout.boxes if box.kind == kind]


def _summed(found: list[tuple[str, float]]) -> Mapping[str, float]:
    """Sum by place, in the order found."""
    by_place: dict[str, list[float]] = {}
    for place, mass_kg in found:
        by_place.setdefault(place, []).append(mass_kg)
    return {place: math.fsum(masses) for place, masses in by_place.items()}
