"""The frame: sleepers, rims, blocking and pads, with the height of every pad."""

from app.drawings.canvas import DASHED, HAIR_MM, MIDDLE_MM, NARROW_MM, SMALL_MM, Pen
from app.drawings.ground import fall_arrow, ground
from app.job.job import Job
from app.takeoff.chain import Takeoff

_DECK_ROLES = ("sleeper", "breaker sleeper", "rim", "blocking", "trimmer")


def frame_svg(job: Job, takeoff: Takeoff, system: str, scale: float = 50.0) -> str:
    """Give the frame as SVG: each stick at its true width, each pad with its height in millimetres.

    Parameters
    ----------
    job : Job
        Survey, plan and choices.
    takeoff : Takeoff
        Its sticks and pads are what is drawn.
    system : str
        ``imperial`` or ``metric``; pad heights stay in millimetres, since shims are sold so.
    scale : float
        Plan millimetres to one millimetre of paper.

    Returns
    -------
    svg : str
        True to scale when printed at its own size.

    References
    ----------
    Line widths ISO 128; definition.
    """
    canvas = ground(job, takeoff, f"Frame and pads of {job.title}", scale)
    widths = {section.id: section.width_mm for section in job.choices.sections}
    pads = {pad.id: pad for pad in job.choices.pads}
    canvas.layer("fields")
    for field in job.plan.deck_fields:
        canvas.polygon(field.outline_mm, "field", Pen(HAIR_MM, DASHED), field.name or field.id)
    canvas.layer("frame")
    for stick in takeoff.framing.sticks:
        if stick.role in _DECK_ROLES:
            corners = stick_corners(stick.start_mm, stick.end_mm, widths[stick.section])
            pen = Pen(MIDDLE_MM if stick.role == "breaker sleeper" else NARROW_MM, fill="paper")
            canvas.polygon(corners, stick.role.replace(" ", "-"), pen, f"{stick.role} {stick.id}")
    canvas.layer("pads")
    for spot in takeoff.framing.pads:
        half = pads[spot.pad].width_mm / 2
        x, y = spot.x_mm, spot.y_mm
        corners = ((x - half, y - half), (x + half, y - half), (x + half, y + half), (x - half, y + half))
        canvas.polygon(
            corners, "pad", Pen(HAIR_MM), f"pad {spot.id}, {spot.height_mm:.0f} mm, {spot.shims} shims"
        )
        canvas.text((x, y - half - canvas.paper_mm(1.2)), f"{spot.height_mm:.0f}", SMALL_MM * 0.7)
    fall_arrow(canvas, job, takeoff)
    return canvas.svg()


def stick_corners(
    start_mm: tuple[float, float], end_mm: tuple[float, float], width_mm: float
) -> tuple[tuple[float, float], ...]:
    """Give the outline of a stick on plan.

    Parameters
    ----------
    start_mm, end_mm : tuple of float
        Its centre line. [mm]
    width_mm : float
        Its width as laid. [mm]

    Returns
    -------
    corners : tuple of (float, float)
        Four of them, round the stick. [mm]

    References
    ----------
    Definition.
    """
    start, end = start_mm, end_mm
    length = ((end[0] - start[0]) ** 2 + (end[1] - start[1]) ** 2) ** 0.5 or 1.0
    left = (-(end[1] - start[1]) / length * width_mm / 2, (end[0] - start[0]) / length * width_mm / 2)
    return (
        (start[0] + left[0], start[1] + left[1]),
        (end[0] + left[0], end[1] + left[1]),
        (end[0] - left[0], end[1] - left[1]),
        (start[0] - left[0], start[1] - left[1]),
    )
