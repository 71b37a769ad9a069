"""The feature walls, unfolded: every cladding piece, the furring behind it, the openings, the size."""

from app.drawings.canvas import DASHED, HAIR_MM, NARROW_MM, SMALL_MM, WIDE_MM, Canvas, Pen
from app.drawings.dimensions import dimension_ring
from app.drawings.hatches import define_hatches
from app.drawings.today import TODAY, write_number
from app.job.job import Job
from app.job.plan import FeatureWall, Opening
from app.takeoff.chain import Takeoff
from app.takeoff.layout.records import WallLayout

_MARGIN_MM = 16.0  # on paper
_RETURN_APART_MM = 12.0  # on paper, between a wall and its return unfolded beside it


def wall_svgs(
    job: Job, takeoff: Takeoff, system: str, scale: float = 50.0, shaded: frozenset[str] = frozenset()
) -> tuple[tuple[str, str], ...]:
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
    shaded : frozenset of str
        Pieces to shade and number, as those of one day.

    Returns
    -------
    drawings : tuple of (str, str)
        Wall id and its SVG, in the order of the plan.

    References
    ----------
    Line widths ISO 128; definition.
    """
    drawn = {wall.id: wall for wall in job.plan.feature_walls}
    return tuple(
        (wall.wall, _elevation(wall, drawn[wall.wall], takeoff, system, scale, shaded))
        for wall in takeoff.layout.walls
    )


def _elevation(
    wall: WallLayout, drawn: FeatureWall, takeoff: Takeoff, system: str, scale: float, shaded: frozenset[str]
) -> str:
    margin, apart = _MARGIN_MM * scale, _RETURN_APART_MM * scale
    before, after = (size + 2 * apart if size else 0.0 for size in wall.returns_mm)
    box = (-margin - before, -margin, wall.length_mm + margin + after, wall.height_mm + margin)
    canvas = Canvas(box, scale, f"Elevation of {drawn.name or drawn.id}")
    define_hatches(canvas)
    canvas.layer("ground")
    canvas.line(((-margin * 0.6, 0), (wall.length_mm + margin * 0.6, 0)), "deck", Pen(WIDE_MM))
    canvas.layer("cladding")
    for piece in takeoff.layout.pieces:
        if piece.plane == wall.wall:
            fill = TODAY if piece.id in shaded else "paper"
            canvas.polygon(piece.outline_mm, piece.role, Pen(HAIR_MM, fill=fill), f"board {piece.id}")
            if piece.id in shaded:
                write_number(canvas, piece.id, piece.outline_mm)
    canvas.layer("furring")
    for strip in wall.furring_mm:
        canvas.line((strip.start_mm, strip.end_mm), "furring", Pen(HAIR_MM, DASHED))
    _returns(canvas, wall, takeoff)
    canvas.layer("openings")
    for opening in wall.openings_mm:
        canvas.polygon(opening, "opening", Pen(NARROW_MM, fill="wall"))
    for niche in drawn.openings:
        _screen(canvas, niche)
    for block in wall.blocking_mm:
        canvas.line((block.start_mm, block.end_mm), "blocking", Pen(NARROW_MM, DASHED))
    if wall.cap_mm:
        _cap(canvas, wall)
    outline = ((0.0, 0.0), (wall.length_mm, 0.0), (wall.length_mm, wall.height_mm), (0.0, wall.height_mm))
    canvas.polygon(outline, "wall-outline", Pen(WIDE_MM))
    canvas.layer("dimensions")
    dimension_ring(canvas, outline, 7.0, system)
    return canvas.svg()


def _returns(canvas: Canvas, wall: WallLayout, takeoff: Takeoff) -> None:
    """Draw the cladding turned round the ends, unfolded beside the wall."""
    canvas.layer("returns")
    apart = canvas.paper_mm(_RETURN_APART_MM)
    starts = {"start": -wall.returns_mm[0] - apart, "end": wall.length_mm + apart}
    for piece in takeoff.layout.pieces:
        side = piece.plane.removeprefix(f"{wall.wall}-return-")
        if side in starts and piece.plane != side:
            ring = [(x + starts[side], y) for x, y in piece.outline_mm]
            canvas.polygon(ring, piece.role, Pen(HAIR_MM, fill="paper"), f"board {piece.id}")
    for (side, x), depth in zip(starts.items(), wall.returns_mm, strict=True):
        if depth:
            canvas.text((x + depth / 2, -canvas.paper_mm(2.5)), f"return at its {side}", SMALL_MM * 0.85)


def _screen(canvas: Canvas, niche: Opening) -> None:
    """Draw the screen in the middle of its niche."""
    if niche.screen_width_mm is None or niche.screen_height_mm is None:
        return
    middle = (niche.x_mm + niche.width_mm / 2, niche.z_mm + niche.height_mm / 2)
    half_w, half_h = niche.screen_width_mm / 2, niche.screen_height_mm / 2
    corners = [
        (middle[0] + sx * half_w, middle[1] + sy * half_h) for sx, sy in ((-1, -1), (1, -1), (1, 1), (-1, 1))
    ]
    canvas.polygon(corners, "screen", Pen(WIDE_MM, fill="paper"), f"screen in {niche.id}")
    canvas.text(middle, "screen", SMALL_MM)


def _cap(canvas: Canvas, wall: WallLayout) -> None:
    """Draw the cap flashing over the top of the wall, with its drip at both ends."""
    reach = canvas.paper_mm(0.8)
    top = wall.height_mm
    ends = ((-reach, top - reach), (-reach, top + reach / 2))
    far = ((wall.length_mm + reach, top + reach / 2), (wall.length_mm + reach, top - reach))
    canvas.line((*ends, *far), "cap", Pen(WIDE_MM))
