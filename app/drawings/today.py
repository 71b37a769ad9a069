"""How what one day does is told from the rest: a shade, and the number on each piece."""

from collections.abc import Sequence

from app.drawings.canvas import Canvas, Spot
from app.drawings.strokes import number_height_mm, number_of

TODAY = "#d8d0bd"


def write_number(canvas: Canvas, piece_id: str, outline_mm: Sequence[Spot]) -> None:
    """Write the number of a piece along it, as large as its width lets.

    Parameters
    ----------
    canvas : Canvas
        Drawing to put it in.
    piece_id : str
        Its id; the part behind the last hyphen is written.
    outline_mm : sequence of corner
        Its outline. [mm]

    References
    ----------
    Definition.
    """
    xs, ys = [x for x, _ in outline_mm], [y for _, y in outline_mm]
    wide, high = max(xs) - min(xs), max(ys) - min(ys)
    middle = ((min(xs) + max(xs)) / 2, (min(ys) + max(ys)) / 2)
    height = number_height_mm(canvas, min(wide, high))
    canvas.text(middle, number_of(piece_id), height, turn_deg=90.0 if high > wide else 0.0)
