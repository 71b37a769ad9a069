"""Benches and counters: frame, cladding, seat boards or top."""

import numpy as np
import shapely

from app.job.choices import Section
from app.job.job import Job
from app.job.plan import Bench, Counter
from app.takeoff.layout.box_mass import weighed
from app.takeoff.layout.boxes import BOX_GAP_MM, bays, box_board, carcass_of, clad_faces_of, frame_sticks
from app.takeoff.layout.faces import face_courses
from app.takeoff.layout.outlines import Frame
from app.takeoff.layout.pieces import Cuts, Place, drop_slivers, make_pieces
from app.takeoff.layout.records import BoxLayout, Piece
from app.takeoff.roof.footprints import box_ring

# A longer lid is too heavy to lift with one hand. Common practice, no source.
LONGEST_LID_MM = 1200.0
BATTENS_PER_LID = 2


def build_bench(bench: Bench, job: Job) -> tuple[BoxLayout, tuple[Piece, ...]]:
    """Build a bench.

    Parameters
    ----------
    bench : Bench
        Size, board, frame, clad faces.
    job : Job
        Survey and choices.

    Returns
    -------
    layout : BoxLayout
        The same board clads it and makes the seat.
    pieces : tuple of Piece
        Seat boards along the length, on plan, then cladding under the seat. With lids the seat is parted
        so that none is longer than 1200 mm.

    References
    ----------
    Definition.
    """
    board, rule = box_board(bench.board, job)
    section = next(section for section in job.choices.sections if section.id == bench.frame)
    ring = box_ring(bench)
    frame = Frame(ring[0][0], ring[0][1], bench.angle_deg)
    lids = bays(bench.length_mm, LONGEST_LID_MM) if bench.has_lid else 0
    each_mm = (bench.length_mm - BOX_GAP_MM * (max(lids, 1) - 1)) / max(lids, 1)
    shapes, _ = drop_slivers(face_courses((each_mm, bench.width_mm), board.width_mm, BOX_GAP_MM, rule))
    place = Place(bench.id, "plan", board.id, board.width_mm)
    seat: tuple[Piece, ...] = ()
    for number in range(max(lids, 1)):
        moved = shapely.transform(
            shapes, lambda places, along=number * (each_mm + BOX_GAP_MM): places + np.array([along, 0.0])
        )
        seat += make_pieces(place, (Cuts("seat", frame, moved),), len(seat) + 1)
    face_mm = max(bench.height_mm - board.thickness_mm, 0.0)
    clad, clad_m2 = clad_faces_of(bench, bench.clad_faces, face_mm, board, rule, len(seat) + 1)
    carcass = carcass_of(bench, bench.clad_faces, board.thickness_mm, board.thickness_mm)
    layout = BoxLayout(
        box=bench.id,
        kind="bench",
        outline_mm=ring,
        frame_mm=frame_sticks(carcass, section) + _battens(bench, section, lids),
        liner_m2=0.0,
        drainage_m2=0.0,
        media_m3=0.0,
        plants=0,
        clad_m2=clad_m2,
        top_m2=bench.length_mm * bench.width_mm / 1e6,
        lids=lids,
    )
    return weighed(layout, seat + clad, job), seat + clad


def _battens(bench: Bench, section: Section, lids: int) -> tuple[tuple[str, float], ...]:
    """Give the battens that hold the boards of each lid together, clear of the frame."""
    length_mm = bench.width_mm - 2.0 * section.width_mm - 2.0 * BOX_GAP_MM
    return tuple((section.id, length_mm) for _ in range(lids * BATTENS_PER_LID) if length_mm > 1.0)


def build_counter(counter: Counter, job: Job) -> tuple[BoxLayout, tuple[Piece, ...]]:
    """Build a counter.

    Parameters
    ----------
    counter : Counter
        Size, cladding, frame, top, clad faces.
    job : Job
        Survey and choices.

    Returns
    -------
    layout : BoxLayout
    pieces : tuple of Piece
        Cladding under the top; the top reaches over all four sides by its overhang.

    References
    ----------
    Definition.
    """
    board, rule = box_board(counter.cladding, job)
    section = next(section for section in job.choices.sections if section.id == counter.frame)
    top = next(top for top in job.choices.tops if top.id == counter.top)
    face_mm = max(counter.height_mm - top.thickness_mm, 0.0)
    pieces, clad_m2 = clad_faces_of(counter, counter.clad_faces, face_mm, board, rule)
    carcass = carcass_of(counter, counter.clad_faces, board.thickness_mm, top.thickness_mm)
    over_mm = 2.0 * counter.overhang_mm
    layout = BoxLayout(
        box=counter.id,
        kind="counter",
        outline_mm=box_ring(counter),
        frame_mm=frame_sticks(carcass, section),
        liner_m2=0.0,
        drainage_m2=0.0,
        media_m3=0.0,
        plants=0,
        clad_m2=clad_m2,
        top_m2=(counter.length_mm + over_mm) * (counter.width_mm + over_mm) / 1e6,
    )
    return weighed(layout, pieces, job, top_kg_m2=top.mass_kg_m2), pieces
