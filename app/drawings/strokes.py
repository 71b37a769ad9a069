"""Strokes that several drawings share: fields, boards, sticks, pads, their numbers, and words on a slip."""

from collections.abc import Iterable

from app.drawings.canvas import DASHED, HAIR_MM, SMALL_MM, Canvas, Pen, Spot
from app.job.job import Job
from app.measure.show import format_length
from app.takeoff.chain import Takeoff
from app.takeoff.framing.records import PadSpot, Stick
from app.takeoff.layout.records import Piece

UNDER_DECK = ("sleeper", "breaker sleeper", "rim", "blocking", "trimmer", "doubling")
_LEAST_MM, _SHARE = 1.1, 0.62  # height of a number on paper, and its share of a piece's width
Box = tuple[float, float, float, float]  # least x and y, greatest x and y


def rectangle(box_mm: Box) -> tuple[Spot, Spot, Spot, Spot]:
    """Give the corners of a box.

    Parameters
    ----------
    box_mm : tuple of float
        Least x and y, greatest x and y. [mm]

    Returns
    -------
    corners : tuple of corner
        Anticlockwise from the lowest left one.

    References
    ----------
    Definition.
    """
    left, low, right, high = box_mm
    return ((left, low), (right, low), (right, high), (left, high))


def number_of(name: str) -> str:
    """Give the number of a piece or stick as drawings write it.

    Parameters
    ----------
    name : str
        Its id.

    Returns
    -------
    number : str
        The part behind the last hyphen.

    Examples
    --------
    >>> number_of("main-B-012")
    '012'

    References
    ----------
    Definition.
    """
    return name.rpartition("-")[2]


def number_height_mm(canvas: Canvas, wide_mm: float) -> float:
    """Give how high a number on a piece is written.

    Parameters
    ----------
    canvas : Canvas
        Gives the scale.
    wide_mm : float
        Width of the piece. [mm]

    Returns
    -------
    height_mm : float
        On paper: as large as the width lets, within what can be read. [mm]

    References
    ----------
    Lettering ISO 3098-1; definition.
    """
    return min(SMALL_MM * 0.8, max(_LEAST_MM, wide_mm / canvas.scale * _SHARE))


def draw_fields(canvas: Canvas, job: Job, pen: Pen | None = None) -> None:
    """Draw the outline of every deck field.

    Parameters
    ----------
    canvas : Canvas
        Drawing to put them in, as a layer of their own.
    job : Job
        Its plan.
    pen : Pen or None
        None: a dashed hairline.

    References
    ----------
    Definition.
    """
    canvas.layer("fields")
    for field in job.plan.deck_fields:
        canvas.polygon(field.outline_mm, "field", pen or Pen(HAIR_MM, DASHED), field.name or field.id)


def draw_board(canvas: Canvas, piece: Piece, pen: Pen) -> None:
    """Draw a piece at its true outline, under its id.

    Parameters
    ----------
    canvas : Canvas
        Drawing to put it in.
    piece : Piece
        What is drawn.
    pen : Pen
        How.

    References
    ----------
    Definition.
    """
    canvas.polygon(piece.outline_mm, piece.role, pen, f"board {piece.id}")


def draw_stick(canvas: Canvas, stick: Stick, corners: Iterable[Spot], pen: Pen) -> None:
    """Draw a stick as it is cut, under its role and id.

    Parameters
    ----------
    canvas : Canvas
        Drawing to put it in.
    stick : Stick
        What is drawn.
    corners : iterable of corner
        Its outline. [mm]
    pen : Pen
        How.

    References
    ----------
    Definition.
    """
    canvas.polygon(corners, stick.role.replace(" ", "-"), pen, f"{stick.role} {stick.id}")


def pad_marks(takeoff: Takeoff) -> dict[str, str]:
    """Give the letter of each pad in the pad schedule.

    Parameters
    ----------
    takeoff : Takeoff
        Holds the schedule.

    Returns
    -------
    marks : dict of str to str
        By id of the pad.

    References
    ----------
    Definition.
    """
    return {pad: band.mark for band in takeoff.framing.pad_schedule for pad in band.ids}


def write_pad(canvas: Canvas, below: Spot, spot: PadSpot, mark: str, system: str) -> None:
    """Write the letter and the height of a pad below it.

    Parameters
    ----------
    canvas : Canvas
        Drawing to put them in.
    below : corner
        Middle of the first line. [mm]
    spot : PadSpot
        The pad.
    mark : str
        Its letter.
    system : str
        ``imperial`` or ``metric``; millimetres go without their unit and in one line with the letter.

    References
    ----------
    Lettering ISO 3098-1; definition.
    """
    small = SMALL_MM * 0.66
    lines = [f"{mark} {spot.height_mm:.0f}"]
    if system != "metric":  # sixteenths are too long to stand beside the letter
        lines = [mark, format_length(spot.height_mm, system)]
    for number, words in enumerate(lines):
        canvas.text((below[0], below[1] - number * canvas.paper_mm(small)), words, small)


def write_slip(canvas: Canvas, middle: Spot, words: str, pen: Pen | None = None) -> None:
    """Write words on a slip of paper, so that no hatch runs through the letters.

    Parameters
    ----------
    canvas : Canvas
        Drawing to put them in.
    middle : corner
        Of the words. [mm]
    words : str
        What is written.
    pen : Pen or None
        Of the slip's edge; None: no edge.

    References
    ----------
    Definition.
    """
    x, y = middle
    half, high = slip_half(canvas, words), canvas.paper_mm(SMALL_MM * 0.7)
    canvas.polygon(rectangle((x - half, y - high, x + half, y + high)), "slip", pen or Pen(0.0, fill="paper"))
    canvas.text(middle, words)


def slip_half(canvas: Canvas, words: str) -> float:
    """Give half the length of the slip that words take.

    Parameters
    ----------
    canvas : Canvas
        Gives the scale.
    words : str
        What is written.

    Returns
    -------
    half : float
        On plan. [mm]

    References
    ----------
    Definition.
    """
    return canvas.paper_mm(SMALL_MM * 0.24 * len(words) + 0.6)
