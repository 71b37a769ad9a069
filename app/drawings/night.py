"""The night: light on the deck and on the walls in shades, with lines of equal light."""

import math

import numpy as np
import shapely
from shapely.geometry import LinearRing
from shapely.geometry.base import BaseGeometry

from app.drawings.canvas import CHAIN, DASHED, HAIR_MM, NARROW_MM, SMALL_MM, Canvas, Pen, Spot
from app.drawings.ground import ground
from app.drawings.isolux import Floats, isolux_rings
from app.drawings.things import draw_devices, draw_things
from app.job.job import Job
from app.job.shapes import area_within
from app.takeoff.chain import Takeoff
from app.takeoff.roughin.beams import Lamp, lamps_of
from app.takeoff.roughin.ends import deck_level_mm
from app.takeoff.roughin.illuminance import UP, lit_lx
from app.takeoff.roughin.night import wall_light_lx
from app.takeoff.roughin.screens import Screens, screens_of

DARK = "#9b9891"
# Lines of equal light in lx, and the shade from each up to the next; the darkest still lets ink be read.
SHADES: tuple[tuple[float, str], ...] = (
    (0.5, "#aaa79f"),
    (1.0, "#b8b5ad"),
    (2.0, "#c5c2ba"),
    (5.0, "#d3d0c8"),
    (10.0, "#e0ded7"),
    (20.0, "#ebe9e3"),
    (50.0, "#f4f3ee"),
    (100.0, "#fdfbf6"),
)
_MOST_POINTS = 9000
_WALL_STEP_MM = 75.0


def night_svg(job: Job, takeoff: Takeoff, system: str, scale: float = 50.0) -> str:
    """Give the light on the deck as SVG: a shaded plan with lines of equal light.

    Parameters
    ----------
    job : Job
        Survey, plan and choices.
    takeoff : Takeoff
        Its night is what is drawn.
    system : str
        ``imperial`` or ``metric``; light is in lx in both.
    scale : float
        Plan millimetres to one millimetre of paper.

    Returns
    -------
    svg : str
        True to scale when printed at its own size.

    References
    ----------
    Point method; definition.
    """
    canvas = ground(job, takeoff, f"Light after dark of {job.title}", scale)
    lamps, screens = _lit(job, takeoff)
    roof = (job.survey.outline_mm, *job.survey.holes_mm)
    canvas.layer("night")
    canvas.shape(roof, "dark", Pen(0.0, fill=DARK))
    xs, ys, light = _roof_light(job, lamps, screens)
    _shade(canvas, light, xs, ys, area_within(job.survey.outline_mm, job.survey.holes_mm))
    draw_things(canvas, job, takeoff)
    _ways(canvas, job, takeoff)
    draw_devices(canvas, job, with_tags=False)
    _dazzling(canvas, job, takeoff)
    left, _, _, top = canvas.box_mm
    _legend(canvas, (left + canvas.paper_mm(6), top - canvas.paper_mm(7)))
    return canvas.svg()


def night_wall_svgs(job: Job, takeoff: Takeoff, scale: float = 50.0) -> tuple[tuple[str, str], ...]:
    """Give the light on every feature wall, unfolded, its brighter side seen.

    Parameters
    ----------
    job : Job
        Survey, plan and choices.
    takeoff : Takeoff
        What the engine made of them.
    scale : float
        Plan millimetres to one millimetre of paper.

    Returns
    -------
    svgs : tuple of (str, str)
        Wall and drawing; none without known light.

    References
    ----------
    Point method; definition.
    """
    lamps, screens = _lit(job, takeoff)
    if not lamps:
        return ()
    found = []
    for wall in job.plan.feature_walls:
        length, height = math.dist(wall.start_mm, wall.end_mm), wall.height_mm
        edge = 12 * scale
        name = wall.name or wall.id
        canvas = Canvas((-edge, -edge, length + edge, height + edge), scale, f"Light after dark on {name}")
        face = ((0.0, 0.0), (length, 0.0), (length, height), (0.0, height))
        canvas.layer("night")
        canvas.polygon(face, "dark", Pen(0.0, fill=DARK))
        light, along, up = wall_light_lx(job, lamps, screens, wall.id, _WALL_STEP_MM)
        xs, ys = np.unique(along), np.unique(up)
        _shade(canvas, light.reshape(len(ys), len(xs)), xs, ys, area_within(face))
        canvas.layer("wall")
        for opening in wall.openings:
            x, z, w, h = opening.x_mm, opening.z_mm, opening.width_mm, opening.height_mm
            corners = ((x, z), (x + w, z), (x + w, z + h), (x, z + h))
            canvas.polygon(corners, "opening", Pen(NARROW_MM, fill="paper"), opening.id)
        canvas.polygon(face, "wall-edge", Pen(NARROW_MM))
        canvas.text((length / 2, -canvas.paper_mm(5)), name)
        found.append((wall.id, canvas.svg()))
    return tuple(found)


def _lit(job: Job, takeoff: Takeoff) -> tuple[tuple[Lamp, ...], Screens]:
    """Give the lamps and what stands in their way."""
    lamps = lamps_of(job.plan.fixtures, {kind.id: kind for kind in job.choices.fixture_kinds})
    return lamps, screens_of(job, deck_level_mm(job, takeoff.framing) or 0.0)


def _roof_light(job: Job, lamps: tuple[Lamp, ...], screens: Screens) -> tuple[Floats, Floats, Floats]:
    """Give the light over the whole roof on a grid, carried a little over its edges."""
    roof = area_within(job.survey.outline_mm, job.survey.holes_mm)
    left, bottom, right, top = roof.bounds
    step = max(100.0, math.sqrt((right - left) * (top - bottom) / _MOST_POINTS))
    xs, ys = np.arange(left, right + step, step), np.arange(bottom, top + step, step)
    grid = np.array(np.meshgrid(xs, ys)).reshape(2, -1)
    inside = shapely.contains_xy(roof, grid[0], grid[1])
    points = np.column_stack([grid[0, inside], grid[1, inside], np.zeros(int(inside.sum()))])
    light = np.full(grid.shape[1], np.nan)
    light[inside] = lit_lx(job, lamps, screens, points, UP)
    return xs, ys, _carried_over(light.reshape(len(ys), len(xs)))


def _carried_over(light: Floats) -> Floats:
    """Give the grid with what is not known filled from its known neighbours, twice; the rest is dark."""
    for _ in range(2):
        around = np.pad(light, 1, constant_values=np.nan)
        beside = np.stack([around[:-2, 1:-1], around[2:, 1:-1], around[1:-1, :-2], around[1:-1, 2:]])
        known = np.isfinite(beside)
        total = np.where(known, beside, 0.0).sum(axis=0)
        mean = total / np.maximum(known.sum(axis=0), 1)
        light = np.where(np.isnan(light) & known.any(axis=0), mean, light)
    return np.nan_to_num(light)


def _shade(canvas: Canvas, light: Floats, xs: Floats, ys: Floats, within: BaseGeometry) -> None:
    """Draw the shades inside an outline, then the lines with their figures."""
    if not light.size or len(xs) < 2 or len(ys) < 2:
        return
    over = 2
    wide = np.pad(light, over, mode="edge")
    xs = np.linspace(xs[0] - over * (xs[1] - xs[0]), xs[-1] + over * (xs[1] - xs[0]), len(xs) + 2 * over)
    ys = np.linspace(ys[0] - over * (ys[1] - ys[0]), ys[-1] + over * (ys[1] - ys[0]), len(ys) + 2 * over)
    labels: list[tuple[Spot, str]] = []
    for level, shade in SHADES:
        rings = [ring for ring in isolux_rings(wide, xs, ys, level) if len(ring) > 2]
        area = shapely.build_area(shapely.GeometryCollection([LinearRing(ring) for ring in rings]))
        parts = [part for part in shapely.get_parts(area.intersection(within)) if part.geom_type == "Polygon"]
        if not parts:
            continue
        lines = [ring.coords for part in parts for ring in (part.exterior, *part.interiors)]
        name = f"light-{level:g}".replace(".", "-")
        canvas.shape(lines, name, Pen(HAIR_MM, fill=shade), f"{level:g} lx and more")
        spot = _label_spot(rings, within.buffer(-canvas.paper_mm(3)), [at for at, _ in labels])
        if spot is not None:
            labels.append((spot, f"{level:g}"))
    for spot, words in labels:
        half = canvas.paper_mm(0.35 * len(words) + 0.5)
        high = canvas.paper_mm(0.9)
        slip = [(spot[0] + x * half, spot[1] + y * high) for x, y in ((-1, -1), (1, -1), (1, 1), (-1, 1))]
        canvas.polygon(slip, "slip", Pen(0.0, fill="paper"))
        canvas.text(spot, words, SMALL_MM * 0.7)


def _label_spot(rings: list[tuple[Spot, ...]], inside: BaseGeometry, taken: list[Spot]) -> Spot | None:
    """Give a spot on the lines for a figure, as far from the other figures as can be."""
    spots = [spot for ring in rings for spot in ring[:: max(1, len(ring) // 40)]]
    points = np.array(spots).reshape(-1, 2)
    is_inside = shapely.contains_xy(inside, points[:, 0], points[:, 1])
    free = [spot for spot, keep in zip(spots, is_inside, strict=True) if keep]
    if not free:
        return None
    return max(free, key=lambda spot: min((math.dist(spot, other) for other in taken), default=-spot[1]))


def _ways(canvas: Canvas, job: Job, takeoff: Takeoff) -> None:
    """Draw the ways and the darkest spot of each."""
    night = takeoff.rough_in.night
    canvas.layer("ways")
    for walk in job.plan.walks:
        canvas.line(walk.line_mm, "way", Pen(NARROW_MM, CHAIN))
    for light in night.walks if night else ():
        x, y = light.darkest_mm
        size = canvas.paper_mm(1.0)
        for sign in (-1, 1):
            canvas.line(((x - size, y - sign * size), (x + size, y + sign * size)), "darkest", Pen(NARROW_MM))
        words = f"{light.least_lx:.1f} lx"
        canvas.text(
            (x + canvas.paper_mm(1.8), y - canvas.paper_mm(1.8)), words, SMALL_MM * 0.8, anchor="start"
        )


def _dazzling(canvas: Canvas, job: Job, takeoff: Takeoff) -> None:
    """Ring the lamps that shine into somebody's eyes."""
    night = takeoff.rough_in.night
    seen = {one.fixture for one in night.glare} if night else set()
    canvas.layer("glare")
    for fixture in job.plan.fixtures:
        if fixture.id in seen:
            spot = (fixture.x_mm, fixture.y_mm)
            canvas.circle(
                spot, canvas.paper_mm(2.4), "glare", Pen(NARROW_MM, DASHED), f"{fixture.id} is seen"
            )


def _legend(canvas: Canvas, at: Spot) -> None:
    """Say what the shades are."""
    canvas.layer("legend")
    x, y = at
    size = canvas.paper_mm(5)
    canvas.text((x, y + canvas.paper_mm(2.4)), "lx at deck level", SMALL_MM, anchor="start")
    for number, (level, shade) in enumerate(((0.0, DARK), *SHADES)):
        left = x + number * canvas.paper_mm(8)
        corners = ((left, y), (left + size, y), (left + size, y - size * 0.5), (left, y - size * 0.5))
        canvas.polygon(corners, "shade", Pen(HAIR_MM, fill=shade))
        words = f"{level:g}" if number else "0"
        canvas.text((left + size / 2, y - canvas.paper_mm(4.6)), words, SMALL_MM * 0.8)
    ring = (x + canvas.paper_mm(2), y - canvas.paper_mm(8.5))
    canvas.circle(ring, canvas.paper_mm(1.4), "glare", Pen(NARROW_MM, DASHED))
    words = "lamp seen from a door or a seat"
    canvas.text((x + canvas.paper_mm(5), y - canvas.paper_mm(8.5)), words, SMALL_MM, anchor="start")
