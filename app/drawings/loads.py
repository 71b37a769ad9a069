"""The loads: each place with its dead load, against what the engineer allows."""

from app.drawings.canvas import HAIR_MM, SMALL_MM, WIDE_MM, Canvas, Pen, Spot
from app.drawings.ground import ground
from app.drawings.things import box_corners, draw_things
from app.job.job import Job
from app.measure.show import format_load
from app.takeoff.chain import Takeoff


def loads_svg(job: Job, takeoff: Takeoff, system: str, scale: float = 50.0) -> str:
    """Give the plan with the dead load of each place written on it.

    Parameters
    ----------
    job : Job
        Survey, plan and choices.
    takeoff : Takeoff
        Holds the loads by place.
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
    Definition.
    """
    canvas = ground(job, takeoff, f"Dead loads of {job.title}", scale)
    canvas.layer("fields")
    for field in job.plan.deck_fields:
        canvas.polygon(field.outline_mm, "field", Pen(HAIR_MM, fill="paper"), field.name or field.id)
    draw_things(canvas, job, takeoff)
    canvas.layer("loads")
    outlines = _outlines(job, takeoff)
    for spot in takeoff.totals.loads:
        ring = outlines.get(spot.place)
        if ring is None:
            continue
        over = spot.allowable_kpa is not None and spot.dead_kpa > spot.allowable_kpa
        canvas.polygon(ring, "over" if over else "within", Pen(WIDE_MM if over else HAIR_MM), spot.label)
        _figure(canvas, ring, ("over: " if over else "") + format_load(spot.dead_kpa, system))
    return canvas.svg()


def _outlines(job: Job, takeoff: Takeoff) -> dict[str, tuple[Spot, ...]]:
    found: dict[str, tuple[Spot, ...]] = {field.id: field.outline_mm for field in job.plan.deck_fields}
    found |= {bed.bed: bed.outline_mm for bed in takeoff.layout.beds}
    found |= {box.box: box.outline_mm for box in takeoff.layout.boxes}
    return found | {piece.id: box_corners(piece) for piece in job.plan.furniture}


def _figure(canvas: Canvas, ring: tuple[Spot, ...], words: str) -> None:
    xs, ys = [x for x, _ in ring], [y for _, y in ring]
    x, y = (min(xs) + max(xs)) / 2, (min(ys) + max(ys)) / 2 - canvas.paper_mm(SMALL_MM * 1.5)
    half = canvas.paper_mm(SMALL_MM * 0.25 * len(words) + 0.6)
    high = canvas.paper_mm(SMALL_MM * 0.7)
    slip = ((x - half, y - high), (x + half, y - high), (x + half, y + high), (x - half, y + high))
    canvas.polygon(slip, "slip", Pen(0.0, fill="paper"))
    canvas.text((x, y), words)
