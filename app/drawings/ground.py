"""What lies under everything: the roof outline, its edges, drains, vents, doors, north and the fall."""

import math

from app.drawings.canvas import (
    DASHED,
    EXTRA_WIDE_MM,
    HAIR_MM,
    MIDDLE_MM,
    NARROW_MM,
    SMALL_MM,
    WIDE_MM,
    Canvas,
    Pen,
    Spot,
)
from app.drawings.hatches import define_hatches
from app.job.job import Job
from app.job.survey import Door, Drain, Penetration
from app.takeoff.chain import Takeoff

MARGIN_MM = 24.0  # on paper, for dimensions, north arrow and scale bar
_LEAF_STEPS = 24  # of the quarter circle that a door's leaf sweeps
_FALL_MM, _FALL_ARROW_MM = 13.0, 11.0  # on paper: the arrow's middle from the roof, its length
_WALL_MM = 150.0  # drawn thickness of a parapet or wall; its true thickness is not surveyed


def ground(job: Job, takeoff: Takeoff, title: str, scale: float) -> Canvas:
    """Start a drawing of the roof: outline, edges, drains, penetrations, doors, north, fall, scale bar.

    Parameters
    ----------
    job : Job
        Survey, plan and choices.
    takeoff : Takeoff
        What the engine says of it.
    title : str
        What the drawing shows.
    scale : float
        Plan millimetres to one millimetre of paper.

    Returns
    -------
    canvas : Canvas
        Ready for the layers above.

    References
    ----------
    Line widths ISO 128; definition.
    """
    survey = job.survey
    xs = [x for x, _ in survey.outline_mm]
    ys = [y for _, y in survey.outline_mm]
    margin = MARGIN_MM * scale
    box = (min(xs) - margin, min(ys) - margin, max(xs) + margin, max(ys) + margin)
    canvas = Canvas(box, scale, title)
    roof_on(canvas, job)
    _north(canvas, (box[2] - margin * 0.42, box[3] - margin * 0.45), survey.north_deg)
    _scale_bar(canvas, (box[0] + margin * 0.35, box[1] + margin * 0.22), job.units)
    return canvas


def roof_on(canvas: Canvas, job: Job) -> None:
    """Draw the roof itself: outline, edges, drains, penetrations and doors.

    Parameters
    ----------
    canvas : Canvas
        Drawing to put it in.
    job : Job
        Survey, plan and choices.

    References
    ----------
    Line widths ISO 128; definition.
    """
    survey = job.survey
    define_hatches(canvas)
    canvas.layer("roof")
    canvas.shape((survey.outline_mm, *survey.holes_mm), "roof", Pen(WIDE_MM, fill="paper"))
    _edges(canvas, job)
    for drain in survey.drains:
        _drain(canvas, drain)
    for penetration in survey.penetrations:
        _penetration(canvas, penetration)
    for door in survey.doors:
        _door(canvas, door, survey.outline_mm)


def fall_arrow(canvas: Canvas, job: Job, takeoff: Takeoff) -> None:
    """Draw the arrow along which water runs, with the fall in per cent.

    Parameters
    ----------
    canvas : Canvas
        Drawing to put it in.
    job : Job
        Survey, plan and choices.
    takeoff : Takeoff
        Holds the measured fall.

    References
    ----------
    Definition.
    """
    xs = [x for x, _ in job.survey.outline_mm]
    ys = [y for _, y in job.survey.outline_mm]
    # The margin's corner below right is free: dimensions run beside the roof's sides, not past them.
    middle = (max(xs) + canvas.paper_mm(_FALL_MM), min(ys) - canvas.paper_mm(_FALL_MM))
    way = math.radians(takeoff.roof.fall_deg)
    half = canvas.paper_mm(_FALL_ARROW_MM / 2)
    end = _from(middle, way, half)
    canvas.layer("fall")
    canvas.line((_from(middle, way, -half), end), "arrow", Pen(MIDDLE_MM))
    _head(canvas, end, way)
    words = f"fall {takeoff.roof.fall_pct:.1f} %"
    below = half * abs(math.sin(way)) + canvas.paper_mm(3)
    canvas.text((middle[0], middle[1] - below), words, SMALL_MM)


def _edges(canvas: Canvas, job: Job) -> None:
    ring = job.survey.outline_mm
    outside = -1.0 if _is_anticlockwise(ring) else 1.0
    for edge in job.survey.edges:
        start, end = ring[edge.from_corner], ring[(edge.from_corner + 1) % len(ring)]
        if edge.kind == "open":
            canvas.line((start, end), "open-edge", Pen(EXTRA_WIDE_MM, DASHED))
            continue
        length = math.dist(start, end) or 1.0
        left = (-(end[1] - start[1]) / length * outside, (end[0] - start[0]) / length * outside)
        thick = _WALL_MM if edge.kind in ("parapet", "wall") else _WALL_MM / 3
        far = (
            (end[0] + left[0] * thick, end[1] + left[1] * thick),
            (start[0] + left[0] * thick, start[1] + left[1] * thick),
        )
        fill = "wall" if edge.kind in ("parapet", "wall") else "none"
        label = f"{edge.kind} {edge.id}, {edge.height_mm:.0f} mm above the membrane"
        canvas.polygon((start, end, *far), "edge", Pen(NARROW_MM, fill=fill), label)


def _drain(canvas: Canvas, drain: Drain) -> None:
    at, radius = (drain.x_mm, drain.y_mm), drain.diameter_mm / 2
    canvas.circle(at, drain.keep_clear_mm, "keep-clear", Pen(HAIR_MM, DASHED))
    canvas.circle(at, radius, "drain", Pen(MIDDLE_MM, fill="paper"), f"{drain.kind} {drain.id}")
    for way in (math.pi / 4, 3 * math.pi / 4):
        canvas.line((_from(at, way, -radius), _from(at, way, radius)), "drain", Pen(NARROW_MM))


def _penetration(canvas: Canvas, it: Penetration) -> None:
    label = f"{it.kind} {it.id}"
    if it.shape == "round":
        canvas.circle((it.x_mm, it.y_mm), it.width_mm / 2, "penetration", Pen(MIDDLE_MM, fill="wall"), label)
        return
    half_x, half_y = it.width_mm / 2, (it.depth_mm or it.width_mm) / 2
    corners = tuple(
        (it.x_mm + sx * half_x, it.y_mm + sy * half_y) for sx, sy in ((-1, -1), (1, -1), (1, 1), (-1, 1))
    )
    canvas.polygon(corners, "penetration", Pen(MIDDLE_MM, fill="wall"), label)


def _door(canvas: Canvas, door: Door, ring: tuple[Spot, ...]) -> None:
    """Draw the opening along the nearest roof edge, with the leaf open the way it swings."""
    at = (door.x_mm, door.y_mm)
    along = min(
        ((a, b) for a, b in zip(ring, (*ring[1:], ring[0]), strict=True)),
        key=lambda side: _distance_to_side(at, *side),
    )
    way = math.atan2(along[1][1] - along[0][1], along[1][0] - along[0][0])
    inward = way + (math.pi / 2 if _is_anticlockwise(ring) else -math.pi / 2)
    start, end = _from(at, way, -door.width_mm / 2), _from(at, way, door.width_mm / 2)
    canvas.line((start, end), "door", Pen(EXTRA_WIDE_MM * 1.6))
    if door.swing != "slide":
        quarter = (inward - way) * (1 if door.swing == "out" else -1)
        steps = range(_LEAF_STEPS + 1)
        leaf = [_from(start, way + quarter * step / _LEAF_STEPS, door.width_mm) for step in steps]
        canvas.line((start, *reversed(leaf)), "door", Pen(HAIR_MM))
    words = door.id if door.id.startswith("door") else f"door {door.id}"
    canvas.text(_from(at, inward, canvas.paper_mm(3.4)), words, SMALL_MM)


def _north(canvas: Canvas, at: Spot, north_deg: float) -> None:
    """Draw a north arrow; the angle runs clockwise from up the sheet."""
    canvas.layer("north")
    way = math.radians(90 - north_deg)
    length = canvas.paper_mm(6)
    tip, foot = _from(at, way, length), _from(at, way, -length)
    wing = _from(foot, way + math.pi / 2, length * 0.35)
    canvas.circle(at, length, "north", Pen(HAIR_MM))
    canvas.polygon((tip, foot, wing), "north", Pen(NARROW_MM, fill="ink"))
    canvas.text(_from(at, way, length + canvas.paper_mm(2.4)), "N", SMALL_MM)


def _scale_bar(canvas: Canvas, at: Spot, system: str) -> None:
    """Draw a bar in four parts; it stays true when a browser or printer resizes the sheet."""
    canvas.layer("scale")
    part_mm, marks = (
        (609.6, ("0", "4 ft", "8 ft")) if system == "imperial" else (500.0, ("0 m", "1 m", "2 m"))
    )
    high = canvas.paper_mm(1.2)
    for part in range(4):
        left, right = at[0] + part * part_mm, at[0] + (part + 1) * part_mm
        fill = "ink" if part % 2 == 0 else "paper"
        corners = ((left, at[1]), (right, at[1]), (right, at[1] + high), (left, at[1] + high))
        canvas.polygon(corners, "scale", Pen(HAIR_MM, fill=fill))
    for place, mark in enumerate(marks):
        canvas.text((at[0] + place * 2 * part_mm, at[1] - canvas.paper_mm(2)), mark, SMALL_MM)
    end = at[0] + 4 * part_mm + canvas.paper_mm(4)
    canvas.text((end, at[1] + high / 2), f"1 : {canvas.scale:.0f}", SMALL_MM, anchor="start")


def _head(canvas: Canvas, tip: Spot, way: float) -> None:
    size = canvas.paper_mm(2.4)
    wings = (_from(tip, way + math.radians(165), size), _from(tip, way - math.radians(165), size))
    canvas.polygon((tip, *wings), "arrow", Pen(NARROW_MM, fill="ink"))


def _from(spot: Spot, way: float, length: float) -> Spot:
    return spot[0] + math.cos(way) * length, spot[1] + math.sin(way) * length


def _is_anticlockwise(ring: tuple[Spot, ...]) -> bool:
    return sum(a[0] * b[1] - b[0] * a[1] for a, b in zip(ring, (*ring[1:], ring[0]), strict=True)) > 0


def _distance_to_side(at: Spot, start: Spot, end: Spot) -> float:
    length2 = (end[0] - start[0]) ** 2 + (end[1] - start[1]) ** 2 or 1.0
    share = ((at[0] - start[0]) * (end[0] - start[0]) + (at[1] - start[1]) * (end[1] - start[1])) / length2
    share = min(1.0, max(0.0, share))
    return math.dist(at, (start[0] + share * (end[0] - start[0]), start[1] + share * (end[1] - start[1])))
