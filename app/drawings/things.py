"""Everything drawn on the roof but the boards: beds, boxes, walls, furniture, devices, with their names."""

import math
from collections.abc import Sequence

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
from app.job.job import Job
from app.job.plan import Box, FeatureWall, Fixture, GasStub, Outlet
from app.takeoff.chain import Takeoff

_HATCH_OF_BOX = {"planter": "soil", "bench": "seat", "counter": "top"}
_WALL_STANDS_PROUD_MM = 75.0  # drawn thickness of furring and cladding; common practice, no source


def box_corners(box: Box) -> tuple[Spot, ...]:
    """Give the footprint of a box set down on the plan.

    Parameters
    ----------
    box : Box
        Placed by its centre, turned by its angle.

    Returns
    -------
    corners : tuple of (float, float)
        Anticlockwise. [mm]

    References
    ----------
    Definition.
    """
    way = math.radians(box.angle_deg)
    cos, sin = math.cos(way), math.sin(way)
    halves = ((-1, -1), (1, -1), (1, 1), (-1, 1))
    spots = ((sx * box.length_mm / 2, sy * box.width_mm / 2) for sx, sy in halves)
    return tuple((box.x_mm + x * cos - y * sin, box.y_mm + x * sin + y * cos) for x, y in spots)


def draw_things(canvas: Canvas, job: Job, takeoff: Takeoff) -> None:
    """Draw beds, boxes, walls and furniture with their names.

    Parameters
    ----------
    canvas : Canvas
        Drawing to put them in.
    job : Job
        Survey, plan and choices.
    takeoff : Takeoff
        What the engine made of them.

    References
    ----------
    Line widths ISO 128; definition.
    """
    plan = job.plan
    placed: tuple[Fixture | Outlet | GasStub, ...] = (*plan.fixtures, *plan.outlets, *plan.gas_stubs)
    devices = tuple((d.x_mm, d.y_mm) for d in placed)
    canvas.layer("beds")
    for bed, source in zip(takeoff.layout.beds, job.plan.stone_beds, strict=True):
        canvas.polygon(bed.outline_mm, "bed", Pen(MIDDLE_MM, fill="stone"), source.name or bed.bed)
        _name(canvas, bed.outline_mm, source.name or bed.bed, devices)
    canvas.layer("boxes")
    names = {b.id: b.name for b in (*job.plan.planters, *job.plan.benches, *job.plan.counters)}
    for box in takeoff.layout.boxes:
        if box.kind == "steps":  # their treads are drawn as boards
            continue
        name = names.get(box.box) or box.box
        canvas.polygon(box.outline_mm, "box-ground", Pen(HAIR_MM, fill="paper"))
        canvas.polygon(box.outline_mm, box.kind, Pen(WIDE_MM, fill=_HATCH_OF_BOX[box.kind]), name)
        _name(canvas, box.outline_mm, name, devices)
    canvas.layer("furniture")
    for piece in job.plan.furniture:
        corners = box_corners(piece)
        canvas.polygon(corners, "furniture", Pen(NARROW_MM, DASHED, "paper"), piece.name or piece.id)
        _name(canvas, corners, piece.name or piece.id, devices)
    canvas.layer("feature-walls")
    for wall in job.plan.feature_walls:
        _wall(canvas, wall)


def draw_devices(canvas: Canvas, job: Job, *, with_tags: bool) -> None:
    """Draw lights, outlets, speakers, stubs and their sources.

    Parameters
    ----------
    canvas : Canvas
        Drawing to put them in.
    job : Job
        Survey, plan and choices.
    with_tags : bool
        Whether to write their ids beside them.

    References
    ----------
    Symbols are our own, explained in the legend: definition.
    """
    canvas.layer("devices")
    plan, survey = job.plan, job.survey
    for fixture in plan.fixtures:
        _mark(canvas, (fixture.x_mm, fixture.y_mm), "light", fixture.id if with_tags else "", fixture.id)
    for outlet in plan.outlets:
        _mark(canvas, (outlet.x_mm, outlet.y_mm), "outlet", outlet.id if with_tags else "", outlet.id)
    for speaker in plan.speakers:
        _mark(canvas, (speaker.x_mm, speaker.y_mm), "speaker", speaker.id if with_tags else "", speaker.id)
    for stub in plan.gas_stubs:
        _mark(canvas, (stub.x_mm, stub.y_mm), "gas", stub.id if with_tags else "", stub.id)
    for sources in (plan.transformers, plan.amplifiers, survey.power_points, survey.gas_points):
        for source in sources:
            _mark(canvas, (source.x_mm, source.y_mm), "source", source.id if with_tags else "", source.id)


def _wall(canvas: Canvas, wall: FeatureWall) -> None:
    start, end = wall.start_mm, wall.end_mm
    length = math.dist(start, end) or 1.0
    left = (-(end[1] - start[1]) / length, (end[0] - start[0]) / length)
    half = _WALL_STANDS_PROUD_MM / 2
    corners = (
        (start[0] - left[0] * half, start[1] - left[1] * half),
        (end[0] - left[0] * half, end[1] - left[1] * half),
        (end[0] + left[0] * half, end[1] + left[1] * half),
        (start[0] + left[0] * half, start[1] + left[1] * half),
    )
    canvas.polygon(corners, "feature-wall", Pen(EXTRA_WIDE_MM, fill="wall"), wall.name or wall.id)
    middle = ((start[0] + end[0]) / 2, (start[1] + end[1]) / 2)
    off = canvas.paper_mm(3)
    turn = math.degrees(math.atan2(end[1] - start[1], end[0] - start[0]))
    turn = turn - 180 if turn > 90 else turn + 180 if turn <= -90 else turn
    canvas.text((middle[0] + left[0] * off, middle[1] + left[1] * off), wall.name or wall.id, turn_deg=turn)


def _mark(canvas: Canvas, at: Spot, kind: str, tag: str, label: str) -> None:
    size = canvas.paper_mm(1.3)
    x, y = at
    if kind == "light":
        canvas.circle(at, size, "light", Pen(NARROW_MM, fill="paper"), f"light {label}")
        canvas.line(((x - size, y), (x + size, y)), "light", Pen(NARROW_MM))
        canvas.line(((x, y - size), (x, y + size)), "light", Pen(NARROW_MM))
    elif kind == "speaker":
        triangle = ((x - size, y - size), (x + size, y - size), (x, y + size))
        canvas.polygon(triangle, "speaker", Pen(NARROW_MM, fill="paper"), f"speaker {label}")
    elif kind == "gas":
        diamond = ((x, y - size), (x + size, y), (x, y + size), (x - size, y))
        canvas.polygon(diamond, "gas", Pen(MIDDLE_MM, fill="paper"), f"gas stub {label}")
    else:
        square = ((x - size, y - size), (x + size, y - size), (x + size, y + size), (x - size, y + size))
        fill = "ink" if kind == "source" else "paper"
        canvas.polygon(square, kind, Pen(NARROW_MM, fill=fill), f"{kind} {label}")
        if kind == "outlet":
            canvas.line(((x - size / 2, y), (x + size / 2, y)), "outlet", Pen(NARROW_MM))
    if tag:
        canvas.text((x + canvas.paper_mm(2.2), y + canvas.paper_mm(1.8)), tag, SMALL_MM, anchor="start")


def _name(canvas: Canvas, ring: Sequence[Spot], words: str, devices: Sequence[Spot]) -> None:
    """Write a name on a slip of paper along the longer side, where it hides the fewest devices.

    The slip keeps hatches and boards from running through the letters.
    """
    xs, ys = [x for x, _ in ring], [y for _, y in ring]
    wide, high = max(xs) - min(xs), max(ys) - min(ys)
    is_upright = high > wide * 1.2
    half_along = canvas.paper_mm(SMALL_MM * 0.22 * len(words) + 0.8)
    half_across = canvas.paper_mm(SMALL_MM * 0.65)
    centre = ((min(xs) + max(xs)) / 2, (min(ys) + max(ys)) / 2)
    room = (high if is_upright else wide) / 2 - half_along
    if room < 0:  # longer than the thing itself: beside it
        aside = canvas.paper_mm(SMALL_MM * 0.9)
        at = (max(xs) + aside, centre[1]) if is_upright else (centre[0], max(ys) + aside)
    else:
        shifts = (0.0, room * 0.5, -room * 0.5, room, -room)
        spots = [(centre[0], centre[1] + s) if is_upright else (centre[0] + s, centre[1]) for s in shifts]
        near = half_along + canvas.paper_mm(1.5)
        at = max(spots, key=lambda spot: min((math.dist(spot, d) for d in devices), default=near) >= near)
    half_x, half_y = (half_across, half_along) if is_upright else (half_along, half_across)
    x, y = at
    slip = (
        (x - half_x, y - half_y),
        (x + half_x, y - half_y),
        (x + half_x, y + half_y),
        (x - half_x, y + half_y),
    )
    canvas.polygon(slip, "slip", Pen(0.0, fill="paper"))
    canvas.text(at, words, turn_deg=90.0 if is_upright else 0.0)
