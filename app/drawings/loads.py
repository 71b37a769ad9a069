"""The loads: a shaded grid over the roof, each place with its dead load, and the worst square."""

import shapely

from app.drawings.canvas import EXTRA_WIDE_MM, HAIR_MM, MIDDLE_MM, SMALL_MM, Canvas, Pen, Spot
from app.drawings.ground import ground
from app.drawings.load_grid import draw_load_grid, draw_worst
from app.drawings.strokes import draw_fields, slip_half, write_slip
from app.drawings.things import box_corners
from app.job.job import Job
from app.measure.show import format_load
from app.takeoff.chain import Takeoff
from app.takeoff.totals.standing import WALL_STRIP_MM


def loads_svg(job: Job, takeoff: Takeoff, system: str, scale: float = 50.0) -> str:
    """Give the plan with the dead load shaded on a grid and written at each place.

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
    draw_fields(canvas, job, Pen(HAIR_MM, fill="paper"))
    draw_load_grid(canvas, job, takeoff.totals.load_map, system)
    canvas.layer("loads")
    outlines, figures = _outlines(job, takeoff), []
    for spot in takeoff.totals.loads:
        ring = outlines.get(spot.place)
        if ring is None:
            continue
        over = spot.allowable_kpa is not None and spot.dead_kpa > spot.allowable_kpa
        pen = Pen(EXTRA_WIDE_MM if over else MIDDLE_MM)
        canvas.polygon(ring, "over" if over else "within", pen, spot.label)
        load = format_load(spot.dead_kpa, system)
        figures.append((ring, (spot.label, f"over: {load}" if over else load)))
    taken: list[shapely.Polygon] = []
    for ring, lines in figures:  # after all outlines, so that none runs through the words
        _figure(canvas, ring, lines, taken)
    draw_worst(canvas, takeoff.totals.load_map, system)
    return canvas.svg()


def _outlines(job: Job, takeoff: Takeoff) -> dict[str, tuple[Spot, ...]]:
    found: dict[str, tuple[Spot, ...]] = {field.id: field.outline_mm for field in job.plan.deck_fields}
    found |= {bed.bed: bed.outline_mm for bed in takeoff.layout.beds}
    found |= {wall.id: _strip(wall.start_mm, wall.end_mm) for wall in job.plan.feature_walls}
    found |= {box.box: box.outline_mm for box in takeoff.layout.boxes}
    return found | {piece.id: box_corners(piece) for piece in job.plan.furniture}


def _strip(start: Spot, end: Spot) -> tuple[Spot, ...]:
    """Give the strip along a wall over which its load is read."""
    line = shapely.LineString([start, end]).buffer(WALL_STRIP_MM / 2, cap_style="flat")
    return tuple(line.exterior.coords)[:-1]


def _figure(
    canvas: Canvas, ring: tuple[Spot, ...], lines: tuple[str, ...], taken: list[shapely.Polygon]
) -> None:
    """Write the name and the load in the middle of a place, or as near as others leave room."""
    xs, ys = [x for x, _ in ring], [y for _, y in ring]
    x, middle = (min(xs) + max(xs)) / 2, (min(ys) + max(ys)) / 2
    high = canvas.paper_mm(SMALL_MM * 0.7)
    half = max(slip_half(canvas, words) for words in lines)
    tall = high * len(lines)
    rooms = [shapely.box(x - half, middle + up - tall, x + half, middle + up + tall) for up in _tries(high)]
    room = min(rooms, key=lambda tried: round(sum(tried.intersection(other).area for other in taken)))
    taken.append(room)
    middle = room.centroid.y
    for number, words in enumerate(lines):
        y = middle + (len(lines) - 1 - 2 * number) * high
        write_slip(canvas, (x, y), words)


def _tries(high_mm: float) -> tuple[float, ...]:
    """Give how far up or down words may move, the nearest first."""
    return tuple(way * step * high_mm for step in range(9) for way in (1.0, -1.0))
