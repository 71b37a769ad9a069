"""One drawing on one sheet of paper, true to scale, with its title block."""

from dataclasses import dataclass

from app.documents.render import pdf
from app.documents.scale import SCALES, size_mm

# ISO 216, landscape, with what the frame of ISO 5457 leaves: 20 mm for filing, 10 mm on the other sides.
SHEETS = (
    ("A4", 297.0, 210.0),
    ("A3", 420.0, 297.0),
    ("A2", 594.0, 420.0),
    ("A1", 841.0, 594.0),
    ("A0", 1189.0, 841.0),
)
_ACROSS_MM, _UP_MM, _BLOCK_MM = 30.0, 20.0, 26.0
QUARTER_INCH = 48.0  # 1/4" = 1'


@dataclass(frozen=True, slots=True)
class DrawingInputs:
    """What stands on the sheet round a drawing."""

    svg: str
    title: str
    firm: str
    job_number: str
    job_title: str
    client: str
    dated: str
    revision: str
    scale: float


def drawing_pdf(inputs: DrawingInputs) -> bytes:
    """Print a drawing at its own size on the smallest sheet that holds it."""
    wide, high = size_mm(inputs.svg)
    name, across, up = _sheet(wide, high)
    context = {
        "inputs": inputs,
        "sheet": name,
        "across": f"{across:g}mm",
        "up": f"{up:g}mm",
        "scale": scale_words(inputs.scale),
    }
    return pdf("drawing.html", context)


def fitting_scale(sizes_at_one: tuple[float, float]) -> float:
    """Give the largest scale of the list at which a drawing of this size fits A3."""
    wide, high = sizes_at_one
    _, across, up = SHEETS[1]
    fits = (s for s in SCALES if wide / s <= across - _ACROSS_MM and high / s <= up - _UP_MM - _BLOCK_MM)
    return next(fits, SCALES[-1])


def scale_words(scale: float) -> str:
    """Say a scale as the trade does."""
    return "1/4\" = 1' (1 : 48)" if scale == QUARTER_INCH else f"1 : {scale:g}"


def _sheet(wide: float, high: float) -> tuple[str, float, float]:
    for name, across, up in SHEETS:
        if wide <= across - _ACROSS_MM and high <= up - _UP_MM - _BLOCK_MM:
            return name, across, up
    return "one of its own", wide + _ACROSS_MM, high + _UP_MM + _BLOCK_MM
