"""Timber that is not under a deck: furring of feature walls, frames of planters, benches and counters."""

from collections.abc import Iterable
from itertools import pairwise

from app.job.job import Job
from app.takeoff.framing.records import Crossing, Stick
from app.takeoff.framing.sleepers import spread_mm
from app.takeoff.layout.records import Layout, Piece

BOX_FIXING_MM = 400.0  # between fixings on a box: common practice, no source
BOX_ROLES = ("cladding", "seat", "floor", "tread", "riser")


def furring_of(job: Job, layout: Layout) -> tuple[Stick, ...]:
    """Give the furring strips of every feature wall, in its elevation.

    Parameters
    ----------
    job : Job
        For the section of each wall.
    layout : Layout
        With the strips as laid out.

    Returns
    -------
    sticks : tuple of Stick

    References
    ----------
    Definition.
    """
    section = {wall.id: wall.furring for wall in job.plan.feature_walls}
    return tuple(
        Stick(
            id=f"{wall.wall}-F{number:02d}",
            place=wall.wall,
            section=section[wall.wall],
            role="furring",
            start_mm=strip.start_mm,
            end_mm=strip.end_mm,
            length_mm=_length_mm(strip.start_mm, strip.end_mm),
        )
        for wall in layout.walls
        for number, strip in enumerate(wall.furring_mm, start=1)
    )


def frames_of(layout: Layout) -> tuple[Stick, ...]:
    """Give the frame sticks of every planter, bench and counter.

    Parameters
    ----------
    layout : Layout
        With the sticks each box is made of.

    Returns
    -------
    sticks : tuple of Stick
        Both ends at the middle of the box: they are cut to length, not drawn.

    References
    ----------
    Definition.
    """
    found = []
    for box in layout.boxes:
        corners = box.outline_mm[:-1] if box.outline_mm[0] == box.outline_mm[-1] else box.outline_mm
        middle = (
            sum(corner[0] for corner in corners) / len(corners),
            sum(corner[1] for corner in corners) / len(corners),
        )
        found += [
            Stick(f"{box.box}-K{number:02d}", box.box, section, "frame", middle, middle, length_mm)
            for number, (section, length_mm) in enumerate(box.frame_mm, start=1)
        ]
    return tuple(found)


def box_crossings(layout: Layout, frames: Iterable[Stick]) -> tuple[Crossing, ...]:
    """Give where the boards of a box are fixed to its frame.

    Parameters
    ----------
    layout : Layout
        With the pieces of every box.
    frames : iterable of Stick
        Frame sticks of the boxes.

    Returns
    -------
    crossings : tuple of Crossing
        At both ends of every board and every 400 mm between, in the plane of the board; a box without a
        frame has none.

    References
    ----------
    Common practice, no source.
    """
    first: dict[str, str] = {}
    for stick in frames:
        first.setdefault(stick.place, stick.id)
    return tuple(
        Crossing(piece=piece.id, stick=first[piece.place], x_mm=x, y_mm=y)
        for piece in layout.pieces
        if piece.place in first and piece.role in BOX_ROLES
        for x, y in _stations(piece)
    )


def fascia_crossings(layout: Layout, sticks: Iterable[Stick]) -> tuple[Crossing, ...]:
    """Give where the fascia of a deck field is fixed to its rims.

    Parameters
    ----------
    layout : Layout
        With the pieces of every field.
    sticks : iterable of Stick
        Of the decks.

    Returns
    -------
    crossings : tuple of Crossing
        At both ends of every board and every 400 mm between, in the plane of the fascia.

    References
    ----------
    Common practice, no source.
    """
    first: dict[str, str] = {}
    for stick in sticks:
        first.setdefault(stick.place, stick.id)
    return tuple(
        Crossing(piece=piece.id, stick=first[piece.place], x_mm=x, y_mm=y)
        for piece in layout.pieces
        if piece.role == "fascia" and piece.place in first
        for x, y in _stations(piece)
    )


def _stations(piece: Piece) -> list[tuple[float, float]]:
    """Give the fixings along the middle of a board."""
    ring = (
        piece.outline_mm
        if piece.outline_mm[0] == piece.outline_mm[-1]
        else (*piece.outline_mm, piece.outline_mm[0])
    )
    longest = max(pairwise(ring), key=lambda edge: round(_length_mm(*edge), 3))
    corners = ring[:-1]
    middle = (sum(x for x, _ in corners) / len(corners), sum(y for _, y in corners) / len(corners))
    length = _length_mm(*longest)
    ux, uy = (longest[1][0] - longest[0][0]) / length, (longest[1][1] - longest[0][1]) / length
    end = min(length / 4, 40.0)
    places = [end, *spread_mm(end, length - end, BOX_FIXING_MM), length - end]
    return [(middle[0] + ux * (at - length / 2), middle[1] + uy * (at - length / 2)) for at in places]


def _length_mm(start: tuple[float, float], end: tuple[float, float]) -> float:
    """Give the distance between two places."""
    return float(((end[0] - start[0]) ** 2 + (end[1] - start[1]) ** 2) ** 0.5)
