"""The dead load over the whole roof, square by square, and the worst place of it."""

import math
from collections.abc import Mapping
from functools import lru_cache
from typing import NamedTuple

import numpy as np
import shapely
from numpy.typing import NDArray

from app.job.findings import Finding, Grade
from app.job.job import Job
from app.job.spoken import Spoken
from app.takeoff.framing.records import Framing
from app.takeoff.layout.records import Layout
from app.takeoff.roof.footprints import box_ring
from app.takeoff.totals.allowable import allowable_under, figure_source
from app.takeoff.totals.load_findings import ENGINEER, LEGS, NEWTON_PER_KG, what_would_help
from app.takeoff.totals.masses import Parts, masses_by_place
from app.takeoff.totals.records import LoadCell, LoadMap, PointLoad
from app.takeoff.totals.standing import Standing, standing_things
from app.takeoff.totals.weather import weather_loads

CELL_MM = 300.0  # about what a slab or a deck spreads a load over; common practice, no source
MOST_CELLS = 4000.0
KPA_PER_KG_M2 = NEWTON_PER_KG / 1000


def load_map(job: Job, layout: Layout, framing: Framing) -> LoadMap:
    """Give the dead load on a grid of squares, the legs that stand on points, and the weather.

    Parameters
    ----------
    job : Job
        Plan, materials, allowable loads, snow and wind.
    layout : Layout
        Pieces, boxes, beds.
    framing : Framing
        Sticks and pads.

    Returns
    -------
    made : LoadMap
        Over its squares the loads sum to the mass of everything that stays.

    Notes
    -----
    Each thing is spread evenly over what it stands on; a square takes of each the part that lies in it.
    Squares are 300 mm wide, wider on roofs of more than 360 m².

    References
    ----------
    Definition; gravity ISO 80000-3.
    """
    masses = masses_by_place(job, layout, framing)
    things = tuple(thing for thing in standing_things(job, layout, masses) if thing.area_m2 > 0.0)
    roof = shapely.Polygon(job.survey.outline_mm, job.survey.holes_mm)
    cell_mm = CELL_MM * max(1.0, math.ceil(math.sqrt(roof.area / CELL_MM**2 / MOST_CELLS) * 4) / 4)
    cells = _cells(job, roof, things, cell_mm)
    return LoadMap(
        cell_mm=cell_mm,
        cells=cells,
        points=_points(job, masses),
        worst=max(cells, key=_nearness, default=None),
        weather=weather_loads(job),
    )


def map_findings(job: Job, made: LoadMap) -> tuple[Finding, ...]:
    """Name the worst place of the roof, and what would help there.

    Parameters
    ----------
    job : Job
        What is drawn, and the figures.
    made : LoadMap
        The dead load on its grid.

    Returns
    -------
    findings : tuple of Finding
        A stop when a square bears more than is allowed there, a check when only what hangs on an existing
        wall makes it so, else a note. Nothing without a figure: that is a stop of its own.

    References
    ----------
    The figures given for the job.
    """
    worst = made.worst
    if worst is None or worst.allowable_kpa is None:
        return ()
    hung = {wall.id for wall in job.plan.feature_walls if wall.fixing == "existing wall"}
    over = [cell for cell in made.cells if _is_over(cell, cell.dead_kpa)]
    borne = [cell for cell in over if _is_over(cell, _without(cell, hung))]
    grade: Grade = "stop" if borne else "check" if over else "note"
    shown = max(borne, key=_nearness) if borne else worst
    assert shown.allowable_kpa is not None
    at = shapely.box(shown.x_mm - 1, shown.y_mm - 1, shown.x_mm + 1, shown.y_mm + 1)
    allowable = allowable_under(job, at)
    say = Spoken(job.units)
    parts = ", ".join(f"{place} {say.load(kpa)}" for place, kpa in shown.parts)
    squares = f" {len(over)} squares are over." if over else ""
    help_text = _help(job, shown) if over else ""
    return (
        Finding(
            code="totals.worst-place",
            grade=grade,
            place=shown.parts[0][0],
            text=(
                f"The worst place of the roof is at {say.spot(shown.x_mm, shown.y_mm)}: "
                f"{say.load(shown.dead_kpa)} dead over {say.length(made.cell_mm)} each way ({parts}); "
                f"{say.load(shown.allowable_kpa)} is allowed there.{squares}{help_text} {ENGINEER}"
            ),
            value=shown.dead_kpa,
            limit=shown.allowable_kpa,
            unit="kPa",
            source=figure_source(allowable) if allowable else "",
            at_mm=(shown.x_mm, shown.y_mm),
        ),
    )


def _cells(
    job: Job, roof: shapely.Polygon, things: tuple[Standing, ...], cell_mm: float
) -> tuple[LoadCell, ...]:
    """Lay squares over the roof and all that stands on it, and weigh those that bear something."""
    if not things:
        return ()
    ground = shapely.union_all([roof, *(thing.shape for thing in things)])
    left, bottom, right, top = ground.bounds
    columns = math.ceil((right - left) / cell_mm - 1e-9)
    grid = _Grid(left, bottom, columns, math.ceil((top - bottom) / cell_mm - 1e-9), cell_mm)
    x, y, _, _ = _squares(grid)
    borne: dict[int, list[tuple[str, float]]] = {}
    for thing in things:
        kg_m2 = math.fsum(kg for _, kg in thing.parts) / thing.area_m2
        for number, part_m2 in _shares(grid, shapely.to_wkb(thing.shape)):
            if part_m2 > 1e-9 and kg_m2 > 0.0:
                borne.setdefault(number, []).append((thing.place, kg_m2 * part_m2))
    numbers = sorted(borne)
    areas = _areas_within(grid, shapely.to_wkb(ground), tuple(numbers))
    figures = _figures(job, x[numbers] + cell_mm / 2, y[numbers] + cell_mm / 2)
    return tuple(
        _cell((x[number] + cell_mm / 2, y[number] + cell_mm / 2), area, figure, borne[number])
        for number, area, figure in zip(numbers, areas, figures, strict=True)
    )


class _Grid(NamedTuple):
    """Where squares lie: their lowest corner, how many each way, and their side in millimetres."""

    left: float
    bottom: float
    columns: int
    rows: int
    cell_mm: float


# An edit of a drawing moves one thing or two: the squares and what the others cover of them are kept.
@lru_cache(maxsize=8)
def _squares(
    grid: _Grid,
) -> tuple[NDArray[np.float64], NDArray[np.float64], NDArray[np.object_], shapely.STRtree]:
    """Give the lowest corners of all squares, the squares, and a tree to find them by."""
    xs = grid.left + grid.cell_mm * np.arange(grid.columns)
    ys = grid.bottom + grid.cell_mm * np.arange(grid.rows)
    x, y = (corners.ravel() for corners in np.meshgrid(xs, ys))
    squares = shapely.box(x, y, x + grid.cell_mm, y + grid.cell_mm)
    return x, y, squares, shapely.STRtree(squares)


@lru_cache(maxsize=256)
def _shares(grid: _Grid, shape_wkb: bytes) -> tuple[tuple[int, float], ...]:
    """Give the squares that a shape touches, and what it covers of each."""
    _, _, squares, tree = _squares(grid)
    shape = shapely.from_wkb(shape_wkb)
    found = tree.query(shape, predicate="intersects")
    return tuple(zip(found.tolist(), _areas_m2(squares[found], shape).tolist(), strict=True))


@lru_cache(maxsize=16)
def _areas_within(grid: _Grid, shape_wkb: bytes, numbers: tuple[int, ...]) -> tuple[float, ...]:
    """Give what a shape covers of some squares."""
    squares = _squares(grid)[2][list(numbers)]
    return tuple(_areas_m2(squares, shapely.from_wkb(shape_wkb)).tolist())


def _areas_m2(squares: NDArray[np.object_], shape: shapely.Geometry) -> NDArray[np.float64]:
    """Give what of each square a shape covers."""
    shapely.prepare(shape)
    areas = shapely.area(squares)
    cut = ~shapely.covers(shape, squares)  # a square wholly within need not be cut
    areas[cut] = shapely.area(shapely.intersection(squares[cut], shape))
    return np.asarray(areas / 1e6, dtype=np.float64)


def _cell(
    middle: tuple[float, float], area_m2: float, figure: float | None, borne: list[tuple[str, float]]
) -> LoadCell:
    """Turn the masses on one square into loads."""
    parts = sorted(((place, kg / area_m2 * KPA_PER_KG_M2) for place, kg in borne), key=lambda part: -part[1])
    dead_kpa = math.fsum(kpa for _, kpa in parts)
    return LoadCell(float(middle[0]), float(middle[1]), area_m2, dead_kpa, figure, tuple(parts))


def _figures(job: Job, x: NDArray[np.float64], y: NDArray[np.float64]) -> list[float | None]:
    """Give the least figure at each spot: of the areas it lies in, else the whole roof's."""
    whole = job.survey.allowable_load
    figures: list[float | None] = [whole.dead_kpa if whole else None] * len(x)
    inside = np.zeros(len(x), dtype=bool)
    for area in sorted(job.survey.allowable_areas, key=lambda area: area.dead_kpa):
        hit = shapely.contains_xy(shapely.Polygon(area.outline_mm), x, y) & ~inside
        inside |= hit
        for number in np.flatnonzero(hit):
            figures[int(number)] = area.dead_kpa
    return figures


def _points(job: Job, masses: Mapping[str, Parts]) -> tuple[PointLoad, ...]:
    """Give the legs of planters and furniture, one at each corner."""
    found = []
    for thing in (*job.plan.planters, *job.plan.furniture):
        leg_kn = math.fsum(kg for _, kg in masses.get(thing.id, ())) * NEWTON_PER_KG / 1000 / LEGS
        ring = box_ring(thing)
        allowable = allowable_under(job, shapely.Polygon(ring))
        limit_kn = allowable.point_kn if allowable else None
        if leg_kn > 0.0:
            found += [PointLoad(thing.id, x_mm, y_mm, leg_kn, limit_kn) for x_mm, y_mm in ring]
    return tuple(found)


def _nearness(cell: LoadCell) -> tuple[float, float]:
    """How near a square is to its figure; without one, how heavy."""
    if cell.allowable_kpa is None:
        return 0.0, cell.dead_kpa
    return (cell.dead_kpa / cell.allowable_kpa if cell.allowable_kpa > 0.0 else math.inf), cell.dead_kpa


def _is_over(cell: LoadCell, dead_kpa: float) -> bool:
    """Whether a load is more than is allowed on a square."""
    return cell.allowable_kpa is not None and dead_kpa > cell.allowable_kpa * (1 + 1e-9)


def _without(cell: LoadCell, places: set[str]) -> float:
    """Give the load of a square less that of some places."""
    return math.fsum(kpa for place, kpa in cell.parts if place not in places)


def _help(job: Job, cell: LoadCell) -> str:
    """Say what would bring a square under its figure: lighter, shallower by how much, or elsewhere."""
    place, kpa = cell.parts[0]
    say = Spoken(job.units)
    words = f" {what_would_help(job, place)}"
    planter = next((planter for planter in job.plan.planters if planter.id == place), None)
    if planter is not None and cell.allowable_kpa is not None:
        medium = next(medium for medium in job.choices.media if medium.id == planter.medium)
        per_mm = medium.saturated_kg_m3 * KPA_PER_KG_M2 / 1000
        left_mm = planter.media_depth_mm - (cell.dead_kpa - cell.allowable_kpa) / per_mm
        if left_mm > 0.0:
            filled = say.length(_rounded_down(left_mm, job.units))
            words += f" Filled to {filled} it would come down to that figure."
        elif cell.dead_kpa - kpa > cell.allowable_kpa:
            words += " It is over even with this planter empty."
    return f"{words}{_stronger(job, cell)}"


def _rounded_down(depth_mm: float, units: str) -> float:
    """Give a depth that is easily measured: to 5 mm, or a quarter inch."""
    step_mm = 5.0 if units == "metric" else 25.4 / 4
    return math.floor(depth_mm / step_mm) * step_mm


def _stronger(job: Job, cell: LoadCell) -> str:
    """Name an area that is allowed more than the square bears, if there is one."""
    areas = [area for area in job.survey.allowable_areas if area.dead_kpa >= cell.dead_kpa]
    if not areas:
        return ""
    area = max(areas, key=lambda area: area.dead_kpa)
    return (
        f" In “{area.name or area.id}” {Spoken(job.units).load(area.dead_kpa)} is allowed: the "
        "heaviest could move there."
    )
