"""What a box weighs with everything in it, and how hard it presses on its own footprint."""

from collections.abc import Iterable
from dataclasses import replace

import shapely

from app.job.job import Job
from app.takeoff.layout.records import BoxLayout, Piece

KPA_PER_KG_M2 = 9.80665e-3  # standard gravity, ISO 80000-3


def weighed(
    layout: BoxLayout, pieces: Iterable[Piece], job: Job, media_kg_m3: float = 0.0, top_kg_m2: float = 0.0
) -> BoxLayout:
    """Give a box with its mass and its pressure filled in.

    Parameters
    ----------
    layout : BoxLayout
        As built.
    pieces : iterable of Piece
        Its boards.
    job : Job
        Masses of the materials.
    media_kg_m3 : float
        Of the growing media, saturated. [kg/m3]
    top_kg_m2 : float
        Of a counter top. [kg/m2]

    Returns
    -------
    layout : BoxLayout
        Boards, frame, lining, drainage layer, saturated media, top and plants; nobody on it. The pressure
        is that mass over the footprint, as if it stood on all of it.

    Notes
    -----
    p = m · g / A with g = 9.80665 m/s².

    References
    ----------
    Definition.
    """
    boards = {board.id: board for board in job.choices.boards}
    sections = {section.id: section for section in job.choices.sections}
    small = job.choices.masses
    mass_kg = layout.media_m3 * media_kg_m3 + layout.top_m2 * top_kg_m2
    mass_kg += layout.liner_m2 * small.liner_kg_m2 + layout.drainage_m2 * small.drainage_layer_kg_m2
    mass_kg += layout.plants * small.plant_kg
    for piece in pieces:
        board = boards[piece.profile]
        share = min(1.0, piece.width_mm / board.width_mm)
        mass_kg += piece.length_mm / 1e3 * share * board.mass_kg_m
    for section, length_mm in layout.frame_mm:
        mass_kg += length_mm / 1e3 * sections[section].mass_kg_m
    area_m2 = float(shapely.Polygon(layout.outline_mm).area) / 1e6
    pressure_kpa = mass_kg * KPA_PER_KG_M2 / area_m2 if area_m2 > 0.0 else 0.0
    return replace(layout, wet_kg=mass_kg, footprint_kpa=pressure_kpa)
