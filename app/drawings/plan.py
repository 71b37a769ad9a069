"""The plan: every board as it will lie, all that stands on the deck, dimensions, fall and north."""

from app.drawings.canvas import HAIR_MM, NARROW_MM, SMALL_MM, Canvas, Pen
from app.drawings.dimensions import dimension_ring
from app.drawings.ground import fall_arrow, ground
from app.drawings.things import draw_devices, draw_things
from app.job.job import Job
from app.takeoff.chain import Takeoff

# Two courses lie a gap apart, so that their lines nearly touch on paper: each is drawn at half a hairline.
_COURSE = Pen(HAIR_MM / 2, fill="paper")
_PEN_OF_ROLE = {"border": Pen(NARROW_MM, fill="paper"), "breaker": Pen(NARROW_MM, fill="paper")}


def plan_svg(
    job: Job, takeoff: Takeoff, system: str, scale: float = 50.0, *, with_numbers: bool = False
) -> str:
    """Give the plan as SVG.

    Parameters
    ----------
    job : Job
        Survey, plan and choices.
    takeoff : Takeoff
        Its pieces are what is drawn.
    system : str
        ``imperial`` or ``metric``, for the dimensions.
    scale : float
        Plan millimetres to one millimetre of paper.
    with_numbers : bool
        Whether each board carries its number, as the cut plan lists it.

    Returns
    -------
    svg : str
        True to scale when printed at its own size.

    References
    ----------
    Line widths ISO 128, lettering ISO 3098-1; definition.
    """
    canvas = ground(job, takeoff, f"Plan of {job.title}", scale)
    draw_boards(canvas, takeoff, with_numbers=with_numbers)
    draw_things(canvas, job, takeoff)
    draw_devices(canvas, job, with_tags=False)
    canvas.layer("dimensions")
    dimension_ring(canvas, job.survey.outline_mm, 9.0, system)
    fall_arrow(canvas, job, takeoff)
    return canvas.svg()


def draw_boards(canvas: Canvas, takeoff: Takeoff, *, with_numbers: bool) -> None:
    """Draw every deck piece at its true outline.

    Parameters
    ----------
    canvas : Canvas
        Drawing to put them in.
    takeoff : Takeoff
        Holds the pieces.
    with_numbers : bool
        Whether each carries its number.

    References
    ----------
    Definition.
    """
    canvas.layer("boards")
    for piece in takeoff.layout.pieces:
        if piece.plane != "plan":
            continue
        pen = _PEN_OF_ROLE.get(piece.role, _COURSE)
        canvas.polygon(piece.outline_mm, piece.role, pen, f"board {piece.id}")
        if with_numbers:
            xs = [x for x, _ in piece.outline_mm]
            ys = [y for _, y in piece.outline_mm]
            middle = ((min(xs) + max(xs)) / 2, (min(ys) + max(ys)) / 2)
            is_tall = max(ys) - min(ys) > max(xs) - min(xs)
            canvas.text(
                middle, piece.id.rpartition("-")[2], SMALL_MM * 0.7, turn_deg=90.0 if is_tall else 0.0
            )
