"""Steps up to a deck field: treads of boards on a frame, risers between them.

Seen from the side, going up to the right::

                          upper field
                     ┌────────────────
             tread 1 │ riser 1
           ┌─────────┘
           │ riser 2
    ───────┘
"""

import math
from dataclasses import dataclass

from app.job.job import Job
from app.job.plan import Steps
from app.takeoff.layout.box_mass import weighed
from app.takeoff.layout.boxes import BOX_GAP_MM, bays, box_board
from app.takeoff.layout.faces import clad_face, face_courses
from app.takeoff.layout.outlines import Frame
from app.takeoff.layout.pieces import Cuts, Place, drop_slivers, make_pieces
from app.takeoff.layout.records import BoxLayout, Piece
from app.takeoff.roof.records import RoofReading

# Stringers at most this far apart under the treads. Common practice, no source.
STRINGER_SPACING_MM = 400.0
_LEAST_STICK_MM = 1.0  # shorter is none


@dataclass(frozen=True, slots=True)
class Flight:
    """How a flight of steps divides its rise.

    Attributes
    ----------
    rise_mm : float
        From the floor it comes from to the floor it goes to. [mm]
    risers : int
        None when the rise is not above zero.
    riser_mm : float
        Height of each. [mm]
    run_mm : float
        Depth on plan. [mm]
    """

    rise_mm: float
    risers: int
    riser_mm: float
    run_mm: float


def divide_rise(rise_mm: float, going_mm: float, greatest_mm: float) -> Flight:
    """Give the fewest equal risers that none is higher than it may be.

    Parameters
    ----------
    rise_mm : float
        Height to climb. [mm]
    going_mm : float
        From riser to riser. [mm]
    greatest_mm : float
        Greatest riser. [mm]

    Returns
    -------
    flight : Flight
        One tread fewer than risers: the last is the upper floor itself.

    Examples
    --------
    >>> flight = divide_rise(450.0, 280.0, 196.85)
    >>> flight.risers, flight.riser_mm, flight.run_mm
    (3, 150.0, 560.0)

    References
    ----------
    Counting; the greatest riser is the job's own, with its source.
    """
    if rise_mm <= 0.0:
        return Flight(rise_mm, 0, 0.0, 0.0)
    risers = max(1, math.ceil((rise_mm - 0.05) / greatest_mm))
    return Flight(rise_mm, risers, rise_mm / risers, (risers - 1) * going_mm)


def flight_of(steps: Steps, roof: RoofReading, greatest_mm: float) -> Flight:
    """Give the flight of steps between the two floors as they lie.

    Parameters
    ----------
    steps : Steps
        As drawn.
    roof : RoofReading
        Levels of the fields, and the membrane.
    greatest_mm : float
        Greatest riser. [mm]

    Returns
    -------
    flight : Flight
        From the roof itself the rise is taken where the flight comes down.

    References
    ----------
    Definition.
    """
    top_mm = roof.level_of(steps.upper)
    if steps.lower is not None:
        return divide_rise(top_mm - roof.level_of(steps.lower), steps.going_mm, greatest_mm)
    way = math.radians(steps.angle_deg)
    flight = divide_rise(top_mm - roof.height_mm(steps.x_mm, steps.y_mm), steps.going_mm, greatest_mm)
    foot_x = steps.x_mm + math.cos(way) * flight.run_mm
    foot_y = steps.y_mm + math.sin(way) * flight.run_mm
    return divide_rise(top_mm - roof.height_mm(foot_x, foot_y), steps.going_mm, greatest_mm)


@dataclass(frozen=True, slots=True)
class StepPart:
    """One stick of the frame of steps.

    Attributes
    ----------
    part : str
        ``bearer``, ``post`` or ``ledger``.
    tread : int
        Counted from the top, from 1.
    line : int
        Line across the flight that it stands in, from 0; 0 for a ledger, which lies across them all.
    length_mm : float
        Length to cut. [mm]
    """

    part: str
    tread: int
    line: int
    length_mm: float


def stringer_lines(steps: Steps) -> int:
    """Give how many lines of timber carry the treads of a flight, side to side.

    Parameters
    ----------
    steps : Steps
        As drawn.

    Returns
    -------
    lines : int
        One at each side, and between them no more than 400 mm apart.

    References
    ----------
    Common practice, no source.
    """
    return bays(steps.width_mm, STRINGER_SPACING_MM) + 1


def build_steps(steps: Steps, job: Job, roof: RoofReading) -> tuple[BoxLayout, tuple[Piece, ...]]:
    """Build a flight of steps.

    Parameters
    ----------
    steps : Steps
        As drawn.
    job : Job
        Survey and choices.
    roof : RoofReading
        Levels of the fields, and the membrane.

    Returns
    -------
    layout : BoxLayout
    pieces : tuple of Piece
        Treads on plan from the top down, then risers, each in a plane of its own.

    References
    ----------
    Definition; the frame is common practice, no source.
    """
    board, rule = box_board(steps.board, job)
    flight = flight_of(steps, roof, job.choices.limits.greatest_riser_mm)
    section = next(section for section in job.choices.sections if section.id == steps.frame)
    way = math.radians(steps.angle_deg)
    down, side = (math.cos(way), math.sin(way)), (math.sin(way), -math.cos(way))
    half = steps.width_mm / 2.0
    # The frame's x axis runs along the treads, its y axis down the steps.
    start = (steps.x_mm - side[0] * half, steps.y_mm - side[1] * half)
    place = Place(steps.id, "plan", board.id, board.width_mm)
    pieces: tuple[Piece, ...] = ()
    for tread in range(flight.risers - 1):
        at = (start[0] + down[0] * steps.going_mm * tread, start[1] + down[1] * steps.going_mm * tread)
        shapes = face_courses((steps.width_mm, steps.going_mm), board.width_mm, BOX_GAP_MM, rule)
        frame = Frame(at[0], at[1], steps.angle_deg - 90.0)
        kept, _ = drop_slivers(shapes)
        pieces += make_pieces(place, (Cuts("tread", frame, kept),), len(pieces) + 1)
    face_mm = max(flight.riser_mm - board.thickness_mm, 0.0)
    for riser in range(1, flight.risers + 1):
        plane = Place(steps.id, f"{steps.id}-riser-{riser}", board.id, board.width_mm)
        pieces += clad_face(plane, (steps.width_mm, face_mm), BOX_GAP_MM, rule, len(pieces) + 1, role="riser")
    depth = max(flight.run_mm, board.thickness_mm)
    ends = ((half, 0.0), (half, depth), (-half, depth), (-half, 0.0))
    outline = tuple(
        (steps.x_mm + side[0] * x + down[0] * y, steps.y_mm + side[1] * x + down[1] * y) for x, y in ends
    )
    layout = BoxLayout(
        box=steps.id,
        kind="steps",
        outline_mm=outline,
        frame_mm=tuple((section.id, part.length_mm) for part in step_parts(steps, job, flight)),
        liner_m2=0.0,
        drainage_m2=0.0,
        media_m3=0.0,
        plants=0,
        clad_m2=flight.risers * steps.width_mm * face_mm / 1e6,
        top_m2=max(flight.risers - 1, 0) * steps.width_mm * steps.going_mm / 1e6,
        risers=flight.risers,
        rise_mm=flight.rise_mm,
    )
    return weighed(layout, pieces, job), pieces


def step_parts(steps: Steps, job: Job, flight: Flight) -> tuple[StepPart, ...]:
    """Give the frame: under every tread a bearer and a post at each stringer, and a ledger at its back.

    Parameters
    ----------
    steps : Steps
        As drawn.
    job : Job
        Board and section they are made of.
    flight : Flight
        How its rise is divided.

    Returns
    -------
    parts : tuple of StepPart
        From the top down, in the order of the sticks; posts of no length are left out.

    References
    ----------
    Common practice, no source.
    """
    board, _ = box_board(steps.board, job)
    section = next(section for section in job.choices.sections if section.id == steps.frame)
    off_post_mm = section.depth_mm + board.thickness_mm
    lines = range(stringer_lines(steps))
    parts: list[StepPart] = []
    for tread in range(1, flight.risers):
        post_mm = flight.rise_mm - tread * flight.riser_mm - off_post_mm
        parts += [StepPart("bearer", tread, line, steps.going_mm) for line in lines]
        parts += [StepPart("post", tread, line, post_mm) for line in lines]
        parts.append(StepPart("ledger", tread, 0, steps.width_mm))
    return tuple(part for part in parts if part.length_mm > _LEAST_STICK_MM)
