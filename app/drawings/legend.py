"""The legend of our drawings: line weights, dashes and hatches, each named, at their size on paper."""

from app.drawings.canvas import (
    CHAIN,
    DASHED,
    DOUBLE_CHAIN,
    EXTRA_WIDE_MM,
    HAIR_MM,
    MIDDLE_MM,
    NARROW_MM,
    NOTE_MM,
    SMALL_MM,
    WIDE_MM,
    Canvas,
    Pen,
)
from app.drawings.hatches import HATCHES, define_hatches

_ROW_MM, _WIDE_MM, _SAMPLE_MM = 9.0, 150.0, 40.0
_SCALE = 100.0  # the canvas keeps a tenth of a plan millimetre; at full size thin lines would be rounded
_LINES: tuple[tuple[str, Pen], ...] = (
    ("dimension, hatch", Pen(HAIR_MM)),
    ("board, furniture", Pen(NARROW_MM)),
    ("edge of a field, wall in view", Pen(MIDDLE_MM)),
    ("outline of the roof", Pen(WIDE_MM)),
    ("cut, frame of the sheet", Pen(EXTRA_WIDE_MM)),
    ("hidden", Pen(MIDDLE_MM, DASHED)),
    ("centre, fold", Pen(MIDDLE_MM, CHAIN)),
    ("what must stay free", Pen(MIDDLE_MM, DOUBLE_CHAIN)),
)


def legend_svg() -> str:
    """Draw every line and hatch with its name.

    Returns
    -------
    svg : str
        A drawing whose lines and letters have the size they have on paper.

    References
    ----------
    Line widths after ISO 128-2:2020, letters after ISO 3098-1:2015 (both from memory); hatches by definition.
    """
    rows = len(_LINES) + len(HATCHES)
    canvas = Canvas(
        (0, 0, _WIDE_MM * _SCALE, (rows + 0.5) * _ROW_MM * _SCALE), _SCALE, "Legend of lines and hatches"
    )
    define_hatches(canvas)
    y_mm = rows * _ROW_MM - _ROW_MM / 4
    for words, pen in _LINES:
        canvas.line((_spot(2, y_mm), _spot(2 + _SAMPLE_MM, y_mm)), "line", pen)
        canvas.text(_spot(_SAMPLE_MM + 7, y_mm), words, NOTE_MM, anchor="start")
        canvas.text(_spot(_WIDE_MM - 2, y_mm), f"{pen.width_mm:.2f} mm", SMALL_MM, anchor="end")
        y_mm -= _ROW_MM
    for name, (_, _, _, words) in HATCHES.items():
        corners = [(2, -3), (2 + _SAMPLE_MM, -3), (2 + _SAMPLE_MM, 3), (2, 3)]
        canvas.polygon((_spot(x, y_mm + up) for x, up in corners), "line", Pen(NARROW_MM, fill=name))
        canvas.text(_spot(_SAMPLE_MM + 7, y_mm), words, NOTE_MM, anchor="start")
        y_mm -= _ROW_MM
    return canvas.svg()


def _spot(x_mm: float, y_mm: float) -> tuple[float, float]:
    """Give a place on paper as the canvas wants it."""
    return x_mm * _SCALE, y_mm * _SCALE
