"""The rough-in: every run on its real path with its tag, by layer, over a faint plan."""

import math
from collections.abc import Collection
from itertools import pairwise

from app.drawings.canvas import CHAIN, DASHED, HAIR_MM, MIDDLE_MM, NARROW_MM, SMALL_MM, Canvas, Pen, Spot
from app.drawings.ground import ground
from app.drawings.things import draw_devices, draw_things
from app.job.job import Job
from app.job.plan import Amplifier, Fixture, GasStub, Outlet, Speaker, Transformer
from app.job.survey import PowerPoint
from app.takeoff.chain import Takeoff
from app.takeoff.roughin.records import Run

# Told apart by dash and by weight, named in the legend; colour would say nothing on a grey print.
PEN_OF_KIND = {
    "lighting": Pen(MIDDLE_MM, DASHED),
    "sound": Pen(NARROW_MM, (1.0, 1.0)),
    "power": Pen(MIDDLE_MM, CHAIN),
    "gas": Pen(MIDDLE_MM * 2),
}
LAYERS = tuple(PEN_OF_KIND)
Placed = Fixture | Outlet | Speaker | GasStub
Source = Transformer | Amplifier | PowerPoint
Room = tuple[float, float, float, float]  # least x and y, greatest x and y


def rough_in_svg(
    job: Job, takeoff: Takeoff, system: str, scale: float = 50.0, kinds: Collection[str] = LAYERS
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
    for kind in LAYERS:
        runs = [run for run in takeoff.rough_in.runs if run.kind == kind and len(run.path_mm) > 1]
        if kind in kinds and runs:
            canvas.layer(f"runs-{kind}")
            _runs(canvas, runs)
    _joints(canvas, takeoff, kinds)
    draw_devices(canvas, job, with_tags=True)
    shown = [run for run in takeoff.rough_in.runs if run.kind in kinds and len(run.path_mm) > 1]
    _tags(canvas, job, shown)
    _fixed_points(canvas, takeoff)
    return canvas.svg()


def _runs(canvas: Canvas, runs: list[Run]) -> None:
    """Draw the runs of one layer."""
    for run in runs:
        canvas.line(run.path_mm, f"run-{run.kind}", PEN_OF_KIND[run.kind])


def _tags(canvas: Canvas, job: Job, runs: list[Run]) -> None:
    """Write the tag of each run beside its longest stretch, where it hides least."""
    canvas.layer("tags")
    plan, survey = job.plan, job.survey
    placed: tuple[Placed, ...] = (*plan.fixtures, *plan.outlets, *plan.speakers, *plan.gas_stubs)
    sources: tuple[Source, ...] = (*plan.transformers, *plan.amplifiers, *survey.power_points)
    taken = [_room(canvas, thing.id, (thing.x_mm, thing.y_mm), is_beside=True) for thing in placed]
    taken += [_room(canvas, thing.id, (thing.x_mm, thing.y_mm), is_beside=True) for thing in sources]
    for run in sorted(runs, key=lambda run: (run.level_mm, run.id)):
        (ax, ay), (bx, by) = max(pairwise(run.path_mm), key=lambda part: math.dist(*part))
        tried = [
            (ax + share * (bx - ax) + off * aside, ay + share * (by - ay) + off)
            for off in (canvas.paper_mm(o) for o in (1.6, -1.6, 3.6, -3.6, 5.6, -5.6, 7.6, -7.6))
            for aside in ((0.0,) if abs(bx - ax) >= abs(by - ay) else (0.0, 3.0, -3.0))
            for share in (0.5, 0.35, 0.65, 0.2, 0.8)
        ]
        spot = min(tried, key=lambda at: _hidden(_room(canvas, run.id, at), taken))
        taken.append(_room(canvas, run.id, spot))
        canvas.text(spot, run.id, SMALL_MM * 0.8)


def _room(canvas: Canvas, words: str, at: Spot, *, is_beside: bool = False) -> Room:
    """Give the room that words take on the plan; those of a device stand to its right."""
    half = canvas.paper_mm(0.5 * len(words))
    x, y = at
    if is_beside:
        return (
            x - half * 0.2,
            y - canvas.paper_mm(1.4),
            x + canvas.paper_mm(2.2) + 2 * half,
            y + canvas.paper_mm(3),
        )
    return (x - half, y - canvas.paper_mm(1.1), x + half, y + canvas.paper_mm(1.1))


def _hidden(room: Room, taken: list[Room]) -> float:
    """Give how much of what is written already a room would hide."""
    return sum(
        max(0.0, min(room[2], other[2]) - max(room[0], other[0]))
        * max(0.0, min(room[3], other[3]) - max(room[1], other[1]))
        for other in taken
    )


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
