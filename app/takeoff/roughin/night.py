"""After dark: light on the deck and the walls, the darkest spot of each way, and lamps that dazzle."""

import math
from collections.abc import Sequence
from itertools import pairwise

import numpy as np
import shapely

from app.job.doing import Do, at_once
from app.job.findings import Finding
from app.job.job import Job
from app.job.shapes import area_within, box_outline
from app.job.spoken import Spoken
from app.takeoff.roughin.beams import Floats, Lamp, greatest_cd, intensity_cd, lamps_of
from app.takeoff.roughin.evening_records import Glare, Night, WalkLight, WallLight
from app.takeoff.roughin.illuminance import UP, lit_lx
from app.takeoff.roughin.screens import Screens, is_hidden, own_boxes, screens_of, seats_of

STEP_MM = 250.0
MOST_POINTS = 2500
ALONG_MM = 100.0
SITTING_EYE_MM, STANDING_EYE_MM = 1200.0, 1600.0  # above the deck; common practice, no source
EYES_APART_MM = 600.0
SEEN_SHARE = 1e-3  # of the greatest intensity; less toward an eye is a lamp not seen
PATH_LX = 10.0
PATH_SOURCE = "IESNA Lighting Handbook, 9th edition, paths away from buildings, 10 lx, secondary page"
GLARE_SOURCE = "common practice, no source: no bare lamp in the line of sight"
Eye = tuple[str, tuple[float, float, float]]


def deck_points_mm(job: Job, step_mm: float) -> Floats:
    """Give a grid of points on the deck and the beds, boxes left out.

    Parameters
    ----------
    job : Job
        With its plan.
    step_mm : float
        From point to point. [mm]

    Returns
    -------
    points_mm : array
        One row (x, y, 0) each, in the middle of its square. [mm]

    References
    ----------
    Definition.
    """
    floors = [area_within(f.outline_mm, f.holes_mm) for f in job.plan.deck_fields]
    floors += [area_within(bed.outline_mm) for bed in job.plan.stone_beds]
    if not floors:
        floors = [area_within(job.survey.outline_mm, job.survey.holes_mm)]
    boxes = [box_outline(b) for b in (*job.plan.planters, *job.plan.benches, *job.plan.counters)]
    area = shapely.union_all(floors).difference(shapely.union_all(boxes))
    left, bottom, right, top = area.bounds
    xs = np.arange(left + step_mm / 2, right, step_mm)
    ys = np.arange(bottom + step_mm / 2, top, step_mm)
    grid = np.array(np.meshgrid(xs, ys)).reshape(2, -1)
    kept = grid[:, shapely.contains_xy(area, grid[0], grid[1])]
    return np.column_stack([kept[0], kept[1], np.zeros(kept.shape[1])])


def _step_mm(job: Job) -> float:
    """Give a step that keeps a large roof to a few thousand points."""
    area_mm2 = area_within(job.survey.outline_mm).area
    return max(STEP_MM, math.sqrt(area_mm2 / MOST_POINTS))


def eyes_of(job: Job, deck_mm: float) -> tuple[Eye, ...]:
    """Give the eyes that look over the roof: standing in each door, sitting on each seat.

    Parameters
    ----------
    job : Job
        Survey and plan.
    deck_mm : float
        Top of the boards above the datum. [mm]

    Returns
    -------
    eyes : tuple of (str, tuple of float)
        Door or seat, and the spot on plan and above the deck; several along a bench.

    References
    ----------
    Heights of eyes: common practice, no source.
    """
    standing = [
        (door.id, (door.x_mm, door.y_mm, door.threshold_mm - deck_mm + STANDING_EYE_MM))
        for door in job.survey.doors
    ]
    sitting: list[Eye] = []
    for bench in job.plan.benches:
        count = max(1, int(bench.length_mm // EYES_APART_MM))
        turn = math.radians(bench.angle_deg)
        for n in range(count):
            off = (n + 0.5) * bench.length_mm / count - bench.length_mm / 2
            spot = (bench.x_mm + off * math.cos(turn), bench.y_mm + off * math.sin(turn), SITTING_EYE_MM)
            sitting.append((bench.id, spot))
    sitting += [(f.id, (f.x_mm, f.y_mm, SITTING_EYE_MM)) for f in job.plan.furniture if f.is_seat]
    return (*standing, *sitting)


def glare_of(job: Job, lamps: Sequence[Lamp], screens: Screens, eyes: Sequence[Eye]) -> tuple[Glare, ...]:
    """Give the lamps that shine into an eye, nothing standing between.

    Parameters
    ----------
    job : Job
        Tells which box a lamp is built into.
    lamps : sequence of Lamp
        All of the plan.
    screens : Screens
        What stands in the way.
    eyes : sequence of (str, tuple of float)
        From `eyes_of`.

    Returns
    -------
    glare : tuple of Glare
        For each lamp and each door or seat the eye it shines at most strongly.

    References
    ----------
    Definition: seen is what sends more than a thousandth of its greatest intensity to the eye.
    """
    if not eyes:
        return ()
    spots = np.array([spot for _, spot in eyes], dtype=np.float64)
    found: dict[tuple[str, str], Glare] = {}
    for lamp in lamps:
        away = spots - np.array(lamp.spot_mm)
        distance = np.maximum(np.linalg.norm(away, axis=1), 1.0)
        toward = intensity_cd(lamp, away / distance[:, None])
        others = screens.without(own_boxes(job, lamp.spot_mm))
        is_seen = (toward > SEEN_SHARE * greatest_cd(lamp)) & ~is_hidden(others, lamp.spot_mm, spots)
        for n in np.flatnonzero(is_seen).tolist():
            one = Glare(lamp.id, eyes[n][0], float(toward[n]), float(distance[n]))
            known = found.get((lamp.id, one.eye))
            if known is None or one.intensity_cd > known.intensity_cd:
                found[lamp.id, one.eye] = one
    return tuple(found.values())


def _along(line_mm: Sequence[tuple[float, float]]) -> Floats:
    """Give points along a line, its ends with them."""
    parts = []
    for a, b in pairwise(line_mm):
        count = max(1, math.ceil(math.dist(a, b) / ALONG_MM))
        parts.append(np.linspace(a, b, count + 1))
    flat = np.vstack(parts)
    return np.column_stack([flat, np.zeros(len(flat))])


def _ways(job: Job) -> list[tuple[str, tuple[tuple[float, float], ...]]]:
    """Give the ways drawn; with none drawn, straight from each door to each seat."""
    if job.plan.walks:
        return [(walk.id, walk.line_mm) for walk in job.plan.walks]
    return [
        (f"{door.id} to {name}", ((door.x_mm, door.y_mm), place))
        for door in job.survey.doors
        for name, place in seats_of(job)
    ]


def _walked(job: Job, deck_mm: float) -> tuple[WalkLight, ...]:
    """Give the light along every way, where no box stands on it."""
    lamps, screens = _lamps(job), screens_of(job, deck_mm)
    boxes = [box_outline(b) for b in (*job.plan.planters, *job.plan.benches, *job.plan.counters)]
    standing = shapely.union_all(boxes)
    found = []
    for name, line in _ways(job):
        points = _along(line)
        points = points[~shapely.contains_xy(standing, points[:, 0], points[:, 1])]
        if len(points):
            light = lit_lx(job, lamps, screens, points, UP)
            x, y = points[int(light.argmin()), :2]
            found.append(WalkLight(name, float(light.min()), float(light.mean()), (float(x), float(y))))
    return tuple(found)


def wall_grid_mm(
    start_mm: tuple[float, float], end_mm: tuple[float, float], height_mm: float, step_mm: float
) -> tuple[Floats, Floats, Floats]:
    """Give a grid of points on an upright wall.

    Parameters
    ----------
    start_mm, end_mm : tuple of float
        Its line on plan. [mm]
    height_mm : float
        Above the deck. [mm]
    step_mm : float
        From point to point. [mm]

    Returns
    -------
    points_mm, along_mm, up_mm : array
        Points on plan and above the deck, and their places on the unfolded wall. [mm]

    References
    ----------
    Definition.
    """
    length = math.dist(start_mm, end_mm)
    along = np.arange(step_mm / 2, length, step_mm)
    up = np.arange(step_mm / 2, height_mm, step_mm)
    s, z = (part.ravel() for part in np.meshgrid(along, up))
    way = (np.array(end_mm) - np.array(start_mm)) / length
    points = np.column_stack([start_mm[0] + s * way[0], start_mm[1] + s * way[1], z])
    return points, s, z


def wall_light_lx(
    job: Job, lamps: Sequence[Lamp], screens: Screens, wall: str, step_mm: float
) -> tuple[Floats, Floats, Floats]:
    """Give the light on one feature wall, on its brighter side.

    Parameters
    ----------
    job : Job
        With its plan.
    lamps : sequence of Lamp
        All of the plan.
    screens : Screens
        What stands in the way.
    wall : str
        Id of the wall.
    step_mm : float
        From point to point. [mm]

    Returns
    -------
    light_lx, along_mm, up_mm : array
        Light, and the place of each point on the unfolded wall.

    Raises
    ------
    StopIteration
        When there is no such wall.

    References
    ----------
    Sum of the point method over the lamps; definition.
    """
    drawn = next(w for w in job.plan.feature_walls if w.id == wall)
    points, along, up = wall_grid_mm(drawn.start_mm, drawn.end_mm, drawn.height_mm, step_mm)
    (ax, ay), (bx, by) = drawn.start_mm, drawn.end_mm
    length = math.dist(drawn.start_mm, drawn.end_mm)
    left = (-(by - ay) / length, (bx - ax) / length, 0.0)
    others = screens.without(frozenset({wall}))
    sides = [lit_lx(job, lamps, others, points, tuple(sign * part for part in left)) for sign in (1.0, -1.0)]
    return max(sides, key=lambda light: float(light.sum())), along, up


def night_of(job: Job, deck_mm: float, do: Do = at_once) -> tuple[Night | None, tuple[Finding, ...]]:
    """Give the light after dark.

    Parameters
    ----------
    job : Job
        Survey, plan and choices.
    deck_mm : float
        Top of the boards above the datum. [mm]
    do : Do
        How its parts are done.

    Returns
    -------
    night : Night or None
        None when no fixture has known light.
    findings : tuple of Finding
        Notes on dark ways and on lamps that are seen.

    References
    ----------
    Point method; see `illuminance_lx`.
    """
    lamps = _lamps(job)
    if not lamps:
        return None, ()
    average, least, greatest = do(_deck_light, job, deck_mm)
    night = Night(
        lamps=tuple(lamp.id for lamp in lamps),
        average_lx=average,
        least_lx=least,
        greatest_lx=greatest,
        walks=do(_walked, job, deck_mm),
        walls=do(_wall_lights, job, deck_mm),
        glare=do(_glare, job, deck_mm),
    )
    return night, (*_dark_ways(night), *_dazzling(job, night))


def _lamps(job: Job) -> tuple[Lamp, ...]:
    """Give the lamps whose light is known."""
    return tuple(lamps_of(job.plan.fixtures, {kind.id: kind for kind in job.choices.fixture_kinds}))


def _deck_light(job: Job, deck_mm: float) -> tuple[float, float, float]:
    """Give the light on the deck: its mean, its least and its greatest."""
    light = lit_lx(job, _lamps(job), screens_of(job, deck_mm), deck_points_mm(job, _step_mm(job)), UP)
    mean = float(light.mean()) if len(light) else 0.0
    return mean, float(light.min(initial=math.inf)) if len(light) else 0.0, float(light.max(initial=0.0))


def _wall_lights(job: Job, deck_mm: float) -> tuple[WallLight, ...]:
    """Give the light on every feature wall."""
    lamps, screens = _lamps(job), screens_of(job, deck_mm)
    lights = ((w.id, wall_light_lx(job, lamps, screens, w.id, STEP_MM)[0]) for w in job.plan.feature_walls)
    return tuple(
        WallLight(name, float(light.mean()), float(light.max())) for name, light in lights if len(light)
    )


def _glare(job: Job, deck_mm: float) -> tuple[Glare, ...]:
    """Give the lamps that are seen from doors and seats."""
    return glare_of(job, _lamps(job), screens_of(job, deck_mm), eyes_of(job, deck_mm))


def _dark_ways(night: Night) -> list[Finding]:
    """Say where a way is dark."""
    return [
        Finding(
            "roughin.dark-way",
            "note",
            walk.walk if " " not in walk.walk else "job",
            f"The way {walk.walk} has {walk.least_lx:.1f} lx at its darkest spot and {walk.average_lx:.1f} "
            f"lx on the whole; {PATH_LX:g} lx is published for paths. On a private terrace that is guidance; "
            "steps and edges go by the local code.",
            walk.least_lx,
            PATH_LX,
            "lx",
            PATH_SOURCE,
            walk.darkest_mm,
        )
        for walk in night.walks
        if walk.least_lx < PATH_LX
    ]


def _dazzling(job: Job, night: Night) -> list[Finding]:
    """Say which lamps are seen, and from where."""
    found = []
    for fixture in job.plan.fixtures:
        seen = [one for one in night.glare if one.fixture == fixture.id]
        if not seen:
            continue
        most = max(seen, key=lambda one: one.intensity_cd)
        places = ", ".join(one.eye for one in seen)
        text = (
            f"{fixture.id} shines into the eyes from {places}: up to {most.intensity_cd:.0f} cd over "
            f"{Spoken(job.units).way(most.distance_mm)}. Turn it, shield it or set it lower."
        )
        place = (fixture.x_mm, fixture.y_mm)
        found.append(Finding("roughin.glare", "note", fixture.id, text, source=GLARE_SOURCE, at_mm=place))
    return found
