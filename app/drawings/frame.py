"""The frame: sleepers, rims, blocking and pads, with the height of every pad."""

from app.drawings.canvas import DASHED, HAIR_MM, MIDDLE_MM, NARROW_MM, WIDE_MM, Pen
from app.drawings.ground import fall_arrow, ground
from app.drawings.stick_shapes import stick_corners, stick_shapes
from app.drawings.strokes import UNDER_DECK, draw_fields, draw_stick, pad_marks, write_pad
from app.job.choices import Pad
from app.job.job import Job
from app.measure.show import format_length
from app.takeoff.chain import Takeoff
from app.takeoff.framing.records import PadSpot, Stick

_PENS = {"breaker sleeper": Pen(MIDDLE_MM, fill="paper"), "doubling": Pen(MIDDLE_MM, DASHED)}


def frame_svg(job: Job, takeoff: Takeoff, system: str, scale: float = 50.0) -> str:
    """Give the frame as SVG: each stick at its true width, each pad with its mark and its height.

    Parameters
    ----------
    job : Job
        Survey, plan and choices.
    takeoff : Takeoff
        Its sticks and pads are what is drawn.
    system : str
        ``imperial`` or ``metric``.
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
    shapes = stick_shapes(job, takeoff)
    pads = {pad.id: pad for pad in job.choices.pads}
    feet = {pedestal.id: pedestal.foot_mm for pedestal in job.choices.pedestals}
    draw_fields(canvas, job)
    canvas.layer("frame")
    for stick in takeoff.framing.sticks:  # second sleepers come after the first, and so lie on top, dashed
        if stick.role in UNDER_DECK:
            pen = _PENS.get(stick.role, Pen(NARROW_MM, fill="paper"))
            draw_stick(canvas, stick, shapes[stick.id], pen)
    canvas.layer("pads")
    sticks = {stick.id: stick for stick in takeoff.framing.sticks}
    tall = {pad for field in takeoff.framing.tall_pads for pad in field.pads}
    marks = pad_marks(takeoff)
    for spot in takeoff.framing.pads:
        corners = _pad_corners(spot, sticks[spot.stick], pads[spot.pad])
        pen = Pen(WIDE_MM if spot.id in tall and not spot.pedestal else HAIR_MM)
        if spot.pedestal:
            words = f"pedestal {spot.id}, {marks[spot.id]}, {format_length(spot.height_mm, system)}"
            canvas.circle((spot.x_mm, spot.y_mm), feet[spot.pedestal] / 2, "pedestal", pen, words)
        else:
            kind = "tall-pad" if spot.id in tall else "pad"
            canvas.polygon(corners, kind, pen, _told(spot, marks[spot.id], system))
        below_mm = min(y for _, y in corners) - canvas.paper_mm(1.2)
        write_pad(canvas, (spot.x_mm, below_mm), spot, marks[spot.id], system)
    fall_arrow(canvas, job, takeoff)
    return canvas.svg()


def _pad_corners(spot: PadSpot, stick: Stick, pad: Pad) -> tuple[tuple[float, float], ...]:
    """Give a pad's footprint: its length along the stick it carries."""
    (x0, y0), (x1, y1) = stick.start_mm, stick.end_mm
    half = pad.length_mm / 2 / (((x1 - x0) ** 2 + (y1 - y0) ** 2) ** 0.5 or 1.0)
    dx, dy = (x1 - x0) * half, (y1 - y0) * half
    return stick_corners((spot.x_mm - dx, spot.y_mm - dy), (spot.x_mm + dx, spot.y_mm + dy), pad.width_mm)


def _told(spot: PadSpot, mark: str, system: str) -> str:
    """Give what a pad is made up of, in words."""
    packers = f"packers {', '.join(spot.packers)}, " if spot.packers else ""
    under = ", under two sleepers" if spot.is_doubled else ""
    return (
        f"pad {spot.id}, {mark}, {format_length(spot.height_mm, system)}, {packers}{spot.shims} shims{under}"
    )
