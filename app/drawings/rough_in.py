"""The rough-in: every run on its real path with its tag, by layer, over a faint plan."""

import math
from collections.abc import Collection, Mapping, Sequence
from dataclasses import replace
from itertools import pairwise

from app.drawings.canvas import CHAIN, DASHED, HAIR_MM, MIDDLE_MM, NARROW_MM, SMALL_MM, Canvas, Pen, Spot
from app.drawings.ground import ground
from app.drawings.labels import Label, Room, write_labels
from app.drawings.things import box_corners, draw_devices, draw_things
from app.job.job import Job
from app.job.plan import Amplifier, Fixture, GasStub, Outlet, Speaker, Transformer
from app.job.survey import GasPoint, PowerPoint
from app.takeoff.chain import Takeoff
from app.takeoff.roughin.records import Joint, Run

# Told apart by dash and by weight, named in the legend; colour would say nothing on a grey print.
PEN_OF_KIND = {
    "lighting": Pen(MIDDLE_MM, DASHED),
    "sound": Pen(NARROW_MM, (1.0, 1.0)),
    "power": Pen(MIDDLE_MM, CHAIN),
    "gas": Pen(MIDDLE_MM * 2),
}
LAYERS = tuple(PEN_OF_KIND)
AS_DRAWN = Pen(HAIR_MM, (0.3, 0.9))  # fine dots: where the plan had a run that lies elsewhere
SPOT_MM = 0.5  # radius of a spot measured by tape, on paper
Placed = Fixture | Outlet | Speaker | GasStub
Source = Transformer | Amplifier | PowerPoint
SYMBOL_MM, LINE_MM = 1.4, 0.4  # half a symbol, half a line with its margin, on paper
EDGE_MM = 150.0  # on plan, what is drawn of a parapet or wall


def rough_in_svg(
    job: Job,
    takeoff: Takeoff,
    system: str,
    scale: float = 50.0,
    kinds: Collection[str] = LAYERS,
    built: Mapping[str, Sequence[Spot]] | None = None,
) -> str:
    """Give the rough-in as SVG, each kind of run in a layer of its own.

    Parameters
    ----------
    job : Job
        Survey, plan and choices.
    takeoff : Takeoff
        Its runs are what is drawn.
    system : str
        ``imperial`` or ``metric``.
    scale : float
        Plan millimetres to one millimetre of paper.
    kinds : collection of str
        Layers to draw: ``lighting``, ``power``, ``sound``, ``gas``.
    built : mapping of str to sequence of tuple of float, or None
        By run, the way it was measured on site; the one drawn then stands beneath it in fine dots. [mm]

    Returns
    -------
    svg : str
        True to scale when printed at its own size.

    References
    ----------
    Line kinds ISO 128; definition.
    """
    canvas = ground(job, takeoff, f"Rough-in of {job.title}", scale)
    canvas.layer("fields")
    for field in job.plan.deck_fields:
        canvas.polygon(field.outline_mm, "field", Pen(HAIR_MM, DASHED), field.name or field.id)
    draw_things(canvas, job, takeoff)
    drawn = [run for run in takeoff.rough_in.runs if run.kind in kinds and len(run.path_mm) > 1]
    shown = [replace(run, path_mm=tuple((built or {}).get(run.id, run.path_mm))) for run in drawn]
    _as_drawn(canvas, drawn, built or {})
    for kind in LAYERS:
        runs = [run for run in shown if run.kind == kind]
        if runs:
            canvas.layer(f"runs-{kind}")
            _runs(canvas, runs)
    _by_tape(canvas, [run for run in shown if run.id in (built or {})])
    _joints(canvas, takeoff, kinds)
    draw_devices(canvas, job, with_tags=False)
    _fixed_points(canvas, takeoff)
    _write(canvas, job, shown, takeoff.rough_in.joints, kinds)
    return canvas.svg()


def _runs(canvas: Canvas, runs: list[Run]) -> None:
    """Draw the runs of one layer."""
    for run in runs:
        canvas.line(run.path_mm, f"run-{run.kind}", PEN_OF_KIND[run.kind])


def _as_drawn(canvas: Canvas, runs: list[Run], built: Mapping[str, Sequence[Spot]]) -> None:
    """Draw lightly where the plan had the runs that lie elsewhere."""
    moved = [run for run in runs if run.id in built]
    if moved:
        canvas.layer("runs-as-drawn")
    for run in moved:
        canvas.line(run.path_mm, "run-as-drawn", AS_DRAWN)


def _by_tape(canvas: Canvas, runs: list[Run]) -> None:
    """Mark the spots that were measured by tape."""
    if runs:
        canvas.layer("spots-by-tape")
    for run in runs:
        for spot in run.path_mm[1:-1]:
            words = f"{run.id}, by tape"
            canvas.circle(spot, canvas.paper_mm(SPOT_MM), "by-tape", Pen(NARROW_MM, fill="ink"), words)


def _named(job: Job, kinds: Collection[str]) -> list[tuple[str, Spot]]:
    """Give what runs of some kinds begin or end at, sources first."""
    plan, survey = job.plan, job.survey
    groups: tuple[tuple[str, Sequence[Placed | Source | GasPoint]], ...] = (
        ("lighting power", plan.transformers),
        ("sound power", plan.amplifiers),
        ("power", survey.power_points),
        ("gas", survey.gas_points),
        ("lighting", plan.fixtures),
        ("power", plan.outlets),
        ("sound", plan.speakers),
        ("gas", plan.gas_stubs),
    )
    shown = [thing for met, things in groups if set(met.split()) & set(kinds) for thing in things]
    return [(thing.id, (thing.x_mm, thing.y_mm)) for thing in shown]


def _write(
    canvas: Canvas, job: Job, runs: list[Run], joints: Sequence[Joint], kinds: Collection[str]
) -> None:
    """Write the name of each device and the tag of each run, none over another."""
    canvas.layer("tags")
    spots = _named(job, kinds)
    half = canvas.paper_mm(SYMBOL_MM)
    shown = {run.circuit for run in runs}
    things: list[Spot] = [at for _, at in spots]
    things += [(one.x_mm, one.y_mm) for one in joints if one.id.split("/")[0] in shown]
    rooms: list[Room] = [(x - half, y - half, x + half, y + half) for x, y in things]
    line = canvas.paper_mm(LINE_MM)
    lines = [_strip(a, b, half_mm=line) for run in runs for a, b in pairwise(run.path_mm)]
    ring = job.survey.outline_mm
    lines += _filled(job, line)
    lines += [_strip(a, b, half_mm=EDGE_MM) for a, b in pairwise((*ring, ring[0])) if _is_square(a, b)]
    write_labels(canvas, [Label(name, at) for name, at in spots], rooms, lines)
    tags = []
    for run in sorted(runs, key=lambda run: (run.level_mm, run.id)):
        (ax, ay), (bx, by) = max(pairwise(run.path_mm), key=lambda part: math.dist(*part))
        tags.append(Label(run.id, ((ax + bx) / 2, (ay + by) / 2), SMALL_MM * 0.9))
    write_labels(canvas, tags, rooms, lines)


def _filled(job: Job, half_mm: float) -> list[Room]:
    """Give the rooms of hatches and heavy lines, beside which words are read better: boxes and walls."""
    plan = job.plan
    boxes = [box_corners(box) for box in (*plan.planters, *plan.benches, *plan.counters)]
    walls = [(wall.start_mm, wall.end_mm) for wall in plan.feature_walls]
    return [_strip(*corners, half_mm=half_mm) for corners in (*boxes, *walls)]


def _is_square(start: Spot, end: Spot) -> bool:
    """Say whether a line lies along the sheet; the room of a slanting one would be too much."""
    return min(abs(start[0] - end[0]), abs(start[1] - end[1])) < 1.0


def _strip(*spots: Spot, half_mm: float) -> Room:
    """Give the room round some spots, so that no words stand on what lies between them."""
    xs, ys = [x for x, _ in spots], [y for _, y in spots]
    return (min(xs) - half_mm, min(ys) - half_mm, max(xs) + half_mm, max(ys) + half_mm)


def _joints(canvas: Canvas, takeoff: Takeoff, kinds: Collection[str]) -> None:
    """Draw the boxes in which runs are joined; one under boards is crossed out."""
    shown = {run.circuit for run in takeoff.rough_in.runs if run.kind in kinds}
    canvas.layer("boxes-of-runs")
    half = canvas.paper_mm(1.1)
    for joint in takeoff.rough_in.joints:
        if joint.id.split("/")[0] not in shown:
            continue
        x, y = joint.x_mm, joint.y_mm
        corners = ((x - half, y - half), (x + half, y - half), (x + half, y + half), (x - half, y + half))
        words = f"box {joint.id}, {joint.lies}"
        canvas.polygon(corners, "joint", Pen(NARROW_MM, fill="paper"), words)
        if not joint.is_reachable:
            canvas.line((corners[0], corners[2]), "joint-covered", Pen(NARROW_MM))
            canvas.line((corners[1], corners[3]), "joint-covered", Pen(NARROW_MM))


def _fixed_points(canvas: Canvas, takeoff: Takeoff) -> None:
    """Mark the two corners that everything is measured from."""
    canvas.layer("fixed-points")
    for name, spot in zip("AB", takeoff.rough_in.fixed_points_mm, strict=False):
        canvas.circle(
            spot, canvas.paper_mm(1.5), "fixed-point", Pen(MIDDLE_MM, fill="paper"), f"corner {name}"
        )
        canvas.text(spot, name, SMALL_MM * 0.9)
