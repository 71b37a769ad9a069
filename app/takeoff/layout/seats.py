"""Benches and counters: frame, cladding, seat boards or top."""

from app.job.job import Job
from app.job.plan import Bench, Counter
from app.takeoff.layout.boxes import BOX_GAP_MM, box_board, carcass_of, clad_faces_of, frame_sticks
from app.takeoff.layout.faces import face_courses
from app.takeoff.layout.outlines import Frame
from app.takeoff.layout.pieces import Cuts, Place, drop_slivers, make_pieces
from app.takeoff.layout.records import BoxLayout, Piece
from app.takeoff.roof.footprints import box_ring


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
        Seat boards along the length, on plan, then cladding under the seat.

    References
    ----------
    Definition.
    """
    board, rule = box_board(bench.board, job)
    section = next(section for section in job.choices.sections if section.id == bench.frame)
    ring = box_ring(bench)
    frame = Frame(ring[0][0], ring[0][1], bench.angle_deg)
    size = (bench.length_mm, bench.width_mm)
    shapes, _ = drop_slivers(face_courses(size, board.width_mm, BOX_GAP_MM, rule))
    place = Place(bench.id, "plan", board.id, board.width_mm)
    seat = make_pieces(place, (Cuts("seat", frame, shapes),))
    face_mm = max(bench.height_mm - board.thickness_mm, 0.0)
    clad, clad_m2 = clad_faces_of(bench, bench.clad_faces, face_mm, board, rule, len(seat) + 1)
    carcass = carcass_of(bench, bench.clad_faces, board.thickness_mm, board.thickness_mm)
    layout = BoxLayout(
        box=bench.id,
        kind="bench",
        outline_mm=ring,
        frame_mm=frame_sticks(carcass, section),
        liner_m2=0.0,
        drainage_m2=0.0,
        media_m3=0.0,
        plants=0,
        clad_m2=clad_m2,
        top_m2=bench.length_mm * bench.width_mm / 1e6,
    )
    return layout, seat + clad


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
        Cladding under the top.

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
        top_m2=counter.length_mm * counter.width_mm / 1e6,
    )
    return layout, pieces
