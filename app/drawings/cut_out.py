"""The part of the roof that one day's work touches, cut out of the plan, and a key to where it lies."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

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
from app.drawings.ground import roof_on
from app.drawings.rough_in import PEN_OF_KIND
from app.drawings.stick_shapes import stick_shapes
from app.drawings.strokes import (
    Box,
    draw_board,
    draw_fields,
    draw_stick,
    pad_marks,
    rectangle,
    write_pad,
)
from app.drawings.things import draw_devices, draw_things
from app.drawings.today import TODAY, write_number
from app.job.job import Job
from app.job.plan import Amplifier, Fixture, GasStub, Outlet, Speaker, Transformer
from app.takeoff.chain import Takeoff

_STRIP_MM = 350.0  # of the roof, round what the day touches
_LEAST_MM = 1500.0  # a smaller cut-out would not show where it lies
_KEY_WALL_MM = 120.0


@dataclass(frozen=True, slots=True)
class Today:
    """What one day does of one phase.

    Attributes
    ----------
    phase : str
        Of the estimate; empty for the whole roof.
    now, before : frozenset of str
        Ids of boards, sticks, runs, boxes, beds or devices: of the day, and done already.
    """

    phase: str
    now: frozenset[str]
    before: frozenset[str]


def cut_out_box(job: Job, takeoff: Takeoff, names: frozenset[str]) -> Box:
    """Give the part of the plan that some boards, sticks, runs, boxes, beds or devices lie in.

    Parameters
    ----------
    job : Job
        Survey, plan and choices.
    takeoff : Takeoff
        Where everything lies.
    names : frozenset of str
        Their ids; pieces of a wall count by the wall, those of a box by the box.

    Returns
    -------
    box_mm : tuple of float
        Least x and y, greatest x and y, with a strip of roof round it; the whole roof when nothing is
        named. [mm]

    References
    ----------
    Definition.
    """
    spots = [spot for ring in _rings_of(job, takeoff, names) for spot in ring] or list(job.survey.outline_mm)
    xs, ys = [x for x, _ in spots], [y for _, y in spots]
    found = []
    for low, high in ((min(xs), max(xs)), (min(ys), max(ys))):
        more = max(_STRIP_MM, (_LEAST_MM - (high - low)) / 2)
        found.append((low - more, high + more))
    return (found[0][0], found[1][0], found[0][1], found[1][1])


def cut_out_svg(job: Job, takeoff: Takeoff, today: Today, box_mm: Box, scale: float) -> str:
    """Give the part of the plan that a day is worked from: what is done that day is shaded and numbered.

    Parameters
    ----------
    job : Job
        Survey, plan and choices.
    takeoff : Takeoff
        Its pieces, sticks and runs are what is drawn.
    today : Today
        What the day does.
    box_mm : tuple of float
        The part to show, from `cut_out_box`. [mm]
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
    canvas = Canvas(box_mm, scale, f"Cut-out of {job.title} for the day")
    roof_on(canvas, job)
    draw_fields(canvas, job)
    if today.phase == "frame":
        _frame(canvas, job, takeoff, today)
    elif today.phase == "boards":
        _boards(canvas, takeoff, today)
    elif today.phase == "rough-in":
        draw_things(canvas, job, takeoff)
        _runs(canvas, takeoff, today)
        draw_devices(canvas, job, with_tags=True)
    else:
        _others(canvas, job, takeoff, today)
    canvas.layer("cut")
    left, bottom, right, top = box_mm
    canvas.polygon(
        ((left, bottom), (right, bottom), (right, top), (left, top)), "cut-line", Pen(WIDE_MM, DASHED)
    )
    return canvas.svg()


def key_plan_svg(job: Job, box_mm: Box | None, wide_mm: float, high_mm: float) -> str:
    """Give the roof in small, with the part marked that is cut out.

    Parameters
    ----------
    job : Job
        Survey, plan and choices.
    box_mm : tuple of float or None
        The part; None marks nothing. [mm]
    wide_mm, high_mm : float
        Room on paper. [mm]

    Returns
    -------
    svg : str
        Not to a scale of the list: it tells where, not how long.

    References
    ----------
    Definition.
    """
    xs, ys = [x for x, _ in job.survey.outline_mm], [y for _, y in job.survey.outline_mm]
    least, greatest = (min(xs), min(ys)), (max(xs), max(ys))
    if box_mm is not None:  # the strip round a cut-out may reach past the roof
        least = (min(least[0], box_mm[0]), min(least[1], box_mm[1]))
        greatest = (max(greatest[0], box_mm[2]), max(greatest[1], box_mm[3]))
    wide, high = greatest[0] - least[0], greatest[1] - least[1]
    scale = max(wide / (wide_mm - 2), high / (high_mm - 2), 1.0)
    edge = scale
    canvas = Canvas(
        (least[0] - edge, least[1] - edge, greatest[0] + edge, greatest[1] + edge), scale, "Key plan"
    )
    canvas.layer("roof")
    rings = (job.survey.outline_mm, *job.survey.holes_mm)
    canvas.shape(rings, "roof", Pen(MIDDLE_MM, fill="paper"))
    if box_mm is not None:
        canvas.polygon(rectangle(box_mm), "cut-line", Pen(WIDE_MM, DASHED, TODAY))
        canvas.shape(rings, "roof", Pen(MIDDLE_MM))
    draw_fields(canvas, job, Pen(HAIR_MM))
    for wall in job.plan.feature_walls:
        canvas.line((wall.start_mm, wall.end_mm), "feature-wall", Pen(EXTRA_WIDE_MM))
    for door in job.survey.doors:
        canvas.text((door.x_mm, door.y_mm), "door", SMALL_MM * 0.8)
    return canvas.svg()


def _rings_of(job: Job, takeoff: Takeoff, names: frozenset[str]) -> list[Sequence[Spot]]:
    """Give the outline on plan of everything named."""
    found: list[Sequence[Spot]] = []
    places: set[str] = set()
    for piece in takeoff.layout.pieces:
        if piece.id in names and piece.plane == "plan":
            found.append(piece.outline_mm)
        elif piece.id in names:
            places.add(piece.place)
    for stick in takeoff.framing.sticks:
        if stick.id in names and stick.role not in ("furring", "frame"):
            found.append((stick.start_mm, stick.end_mm))
        elif stick.id in names:
            places.add(stick.place)
    found += [run.path_mm for run in takeoff.rough_in.runs if run.id in names]
    found += [box.outline_mm for box in takeoff.layout.boxes if box.box in places]
    found += [bed.outline_mm for bed in takeoff.layout.beds if bed.bed in names]
    found += [(wall.start_mm, wall.end_mm) for wall in job.plan.feature_walls if wall.id in places]
    found += [((x, y),) for x, y in _devices(job, names)]
    return found


def _devices(job: Job, names: frozenset[str]) -> list[Spot]:
    plan = job.plan
    devices: tuple[Fixture | Outlet | Speaker | GasStub | Transformer | Amplifier, ...]
    devices = (*plan.fixtures, *plan.outlets, *plan.speakers)
    devices = (*devices, *plan.gas_stubs, *plan.transformers, *plan.amplifiers)
    return [(one.x_mm, one.y_mm) for one in devices if one.id in names]


def _is_shown(canvas: Canvas, spots: Iterable[Spot]) -> bool:
    """Tell whether something reaches into the part that is cut out."""
    rows = tuple(spots)
    xs, ys = [x for x, _ in rows], [y for _, y in rows]
    left, bottom, right, top = canvas.box_mm
    return min(xs) <= right and max(xs) >= left and min(ys) <= top and max(ys) >= bottom


def _boards(canvas: Canvas, takeoff: Takeoff, today: Today) -> None:
    """Draw boards: of the day shaded and numbered, laid before plain, later ones in dashes."""
    canvas.layer("boards")
    later = Pen(HAIR_MM, (1.0, 1.0))
    for piece in takeoff.layout.pieces:
        if piece.plane != "plan" or not _is_shown(canvas, piece.outline_mm):
            continue
        is_now, is_done = piece.id in today.now, piece.id in today.before
        pen = Pen(NARROW_MM, fill=TODAY) if is_now else Pen(HAIR_MM, fill="paper") if is_done else later
        draw_board(canvas, piece, pen)
        if is_now:
            write_number(canvas, piece.id, piece.outline_mm)


def _frame(canvas: Canvas, job: Job, takeoff: Takeoff, today: Today) -> None:
    """Draw sticks and the pads under those of the day, with mark and height."""
    shapes = stick_shapes(job, takeoff)
    canvas.layer("frame")
    for stick in takeoff.framing.sticks:
        if stick.id not in shapes or not _is_shown(canvas, shapes[stick.id]):
            continue
        corners = shapes[stick.id]
        is_now, is_done = stick.id in today.now, stick.id in today.before
        pen = Pen(NARROW_MM, fill=TODAY) if is_now else Pen(HAIR_MM, () if is_done else (1.0, 1.0))
        draw_stick(canvas, stick, corners, pen)
        if is_now:
            write_number(canvas, stick.id, corners)
    canvas.layer("pads")
    marks = pad_marks(takeoff)
    for spot in takeoff.framing.pads:
        at = (spot.x_mm, spot.y_mm)
        if spot.stick in today.now and _is_shown(canvas, (at,)):
            canvas.circle(at, canvas.paper_mm(0.7), "pad", Pen(NARROW_MM, fill="ink"), f"pad {spot.id}")
            below = (spot.x_mm, spot.y_mm - canvas.paper_mm(2.0))
            write_pad(canvas, below, spot, marks[spot.id], job.units)


def _runs(canvas: Canvas, takeoff: Takeoff, today: Today) -> None:
    """Draw the runs of the day with their tags, those laid before in hairlines."""
    canvas.layer("runs")
    for run in takeoff.rough_in.runs:
        if len(run.path_mm) < 2 or not _is_shown(canvas, run.path_mm):
            continue
        is_now = run.id in today.now
        canvas.line(run.path_mm, f"run-{run.kind}", PEN_OF_KIND[run.kind] if is_now else Pen(HAIR_MM))
        if is_now:
            middle = run.path_mm[len(run.path_mm) // 2]
            canvas.text((middle[0], middle[1] + canvas.paper_mm(1.6)), run.id, SMALL_MM * 0.8)


def _others(canvas: Canvas, job: Job, takeoff: Takeoff, today: Today) -> None:
    """Draw boards in hairlines and all that stands on them; boxes, beds and devices of the day shaded."""
    canvas.layer("boards")
    for piece in takeoff.layout.pieces:
        if piece.plane == "plan" and _is_shown(canvas, piece.outline_mm):
            draw_board(canvas, piece, Pen(HAIR_MM / 2, fill="paper"))
    draw_things(canvas, job, takeoff)
    canvas.layer("today")
    places = {piece.place for piece in takeoff.layout.pieces if piece.id in today.now}
    places |= {stick.place for stick in takeoff.framing.sticks if stick.id in today.now} | today.now
    rings = [box.outline_mm for box in takeoff.layout.boxes if box.box in places]
    rings += [bed.outline_mm for bed in takeoff.layout.beds if bed.bed in places]
    for ring in rings:
        canvas.polygon(ring, "today", Pen(EXTRA_WIDE_MM))
    for wall in job.plan.feature_walls:
        if wall.id in places:
            canvas.line((wall.start_mm, wall.end_mm), "today", Pen(_KEY_WALL_MM / canvas.scale))
    draw_devices(canvas, job, with_tags=today.phase == "fit-out")
    for at in _devices(job, today.now):
        canvas.circle(at, canvas.paper_mm(2.4), "today", Pen(WIDE_MM))
