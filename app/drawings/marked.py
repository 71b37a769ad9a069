"""Every piece marked as the cut plan names it: on plan, in the frame, and face by face what is upright."""

import math
from collections.abc import Iterable
from dataclasses import dataclass

import shapely

from app.drawings.canvas import DASHED, HAIR_MM, NARROW_MM, SMALL_MM, Canvas, Pen, Spot
from app.drawings.ground import ground
from app.drawings.plan import draw_boards
from app.drawings.stick_shapes import stick_shapes
from app.drawings.strokes import UNDER_DECK, draw_board, draw_stick, number_height_mm, number_of
from app.job.job import Job
from app.takeoff.chain import Takeoff
from app.takeoff.framing.records import Stick
from app.takeoff.layout.records import Piece

_MARGIN_MM = 4.0  # on paper
_RAISED = ("seat", "tread")
_PENS = {"doubling": Pen(NARROW_MM, DASHED)}


@dataclass(frozen=True, slots=True)
class Face:
    """The pieces of one plane off the plan.

    Attributes
    ----------
    place : str
        Id of the wall, box, flight of steps or deck field.
    plane : str
        Its plane, as the pieces name it.
    words : str
        What it is, for a person: ``kitchen, left``.
    pieces : tuple of Piece
        In the order of the layout.
    furring : tuple of Stick
        Behind the pieces of a wall.
    box_mm : tuple of float
        Least x and y, greatest x and y. [mm]
    """

    place: str
    plane: str
    words: str
    pieces: tuple[Piece, ...]
    furring: tuple[Stick, ...]
    box_mm: tuple[float, float, float, float]


def faces_of(takeoff: Takeoff) -> tuple[Face, ...]:
    """Give every plane off the plan that has pieces.

    Parameters
    ----------
    takeoff : Takeoff
        Its pieces and furring.

    Returns
    -------
    faces : tuple of Face
        In the order of the layout; each piece off the plan in one of them.

    References
    ----------
    Definition.
    """
    pieces: dict[tuple[str, str], list[Piece]] = {}
    for piece in takeoff.layout.pieces:
        if piece.plane != "plan":
            pieces.setdefault((piece.place, piece.plane), []).append(piece)
    furring: dict[str, list[Stick]] = {}
    for stick in takeoff.framing.sticks:
        if stick.role == "furring":
            furring.setdefault(stick.place, []).append(stick)
    return tuple(_face(place, plane, mine, furring.get(plane, [])) for (place, plane), mine in pieces.items())


def face_svg(face: Face, scale: float) -> str:
    """Give one face as SVG, each piece at its true outline with its number.

    Parameters
    ----------
    face : Face
        What is drawn.
    scale : float
        Millimetres of the face to one millimetre of paper.

    Returns
    -------
    svg : str
        True to scale when printed at its own size.

    References
    ----------
    Line widths ISO 128, lettering ISO 3098-1; definition.
    """
    left, bottom, right, top = face.box_mm
    margin = _MARGIN_MM * scale
    canvas = Canvas((left - margin, bottom - margin, right + margin, top + margin), scale, face.words)
    canvas.layer("cladding")
    for piece in face.pieces:
        draw_board(canvas, piece, Pen(NARROW_MM, fill="paper"))
    canvas.layer("furring")
    for stick in face.furring:
        canvas.line((stick.start_mm, stick.end_mm), "furring", Pen(HAIR_MM, DASHED))
        _stick_number(canvas, stick)
    canvas.layer("numbers")
    for piece in face.pieces:
        _number(canvas, piece, shapely.Polygon(piece.outline_mm))
    return canvas.svg()


def marked_plan_svg(job: Job, takeoff: Takeoff, scale: float = 50.0) -> str:
    """Give the plan as SVG with nothing on it but the boards, each with its number.

    Parameters
    ----------
    job : Job
        Survey, plan and choices.
    takeoff : Takeoff
        Its pieces are what is drawn.
    scale : float
        Plan millimetres to one millimetre of paper.

    Returns
    -------
    svg : str
        True to scale when printed at its own size.

    Notes
    -----
    A board that a seat or a tread covers in part bears its number where it is seen.

    References
    ----------
    Line widths ISO 128, lettering ISO 3098-1; definition.
    """
    canvas = ground(job, takeoff, f"Boards of {job.title}, numbered", scale)
    draw_boards(canvas, takeoff, with_numbers=False)
    pieces = [piece for piece in takeoff.layout.pieces if piece.plane == "plan"]
    over = shapely.union_all([shapely.Polygon(p.outline_mm) for p in pieces if p.role in _RAISED])
    canvas.layer("numbers")
    for piece in pieces:
        whole = shapely.Polygon(piece.outline_mm)
        seen = whole if piece.role in _RAISED else whole.difference(over)
        _number(canvas, piece, whole if seen.is_empty else seen)
    return canvas.svg()


def marked_frame_svg(job: Job, takeoff: Takeoff, scale: float = 50.0) -> str:
    """Give the frame under the decks as SVG, each stick with its number.

    Parameters
    ----------
    job : Job
        Survey, plan and choices.
    takeoff : Takeoff
        Its sticks are what is drawn.
    scale : float
        Plan millimetres to one millimetre of paper.

    Returns
    -------
    svg : str
        True to scale when printed at its own size.

    References
    ----------
    Line widths ISO 128, lettering ISO 3098-1; definition.
    """
    canvas = ground(job, takeoff, f"Frame of {job.title}, numbered", scale)
    shapes = stick_shapes(job, takeoff)
    sticks = [stick for stick in takeoff.framing.sticks if stick.role in UNDER_DECK]
    canvas.layer("frame")
    for stick in sticks:
        pen = _PENS.get(stick.role, Pen(HAIR_MM, fill="paper"))
        draw_stick(canvas, stick, shapes[stick.id], pen)
    canvas.layer("numbers")
    for stick in sticks:
        _stick_number(canvas, stick)
    return canvas.svg()


def _face(place: str, plane: str, pieces: list[Piece], furring: Iterable[Stick]) -> Face:
    """Gather one plane, with the room it takes."""
    spots = [spot for piece in pieces for spot in piece.outline_mm]
    sticks = tuple(furring)
    spots += [spot for stick in sticks for spot in (stick.start_mm, stick.end_mm)]
    xs, ys = [x for x, _ in spots], [y for _, y in spots]
    words = plane.removeprefix(f"{place}-").replace("-", " ") if plane != place else ""
    return Face(
        place=place,
        plane=plane,
        words=f"{place}, {words}" if words else place,
        pieces=tuple(pieces),
        furring=sticks,
        box_mm=(min(xs), min(ys), max(xs), max(ys)),
    )


def _number(canvas: Canvas, piece: Piece, seen: shapely.Geometry) -> None:
    """Write the number of a piece along it in the largest part that is seen, read from below or the right."""
    part = max(shapely.get_parts(seen), key=lambda shape: float(shape.area))
    corners = list(shapely.minimum_rotated_rectangle(part).exterior.coords)
    sides = [(corners[0], corners[1]), (corners[1], corners[2])]
    (x0, y0), (x1, y1) = max(sides, key=lambda side: math.dist(*side))
    wide_mm = min(math.dist(*side) for side in sides)
    turn = math.degrees(math.atan2(y1 - y0, x1 - x0))
    turn += 180.0 if turn <= -89.0 else -180.0 if turn > 91.0 else 0.0
    middle = part.centroid if part.contains(part.centroid) else part.representative_point()
    height = number_height_mm(canvas, wide_mm)
    canvas.text((middle.x, middle.y), number_of(piece.id), height, turn_deg=round(turn, 1))


def _stick_number(canvas: Canvas, stick: Stick) -> None:
    """Write a stick's number beside its middle, along it, upright or read from the right."""
    (x0, y0), (x1, y1) = stick.start_mm, stick.end_mm
    upright = abs(y1 - y0) > abs(x1 - x0)
    off = canvas.paper_mm(1.1)
    at: Spot = ((x0 + x1) / 2 - (off if upright else 0.0), (y0 + y1) / 2 + (0.0 if upright else off))
    canvas.text(at, number_of(stick.id), SMALL_MM * 0.6, turn_deg=90.0 if upright else 0.0)
