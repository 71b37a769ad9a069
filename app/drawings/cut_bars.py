"""The cut plan drawn: each board as a bar to scale, its pieces in cutting order, and what is left."""

from app.drawings.canvas import HAIR_MM, MIDDLE_MM, NARROW_MM, SMALL_MM, Canvas, Pen
from app.job.choices import Cutting
from app.measure.show import format_length
from app.takeoff.totals.records import CutStick

BAR_MM = 6.5  # height on paper
_LETTER_MM = SMALL_MM * 0.8
_LETTER_WIDE = 0.5  # of its height, on the mean


def bar_svg(stick: CutStick, cutting: Cutting, system: str, scale: float, label: str) -> str:
    """Give one board as SVG: trim, pieces with their ids and lengths, cuts, leftover.

    Parameters
    ----------
    stick : CutStick
        The board and what is cut from it.
    cutting : Cutting
        Kerf and end trim.
    system : str
        ``imperial`` or ``metric``, for the lengths.
    scale : float
        Millimetres of board to one millimetre of paper; along the board and across alike for the ink.
    label : str
        What the drawing shows; read aloud by a screen reader.

    Returns
    -------
    svg : str
        True to scale along the board when printed at its own size.

    References
    ----------
    Line widths ISO 128, lettering ISO 3098-1; definition.
    """
    high = BAR_MM * scale
    canvas = Canvas((-scale, -scale, stick.stock_mm + scale, high + scale), scale, label)
    canvas.layer("board")
    _box(canvas, 0.0, stick.stock_mm, (0.0, high), Pen(NARROW_MM, fill="paper"))
    at_mm = cutting.end_trim_mm
    if at_mm > 0.0:
        _box(canvas, 0.0, at_mm, (0.0, high), Pen(HAIR_MM, fill="ink"))
    beside = {
        lead: [(name, long) for name, at, long in stick.beside if at == lead] for _, lead, _ in stick.beside
    }
    for name, length_mm in stick.pieces:
        low = high / 2 if name in beside else 0.0
        _piece(canvas, at_mm, (name, length_mm), (low, high), system)
        start_mm = at_mm
        for other, long in beside.get(name, []):
            _piece(canvas, start_mm, (other, long), (0.0, high / 2), system)
            start_mm += long + cutting.kerf_mm
        at_mm += length_mm + cutting.kerf_mm
    left_mm = min(stick.left_mm, stick.stock_mm - at_mm)
    if left_mm > 0.0:
        from_mm = stick.stock_mm - left_mm
        canvas.line(((from_mm, 0.0), (stick.stock_mm, high)), "left", Pen(HAIR_MM))
        canvas.line(((from_mm, high), (stick.stock_mm, 0.0)), "left", Pen(HAIR_MM))
        _slip(canvas, from_mm + left_mm / 2, high / 2, left_mm)
        _words(canvas, from_mm, left_mm, high / 2, f"left {format_length(left_mm, system)}")
    return canvas.svg()


def _piece(
    canvas: Canvas, at_mm: float, piece: tuple[str, float], room: tuple[float, float], system: str
) -> None:
    """Draw a piece in a lane of the bar, with as much of its name as fits."""
    name, length_mm = piece
    _box(canvas, at_mm, length_mm, room, Pen(MIDDLE_MM, fill="paper"), name)
    low, high = room
    is_whole = low == 0.0 and high >= BAR_MM * canvas.scale
    size = format_length(length_mm, system)
    if is_whole:
        _words(canvas, at_mm, length_mm, high * 0.68, name)
        _words(canvas, at_mm, length_mm, high * 0.28, size)
    else:
        _words(canvas, at_mm, length_mm, (low + high) / 2, f"{name}  {size}")


def _slip(canvas: Canvas, x: float, y: float, room_mm: float) -> None:
    """Clear the middle of a leftover for its words, where there is room for them."""
    half, high = canvas.paper_mm(8.5), canvas.paper_mm(_LETTER_MM * 0.65)
    if 2 * half <= room_mm:
        corners = ((x - half, y - high), (x + half, y - high), (x + half, y + high), (x - half, y + high))
        canvas.polygon(corners, "slip", Pen(0.0, fill="paper"))


def _box(
    canvas: Canvas, at_mm: float, length_mm: float, room: tuple[float, float], pen: Pen, label: str = ""
) -> None:
    """Draw a part of the bar."""
    (low, high), end_mm = room, at_mm + length_mm
    canvas.polygon(((at_mm, low), (end_mm, low), (end_mm, high), (at_mm, high)), "cut", pen, label)


def _words(canvas: Canvas, at_mm: float, length_mm: float, y: float, words: str) -> None:
    """Write words in the middle of a part, or the last of them, or nothing, as there is room."""
    for tried in (words, words.split("  ", maxsplit=1)[0], words.rpartition("-")[2]):
        wide = canvas.paper_mm(_LETTER_MM * _LETTER_WIDE * len(tried) + 0.8)
        if wide <= length_mm:
            canvas.text((at_mm + length_mm / 2, y), tried, _LETTER_MM)
            return
