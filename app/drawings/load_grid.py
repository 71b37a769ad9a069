"""The dead load as a shaded grid: bands by hatch, lines between them, the worst square with its figure."""

from collections.abc import Callable

import shapely

from app.drawings.canvas import DASHED, HAIR_MM, MIDDLE_MM, NARROW_MM, SMALL_MM, WIDE_MM, Canvas, Pen, Spot
from app.drawings.ground import MARGIN_MM
from app.drawings.strokes import rectangle, slip_half, write_slip
from app.job.job import Job
from app.measure.show import format_load
from app.takeoff.totals.records import LoadCell, LoadMap

# Bands by share of the figure allowed; by load where no figure is given. Upper ends; the last is open.
SHARES = (0.25, 0.5, 0.8, 1.0)
LOADS_KPA = (0.5, 1.0, 2.0, 4.0)
# Each band a denser hatch than the last: distance of its lines on paper, and whether they cross.
_HATCHES = ((0.0, False), (2.8, False), (1.3, False), (1.3, True), (0.7, True))


def draw_load_grid(canvas: Canvas, job: Job, made: LoadMap, system: str) -> None:
    """Draw the grid of loads, the areas with figures of their own, the worst square and the legend.

    Parameters
    ----------
    canvas : Canvas
        Drawing to put them in.
    job : Job
        Areas and figures.
    made : LoadMap
        The loads.
    system : str
        ``imperial`` or ``metric``.

    References
    ----------
    Definition; hatches are our own, explained in the legend.
    """
    for number, (tile_mm, crosses) in enumerate(_HATCHES):
        if tile_mm:
            marks: tuple[tuple[Spot, Spot], ...] = (((0.0, 0.0), (0.0, tile_mm)),)
            if crosses:
                marks = (*marks, ((0.0, 0.0), (tile_mm, 0.0)))
            canvas.hatch(f"load-{number}", tile_mm, marks, 45.0)
    is_held = any(cell.allowable_kpa is not None for cell in made.cells)
    band = _band_of_share if is_held else _band_of_load
    canvas.layer("load-grid")
    roof = shapely.Polygon(job.survey.outline_mm, job.survey.holes_mm)
    for number in range(len(_HATCHES)):
        _band(canvas, roof, _squares(made, number, band), number)
    _areas(canvas, job, system)
    _legend(canvas, job, is_held, system)


def draw_worst(canvas: Canvas, made: LoadMap, system: str) -> None:
    """Ring the worst square and write its load beside it.

    Parameters
    ----------
    canvas : Canvas
        Drawing to put it in.
    made : LoadMap
        The loads.
    system : str
        ``imperial`` or ``metric``.

    References
    ----------
    Definition.
    """
    if made.worst is None:
        return
    canvas.layer("worst")
    at = (made.worst.x_mm, made.worst.y_mm)
    half = made.cell_mm / 2
    square = rectangle((at[0] - half, at[1] - half, at[0] + half, at[1] + half))
    canvas.polygon(square, "worst", Pen(WIDE_MM), "the worst square")
    words = f"worst here: {format_load(made.worst.dead_kpa, system)}"
    wide = 2 * slip_half(canvas, words)
    x = _beside(canvas, at, half + canvas.paper_mm(2.0), wide)
    write_slip(canvas, (x + wide / 2, at[1]), words, Pen(HAIR_MM, fill="paper"))


def _beside(canvas: Canvas, at: Spot, away_mm: float, wide_mm: float) -> float:
    """Give the left end of words right of a spot, or left of it where the sheet ends."""
    is_room = at[0] + away_mm + wide_mm <= canvas.box_mm[2]
    return at[0] + away_mm if is_room else at[0] - away_mm - wide_mm


def _band_of_share(cell: LoadCell) -> int:
    """Number the band of a square by its share of the figure allowed."""
    if cell.allowable_kpa is None:
        return _band_of_load(cell)
    return sum(cell.dead_kpa > share * cell.allowable_kpa * (1 + 1e-9) for share in SHARES)


def _band_of_load(cell: LoadCell) -> int:
    """Number the band of a square by its load alone."""
    return sum(cell.dead_kpa > limit for limit in LOADS_KPA)


def _squares(made: LoadMap, number: int, band: Callable[[LoadCell], int]) -> shapely.Geometry:
    """Join the squares of one band."""
    half = made.cell_mm / 2
    return shapely.union_all(
        [
            shapely.box(cell.x_mm - half, cell.y_mm - half, cell.x_mm + half, cell.y_mm + half)
            for cell in made.cells
            if band(cell) == number
        ]
    )


def _band(canvas: Canvas, roof: shapely.Polygon, squares: shapely.Geometry, number: int) -> None:
    """Draw one band within the roof; its outline is the line of equal load."""
    joined = squares.intersection(roof)
    fill = f"load-{number}" if _HATCHES[number][0] else "none"
    for part in getattr(joined, "geoms", (joined,)):
        if isinstance(part, shapely.Polygon) and not part.is_empty:
            rings = [tuple(part.exterior.coords)[:-1], *(tuple(hole.coords)[:-1] for hole in part.interiors)]
            canvas.shape(rings, f"band-{number}", Pen(NARROW_MM, fill=fill))


def _areas(canvas: Canvas, job: Job, system: str) -> None:
    """Draw the areas with figures of their own."""
    for area in job.survey.allowable_areas:
        canvas.polygon(area.outline_mm, "allowable", Pen(MIDDLE_MM, DASHED), area.name or area.id)
        x = min(x for x, _ in area.outline_mm) + canvas.paper_mm(2.0)
        y = max(y for _, y in area.outline_mm) - canvas.paper_mm(2.5)
        words = f"{area.name or area.id}: {format_load(area.dead_kpa, system)} allowed"
        write_slip(canvas, (x + slip_half(canvas, words), y), words)


def _legend(canvas: Canvas, job: Job, is_held: bool, system: str) -> None:
    """Explain the hatches, below the drawing."""
    if is_held:
        ends = [f"{100 * share:.0f} %" for share in SHARES]
        last = "over the figure"
    else:
        ends = [format_load(limit, system) for limit in LOADS_KPA]
        last = f"over {ends[-1]}"
    names = [f"to {end}" for end in ends] + [last]
    canvas.layer("legend")
    _, bottom, right, _ = canvas.box_mm
    step, high = canvas.paper_mm(17.0), canvas.paper_mm(4.0)
    left = right - canvas.paper_mm(2.0) - step * len(names)
    y = bottom + canvas.paper_mm(MARGIN_MM * 0.2)
    title = "dead load, share of the figure allowed" if is_held else "dead load"
    canvas.text((left, y + high + canvas.paper_mm(2.2)), title, anchor="start")
    for number, name in enumerate(names):
        x, wide = left + number * step, canvas.paper_mm(6.0)
        fill = f"load-{number}" if _HATCHES[number][0] else "paper"
        corners = rectangle((x, y, x + wide, y + high))
        canvas.polygon(corners, "legend", Pen(NARROW_MM, fill=fill), name)
        canvas.text((x, y - canvas.paper_mm(1.8)), name, SMALL_MM * 0.8, anchor="start")
