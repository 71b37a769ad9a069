"""Where water runs: which outlet each part of the roof sheds to, and where it would stand, by flooding."""

import heapq
import math
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt
import shapely

from app.job.survey import Survey
from app.takeoff.roof.records import Catchment, FlowArrow, Pond
from app.takeoff.roof.surface import Floats, Surface
from app.takeoff.roof.zones import heights_mm

# About so many cells are flooded, never finer than a stride of a measuring tape is read on a roof.
CELLS = 600
FINEST_MM = 200.0
# Shallower than the accuracy of two spot heights is no proof of a puddle.
LEAST_PUDDLE_MM = 6.0
ARROWS_ACROSS = 6
# A puddle of fewer cells may be the grid's own. Common practice, no source.
LEAST_CELLS = 3
_REACH_MM = 100.0  # a slope is read between two places this far apart
Integers = npt.NDArray[np.int64]


@dataclass(frozen=True)
class Flow:
    """How a roof sheds water.

    Attributes
    ----------
    arrows : tuple of FlowArrow
        Empty where the roof is one plane: its fall says all.
    catchments : tuple of Catchment
        In the order of the drains, then the edges over which water runs off.
    ponds : tuple of Pond
        Deepest first.
    """

    arrows: tuple[FlowArrow, ...]
    catchments: tuple[Catchment, ...]
    ponds: tuple[Pond, ...]


@dataclass(frozen=True)
class _Grid:
    """Cells over the roof: their places, heights and numbers in a padded sheet of rows."""

    step_mm: float
    places: Floats
    heights: Floats
    numbers: Integers
    width: int


def read_flow(survey: Survey, surface: Surface) -> Flow:
    """Give where water runs and stands on the bare membrane.

    Parameters
    ----------
    survey : Survey
        Outline, holes, drains and edges.
    surface : Surface
        The membrane.

    Returns
    -------
    flow : Flow
        Without drain and without open edge only the arrows.

    Notes
    -----
    The roof is cut into about 600 cells. From every outlet the water level is raised over its neighbours,
    lowest first, so that each cell gets the lowest level at which it still drains; what that is above the
    membrane is a puddle. Each cell sheds to its steepest neighbour that drained before it. Puddles
    of fewer than three cells are not seen.

    References
    ----------
    Priority-flood depression filling and steepest descent to one of eight neighbours, as used in terrain
    analysis (from memory). That a few millimetres prove nothing is common practice, no source.
    """
    arrows = () if surface.method == "plane" and not surface.zones else _arrows(survey, surface)
    grid = _grid_over(survey, surface)
    outlets = _outlets(survey, surface, grid)
    if not outlets or not len(grid.places):
        return Flow(arrows, (), ())
    levels, outlet_of = _flood(grid, outlets)
    cell_m2 = grid.step_mm**2 / 1e6
    names = list(dict.fromkeys(name for _, _, name in outlets))
    counts = dict.fromkeys(names, 0)
    for name in outlet_of:
        if name is not None:
            counts[name] += 1
    catchments = tuple(Catchment(name, counts[name] * cell_m2) for name in names if counts[name])
    return Flow(arrows, catchments, _ponds(grid, levels, outlet_of))


def _roof(survey: Survey) -> shapely.Polygon:
    """Give the roof on plan."""
    return shapely.Polygon(survey.outline_mm, survey.holes_mm)


def _grid_over(survey: Survey, surface: Surface) -> _Grid:
    """Cut the roof into square cells and read the height of each at its middle."""
    roof = _roof(survey)
    left, low, right, high = roof.bounds
    step = max(FINEST_MM, math.sqrt(roof.area / CELLS))
    columns, rows = math.ceil((right - left) / step), math.ceil((high - low) / step)
    across, up = np.meshgrid(np.arange(columns), np.arange(rows))
    places = np.column_stack((left + (across.ravel() + 0.5) * step, low + (up.ravel() + 0.5) * step))
    is_in = shapely.contains_xy(roof, places)
    width = columns + 2
    numbers: Integers = ((up.ravel() + 1) * width + across.ravel() + 1)[is_in]
    return _Grid(step, places[is_in], heights_mm(surface, places[is_in]), numbers, width)


def _outlets(survey: Survey, surface: Surface, grid: _Grid) -> list[tuple[int, float, str]]:
    """Give the cells where water leaves: cell, level, name of the drain or the edge."""
    if not len(grid.places):
        return []
    found = []
    for drain in survey.drains:
        if drain.kind != "overflow":
            away = ((grid.places - (drain.x_mm, drain.y_mm)) ** 2).sum(axis=1)
            cell = int(away.argmin())
            level = min(float(grid.heights[cell]), surface.height_mm(drain.x_mm, drain.y_mm))
            found.append((cell, level, drain.id))
    corners = survey.outline_mm
    for edge in survey.edges:
        if edge.kind in ("open", "guard"):
            line = shapely.LineString(
                [corners[edge.from_corner], corners[(edge.from_corner + 1) % len(corners)]]
            )
            near = shapely.dwithin(shapely.points(grid.places), line, grid.step_mm)
            found += [(int(cell), float(grid.heights[cell]), edge.id) for cell in np.flatnonzero(near)]
    return found


def _flood(grid: _Grid, outlets: list[tuple[int, float, str]]) -> tuple[Floats, list[str | None]]:
    """Raise the water from the outlets; give each cell's level and the outlet it sheds to."""
    cell_at = {number: cell for cell, number in enumerate(grid.numbers.tolist())}
    heights, numbers = grid.heights.tolist(), grid.numbers.tolist()
    width = grid.width
    around = [(1, 1.0), (-1, 1.0), (width, 1.0), (-width, 1.0)]
    around += [(step, math.sqrt(2.0)) for step in (width + 1, width - 1, -width + 1, -width - 1)]
    levels = [math.inf] * len(heights)
    outlet_of: list[str | None] = [None] * len(heights)
    is_done = [False] * len(heights)
    heap: list[tuple[float, int]] = []
    leaves = {cell for cell, _, _ in outlets}  # what comes here is gone, though the roof falls on beyond
    for cell, level, name in outlets:
        if level < levels[cell]:
            levels[cell], outlet_of[cell] = level, name
            heapq.heappush(heap, (level, cell))
    while heap:
        level, cell = heapq.heappop(heap)
        if is_done[cell]:
            continue
        is_done[cell] = True
        steepest = 0.0
        for step, far in around:
            other = cell_at.get(numbers[cell] + step)
            if other is None:
                continue
            if is_done[other] and cell not in leaves:
                drop = (level - levels[other]) / far
                if drop > steepest:
                    steepest, outlet_of[cell] = drop, outlet_of[other]
            elif (rise := max(heights[other], level)) < levels[other]:
                levels[other], outlet_of[other] = rise, outlet_of[cell]
                heapq.heappush(heap, (rise, other))
    return np.array(levels), outlet_of


def _ponds(grid: _Grid, levels: Floats, outlet_of: list[str | None]) -> tuple[Pond, ...]:
    """Give the puddles: cells side by side on which water stands deeper than heights are read."""
    depths = np.where(np.isfinite(levels), levels - grid.heights, 0.0)
    wet = {int(grid.numbers[cell]): int(cell) for cell in np.flatnonzero(depths > LEAST_PUDDLE_MM)}
    cell_m2 = grid.step_mm**2 / 1e6
    found = []
    while wet:
        number, cell = wet.popitem()
        puddle, edge = [cell], [number]
        while edge:
            here = edge.pop()
            for step in (1, -1, grid.width, -grid.width):
                if here + step in wet:
                    puddle.append(wet.pop(here + step))
                    edge.append(here + step)
        if len(puddle) < LEAST_CELLS:
            continue
        deepest = max(puddle, key=lambda at: depths[at])
        x, y = grid.places[deepest].tolist()
        depth_mm = float(depths[deepest])
        volume_m3 = float(depths[puddle].sum()) * cell_m2 / 1e3
        found.append(Pond(x, y, depth_mm, len(puddle) * cell_m2, volume_m3, outlet_of[deepest] or ""))
    return tuple(sorted(found, key=lambda pond: -pond.depth_mm))


def _arrows(survey: Survey, surface: Surface) -> tuple[FlowArrow, ...]:
    """Give arrows over the roof, each along the slope where it stands."""
    roof = _roof(survey)
    left, low, right, high = roof.bounds
    step = max(right - left, high - low) / ARROWS_ACROSS
    xs = np.arange(left + step / 2, right, step)
    ys = np.arange(low + step / 2, high, step)
    places = np.array([(x, y) for y in ys for x in xs])
    places = places[shapely.contains_xy(roof, places)]
    if not len(places):
        return ()
    half = _REACH_MM / 2
    along_x, along_y = np.array([half, 0.0]), np.array([0.0, half])
    rise_x = heights_mm(surface, places + along_x) - heights_mm(surface, places - along_x)
    rise_y = heights_mm(surface, places + along_y) - heights_mm(surface, places - along_y)
    found = []
    for (x, y), along, up in zip(places.tolist(), rise_x / _REACH_MM, rise_y / _REACH_MM, strict=True):
        fall = math.hypot(along, up)
        if fall > 1e-4:
            found.append(FlowArrow(x, y, math.degrees(math.atan2(-up, -along)) % 360.0, 100.0 * fall))
    return tuple(found)
