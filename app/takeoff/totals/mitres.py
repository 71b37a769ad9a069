"""How the ends of a mitred piece are cut, seen on its face with its length left to right."""

import math
from collections.abc import Iterable

from app.takeoff.layout.records import Piece

_SQUARE_DEG = 0.5


def mitred_ends(pieces: Iterable[Piece]) -> tuple[tuple[str, str], ...]:
    """Give the mitred pieces with the angle and the hand of each end.

    Parameters
    ----------
    pieces : iterable of Piece
        Of one profile.

    Returns
    -------
    ends : tuple of (str, str)
        Piece id and words: "left 45° long at the top, right square".

    References
    ----------
    Definition.
    """
    return tuple((piece.id, end_words(piece)) for piece in pieces if piece.is_mitred)


def end_words(piece: Piece) -> str:
    """Give how both ends of a piece are cut, in words.

    Parameters
    ----------
    piece : Piece
        With its outline in its plane.

    Returns
    -------
    words : str
        Angles from square, to half a degree, and on which side the long point is.

    Examples
    --------
    >>> outline = ((0.0, 0.0), (1000.0, 0.0), (860.0, 140.0), (140.0, 140.0))
    >>> end_words(Piece("a", "D1", "b", "border", 1000.0, 140.0, False, True, "plan", outline))
    'left 45° long at the bottom, right 45° long at the bottom'

    Notes
    -----
    The piece is turned so that its longest side runs left to right, never turned over.

    References
    ----------
    Definition.
    """
    along = _along(piece.outline_mm)
    turned = [(x * along[0] + y * along[1], y * along[0] - x * along[1]) for x, y in piece.outline_mm]
    middle = (min(across for _, across in turned) + max(across for _, across in turned)) / 2
    top = [at for at, across in turned if across >= middle]
    bottom = [at for at, across in turned if across < middle]
    left = _end(min(bottom) - min(top), piece.width_mm)
    right = _end(max(top) - max(bottom), piece.width_mm)
    return f"left {left}, right {right}"


def _along(outline: tuple[tuple[float, float], ...]) -> tuple[float, float]:
    """Give the direction of the longest side, pointing right, or up where it is upright."""
    sides = zip(outline, (*outline[1:], outline[0]), strict=True)
    start, end = max(sides, key=lambda side: math.dist(*side))
    length = math.dist(start, end) or 1.0
    x, y = (end[0] - start[0]) / length, (end[1] - start[1]) / length
    return (-x, -y) if x < -1e-9 or (abs(x) <= 1e-9 and y < 0) else (x, y)


def _end(top_longer_mm: float, width_mm: float) -> str:
    """Say one end: by how much the top runs on past the bottom."""
    angle = math.degrees(math.atan2(abs(top_longer_mm), width_mm))
    if angle < _SQUARE_DEG:
        return "square"
    return f"{round(angle * 2) / 2:g}° long at the {'top' if top_longer_mm > 0 else 'bottom'}"
