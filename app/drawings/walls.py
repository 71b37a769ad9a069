"""The feature walls, unfolded: every cladding piece, the furring behind it, the openings, the size."""

from app.drawings.canvas import DASHED, HAIR_MM, NARROW_MM, WIDE_MM, Canvas, Pen
from app.drawings.dimensions import dimension_ring
from app.drawings.hatches import define_hatches
from app.job.job import Job
from app.takeoff.chain import Takeoff
from app.takeoff.layout.records import WallLayout

_MARGIN_MM = 16.0  # on paper


def wall_svgs(job: Job, takeoff: Takeoff, system: str, scale: float = 50.0) -> tuple[tuple[str, str], ...]:
    """Give the elevation of each feature wall as SVG.

    Parameters
    ----------
    job : Job
        Survey, plan and choices.
    takeoff : Takeoff
        Its wall pieces are what is drawn.
    system : str
        ``imperial`` or ``metric``.
    scale : float
        Elevation millimetres to one millimetre of paper.

    Returns
    -------
    drawings : tuple of (str, str)
        Wall id and its SVG, in the order of the plan.

    References
    ----------
    Line widths ISO 128; definition.
    """
    names = {wall.id: wall.name or wall.id for wall in job.plan.feature_walls}
    return tuple(
        (wall.wall, _elevation(wall, names[wall.wall], takeoff, system, scale))
        for wall in takeoff.layout.walls
    )


def _elevation(wall: WallLayout, name: str, takeoff: Takeoff, system: str, scale: float) -> str:
    margin = _MARGIN_MM * scale
    box = (-margin, -margin, wall.length_mm + margin, wall.height_mm + margin)
    canvas = Canvas(box, scale, f"Elevation of {name}")
    define_hatches(canvas)
    canvas.layer("ground")
    canvas.line(((-margin * 0.6, 0), (wall.length_mm + margin * 0.6, 0)), "deck", Pen(WIDE_MM))
    canvas.layer("cladding")
    for piece in takeoff.layout.pieces:
        if piece.plane == wall.wall:
            canvas.polygon(piece.outline_mm, piece.role, Pen(HAIR_MM, fill="paper"), f"board {piece.id}")
    canvas.layer("furring")
    for strip in wall.furring_mm:
        canvas.line((strip.start_mm, strip.end_mm), "furring", Pen(HAIR_MM, DASHED))
    canvas.layer("openings")
    for opening in wall.openings_mm:
        canvas.polygon(opening, "opening", Pen(NARROW_MM, fill="wall"))
    outline = ((0.0, 0.0), (wall.length_mm, 0.0), (wall.length_mm, wall.height_mm), (0.0, wall.height_mm))
    canvas.polygon(outline, "wall-outline", Pen(WIDE_MM))
    canvas.layer("dimensions")
    dimension_ring(canvas, outline, 7.0, system)
    return canvas.svg()
