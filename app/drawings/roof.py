"""The roof as measured: spot heights, zones, folds, which way water runs, and where it would stand."""

import math

import shapely

from app.drawings.canvas import DASHED, HAIR_MM, MIDDLE_MM, NARROW_MM, SMALL_MM, Canvas, Pen
from app.drawings.dimensions import dimension_ring
from app.drawings.ground import fall_arrow, ground
from app.job.job import Job
from app.measure.show import format_length
from app.takeoff.chain import Takeoff

_ARROW_MM = 7.0  # on paper, for a fall of two per cent; longer or shorter by its root
_CROSS_MM = 0.9


def roof_svg(job: Job, takeoff: Takeoff, system: str, scale: float = 50.0) -> str:
    """Give the roof as measured, as SVG.

    Parameters
    ----------
    job : Job
        Survey.
    takeoff : Takeoff
        What the engine reads from it.
    system : str
        ``imperial`` or ``metric``, for heights and dimensions.
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
    canvas = ground(job, takeoff, f"Roof of {job.title} as measured", scale)
    _zones(canvas, job)
    _ponds(canvas, takeoff, system)
    _arrows(canvas, takeoff)
    _heights(canvas, job, system)
    canvas.layer("dimensions")
    dimension_ring(canvas, job.survey.outline_mm, 9.0, system)
    fall_arrow(canvas, job, takeoff)
    return canvas.svg()


def _zones(canvas: Canvas, job: Job) -> None:
    canvas.layer("zones")
    for zone in job.survey.zones:
        canvas.polygon(zone.outline_mm, "zone", Pen(MIDDLE_MM, DASHED), f"zone {zone.id}")
        xs, ys = zip(*zone.outline_mm, strict=True)
        spot = (min(xs) + canvas.paper_mm(1.5), max(ys) - canvas.paper_mm(2.5))
        canvas.text(spot, zone.name or zone.id, SMALL_MM, anchor="start")
    for fold in job.survey.folds:
        canvas.line((fold.start_mm, fold.end_mm), "fold", Pen(MIDDLE_MM))
        middle = (
            (fold.start_mm[0] + fold.end_mm[0]) / 2,
            (fold.start_mm[1] + fold.end_mm[1]) / 2 + canvas.paper_mm(2.2),
        )
        canvas.text(middle, fold.kind if fold.id == fold.kind else f"{fold.kind} {fold.id}", SMALL_MM)


def _ponds(canvas: Canvas, takeoff: Takeoff, system: str) -> None:
    canvas.layer("ponds")
    for pond in takeoff.roof.ponds:
        radius_mm = 1000.0 * math.sqrt(pond.area_m2 / math.pi)
        depth = format_length(pond.depth_mm, system)
        label = f"water would stand {depth} deep, {pond.area_m2:.1f} m²"
        canvas.circle((pond.x_mm, pond.y_mm), radius_mm, "pond", Pen(NARROW_MM, DASHED), label)
        canvas.text((pond.x_mm, pond.y_mm - canvas.paper_mm(2.4)), f"{depth} deep", SMALL_MM)


def _arrows(canvas: Canvas, takeoff: Takeoff) -> None:
    canvas.layer("flow")
    for arrow in takeoff.roof.arrows:
        way = math.radians(arrow.direction_deg)
        length = canvas.paper_mm(_ARROW_MM * min(1.5, max(0.5, math.sqrt(arrow.fall_pct / 2.0))))
        tip = (arrow.x_mm + math.cos(way) * length / 2, arrow.y_mm + math.sin(way) * length / 2)
        foot = (2 * arrow.x_mm - tip[0], 2 * arrow.y_mm - tip[1])
        canvas.line((foot, tip), "flow", Pen(HAIR_MM))
        wings = [
            (
                tip[0] + math.cos(way + turn) * canvas.paper_mm(1.8),
                tip[1] + math.sin(way + turn) * canvas.paper_mm(1.8),
            )
            for turn in (math.radians(160), -math.radians(160))
        ]
        label = f"{arrow.fall_pct:.1f} %"
        canvas.polygon((tip, *wings), "flow", Pen(HAIR_MM, fill="ink"), label)


def _heights(canvas: Canvas, job: Job, system: str) -> None:
    canvas.layer("heights")
    reach = canvas.paper_mm(_CROSS_MM)
    left, low, right, high = shapely.Polygon(job.survey.outline_mm).bounds
    for spot in job.survey.spot_heights:
        x, y = spot.x_mm, spot.y_mm
        canvas.line(((x - reach, y), (x + reach, y)), "spot", Pen(NARROW_MM))
        canvas.line(((x, y - reach), (x, y + reach)), "spot", Pen(NARROW_MM))
        words = format_length(spot.z_mm, system).removesuffix(" mm")
        # Towards the middle of the roof, so that walls do not run through the figures.
        is_left, is_low = x < (left + right) / 2, y < (low + high) / 2
        beside = (x + (reach if is_left else -reach), y + canvas.paper_mm(2.2 if is_low else -2.2))
        canvas.text(beside, words, SMALL_MM * 0.85, anchor="start" if is_left else "end")
