"""The plan: every board as it will lie, all that stands on the deck, dimensions, fall and north."""

import math

from app.drawings.canvas import HAIR_MM, NARROW_MM, SMALL_MM, Canvas, Pen
from app.drawings.dimensions import dimension_ring
from app.drawings.ground import fall_arrow, ground
from app.drawings.strokes import draw_board, number_of
from app.drawings.things import draw_devices, draw_things
from app.job.job import Job
from app.measure.show import format_length
from app.takeoff.chain import Takeoff

# Two courses lie a gap apart, so that their lines nearly touch on paper: each is drawn at half a hairline.
_COURSE = Pen(HAIR_MM / 2, fill="paper")
_PEN_OF_ROLE = {role: Pen(NARROW_MM, fill="paper") for role in ("border", "breaker", "tread")}


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
    _levels(canvas, job, takeoff, system)
    draw_things(canvas, job, takeoff)
    draw_devices(canvas, job, with_tags=False)
    canvas.layer("dimensions")
    dimension_ring(canvas, job.survey.outline_mm, 9.0, system)
    fall_arrow(canvas, job, takeoff)
    return canvas.svg()


def _levels(canvas: Canvas, job: Job, takeoff: Takeoff, system: str) -> None:
    """Mark the edges between two levels, and the way up steps with an arrow to the upper floor."""
    canvas.layer("levels")
    for step in takeoff.roof.steps:
        words = f"{format_length(step.height_mm, system)} up to {step.upper}"
        canvas.text((step.x_mm, step.y_mm + canvas.paper_mm(2.4)), words, SMALL_MM)
    for flight in job.plan.steps:
        way = math.radians(flight.angle_deg)
        down = (math.cos(way), math.sin(way))
        foot_mm = canvas.paper_mm(9.0)
        top = (flight.x_mm, flight.y_mm)
        foot = (top[0] + down[0] * foot_mm, top[1] + down[1] * foot_mm)
        canvas.line((foot, top), "arrow", Pen(NARROW_MM))
        wings = [
            (
                top[0] + math.cos(way + turn) * canvas.paper_mm(2.0),
                top[1] + math.sin(way + turn) * canvas.paper_mm(2.0),
            )
            for turn in (0.35, -0.35)
        ]
        canvas.polygon((top, *wings), "arrow", Pen(NARROW_MM, fill="ink"), f"steps {flight.id}, up")


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
        draw_board(canvas, piece, pen)
        if with_numbers:
            xs = [x for x, _ in piece.outline_mm]
            ys = [y for _, y in piece.outline_mm]
            middle = ((min(xs) + max(xs)) / 2, (min(ys) + max(ys)) / 2)
            is_tall = max(ys) - min(ys) > max(xs) - min(xs)
            canvas.text(middle, number_of(piece.id), SMALL_MM * 0.7, turn_deg=90.0 if is_tall else 0.0)
