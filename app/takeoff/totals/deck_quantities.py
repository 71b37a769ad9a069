"""Decks: areas, lengths of border and breaker, pieces, rips, mitres."""

import math

import shapely

from app.job.job import Job
from app.takeoff.layout.records import Layout, Piece
from app.takeoff.totals.measured import Inputs, listed, named, number, quantity, said, sum_of
from app.takeoff.totals.records import Quantity

DECK_ROLES = ("course", "border", "breaker")
SQUARE_WITHIN_DEG = 1.0


def deck_quantities(job: Job, layout: Layout) -> tuple[Quantity, ...]:
    """Give what is measured of the decks.

    Parameters
    ----------
    job : Job
        Deck fields as drawn.
    layout : Layout
        Fields and their pieces.

    Returns
    -------
    quantities : tuple of Quantity
        Net; nothing bought stands here.

    References
    ----------
    Definition.
    """
    units = job.units
    fields = {field.field for field in layout.fields}
    pieces = [piece for piece in layout.pieces if piece.place in fields and piece.role in DECK_ROLES]
    ripped = [piece for piece in pieces if piece.is_ripped]
    mitres = [(piece.place, float(mitred_ends(piece))) for piece in pieces if piece.is_mitred]
    counts = {role: sum(piece.role == role for piece in pieces) for role in DECK_ROLES}
    return (
        *quantity(
            "deck.area",
            "",
            [(field.field, field.area_m2) for field in layout.fields],
            f"net of holes and keep-clear: {sum_of((field.area_m2 for field in layout.fields), 'm2', units)}",
            _area_inputs(job, layout),
        ),
        *_lengths("deck.border", [piece for piece in pieces if piece.role == "border"], units),
        *_lengths("deck.breaker", [piece for piece in pieces if piece.role == "breaker"], units),
        *quantity(
            "deck.pieces",
            "",
            [(piece.place, 1.0) for piece in pieces],
            f"{counts['course']} of courses + {counts['border']} of borders + {counts['breaker']} breakers",
            named(
                (
                    ((f"{role} pieces in {piece.place}"), 1.0)
                    for role in DECK_ROLES
                    for piece in pieces
                    if piece.role == role
                ),
                "each",
                units,
            ),
        ),
        *_lengths("deck.rips", ripped, units),
        *quantity(
            "deck.mitres",
            "",
            mitres,
            f"{number(math.fsum(count for _, count in mitres))} angled ends of {len(mitres)} pieces",
            (
                *named(((f"pieces with angled ends in {place}", 1.0) for place, _ in mitres), "each", units),
                *named(((f"angled ends in {place}", count) for place, count in mitres), "each", units),
            ),
        ),
    )


def mitred_ends(piece: Piece) -> int:
    """Give how many ends of a piece are cut at an angle.

    Parameters
    ----------
    piece : Piece
        A mitred piece, with its outline.

    Returns
    -------
    ends : int
        One or two.

    Notes
    -----
    Sides of the outline that are neither along nor square to its longest side, within a degree; a
    notched end counts once.

    References
    ----------
    Definition.
    """
    corners = piece.outline_mm
    sides = [
        (math.dist(start, end), math.atan2(end[1] - start[1], end[0] - start[0]))
        for start, end in zip(corners, (*corners[1:], corners[0]), strict=True)
        if math.dist(start, end) > 0.0
    ]
    along = max(sides)[1]
    slanted = sum(1 for _, direction in sides if _is_slanted(direction - along))
    return max(1, min(2, slanted))


def _is_slanted(turn: float) -> bool:
    """Whether a turn in radians is away from both along and square."""
    off_deg = math.degrees(turn) % 90.0
    return SQUARE_WITHIN_DEG < off_deg < 90.0 - SQUARE_WITHIN_DEG


def _lengths(basis: str, pieces: list[Piece], units: str) -> tuple[Quantity, ...]:
    """Give the summed length of pieces."""
    lengths = [(piece.place, piece.length_mm / 1000) for piece in pieces]
    inputs = (
        *named(((f"pieces in {place}", 1.0) for place, _ in lengths), "each", units),
        *named(((f"their lengths in {place}", length) for place, length in lengths), "m", units),
        *listed("pieces", (piece.id for piece in pieces)),
    )
    return quantity(basis, "", lengths, sum_of((length for _, length in lengths), "m", units), inputs)


def _area_inputs(job: Job, layout: Layout) -> Inputs:
    """Give the outline of each field, and what is left out of it."""
    drawn = {field.id: shapely.Polygon(field.outline_mm).area / 1e6 for field in job.plan.deck_fields}
    made: list[tuple[str, str]] = []
    for field in layout.fields:
        whole = drawn.get(field.field, field.area_m2)
        left_out = max(whole - field.area_m2, 0.0)
        made.append((f"outline of {field.field}", said(whole, "m2", job.units)))
        made.append((f"holes and keep-clear in {field.field}", said(left_out, "m2", job.units)))
    return tuple(made)
