"""What stands in the way of light and sound: walls, parapets and the sides of boxes, as upright screens."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import pairwise
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from app.job.job import Job
from app.job.plan import Box, FeatureWall
from app.job.shapes import box_outline
from app.job.survey import Edge, SpotHeight

Floats = NDArray[np.float64]
Spot = tuple[float, float, float]
TOUCH_MM = 10.0  # a lamp, an eye or a lit face this near to a screen stands on it, not behind it
PROUD_MM = 1.0  # a lamp set in the face of a box may stand this far out


@dataclass(frozen=True, slots=True, eq=False)
class Screens:
    """Upright screens, each a line on plan with a top.

    Attributes
    ----------
    owners : tuple of str
        Edge, wall or box each belongs to.
    lines_mm : array
        One row (x, y, x, y) each. [mm]
    tops_mm : array
        Above the deck. [mm]
    is_solid : array
        Whether it is closed and heavy enough to keep sound back.
    """

    owners: tuple[str, ...]
    lines_mm: Floats
    tops_mm: Floats
    is_solid: NDArray[np.bool_]

    def without(self, owners: frozenset[str], *, solid_only: bool = False) -> "Screens":
        """Give the screens that are not of some owners."""
        if not owners and not solid_only:
            return self
        kept = np.array([owner not in owners for owner in self.owners], dtype=bool).reshape(-1)
        kept &= self.is_solid if solid_only else True
        names = tuple(owner for owner, keep in zip(self.owners, kept, strict=True) if keep)
        return Screens(names, self.lines_mm[kept], self.tops_mm[kept], self.is_solid[kept])


def membrane_mm(job: Job, x_mm: float, y_mm: float) -> float:
    """Give the height of the membrane at a place, from the plane through the spot heights.

    Parameters
    ----------
    job : Job
        With its survey.
    x_mm, y_mm : float
        On plan. [mm]

    Returns
    -------
    membrane_mm : float
        Above the datum. [mm]

    References
    ----------
    Least squares; good enough for the top of a parapet, not for pads.
    """
    return _height_mm(job.survey.spot_heights, x_mm, y_mm)


def _height_mm(spot_heights: tuple[SpotHeight, ...], x_mm: float, y_mm: float) -> float:
    """Give the height of the plane through some spots at a place."""
    spots = tuple((s.x_mm, s.y_mm, s.z_mm) for s in spot_heights)
    (x, y, z), slope = _plane(spots)
    return float(z + np.array(slope) @ (np.array([x_mm, y_mm]) - np.array([x, y])))


@lru_cache(maxsize=16)
def _plane(spots_mm: tuple[Spot, ...]) -> tuple[Spot, tuple[float, float]]:
    """Give the middle of some spots and the slopes of the plane through them; asked for every parapet."""
    spots = np.array(spots_mm)
    centre = spots.mean(axis=0)
    moved = spots - centre
    slope = np.linalg.lstsq(moved[:, :2], moved[:, 2], rcond=None)[0]
    return (float(centre[0]), float(centre[1]), float(centre[2])), (float(slope[0]), float(slope[1]))


def screens_of(job: Job, deck_mm: float) -> Screens:
    """Give everything that can stand in the way of light and sound.

    Parameters
    ----------
    job : Job
        Survey and plan.
    deck_mm : float
        Top of the boards above the datum. [mm]

    Returns
    -------
    screens : Screens

    Notes
    -----
    Parapets and walls of the roof's edge, feature walls, planters, benches and counters. Openings are
    not counted. Guards and open edges let everything through. For sound only parapets, walls and
    planters are solid: cladding with gaps counts as nothing.

    References
    ----------
    Definition; ISO 9613-2:1996 wants a screen closed and at least about 10 kg/m2, from memory.
    """
    survey, plan = job.survey, job.plan
    boxes = (*plan.planters, *plan.benches, *plan.counters)
    standing = _Standing(survey.outline_mm, survey.edges, survey.spot_heights, plan.feature_walls, boxes)
    return _screens(standing, frozenset(planter.id for planter in plan.planters), deck_mm)


class _Standing(NamedTuple):
    """What of a job can stand in the way."""

    outline_mm: tuple[tuple[float, float], ...]
    edges: tuple[Edge, ...]
    spot_heights: tuple[SpotHeight, ...]
    walls: tuple[FeatureWall, ...]
    boxes: tuple[Box, ...]


@lru_cache(maxsize=16)
def _screens(standing: _Standing, planters: frozenset[str], deck_mm: float) -> Screens:
    """Give the screens; light on deck, ways and walls, glare and sound all ask for the same ones."""
    rows: list[tuple[str, tuple[float, float], tuple[float, float], float, bool]] = []
    outline = standing.outline_mm
    for edge in standing.edges:
        if edge.kind not in ("parapet", "wall") or edge.from_corner >= len(outline):
            continue
        start, end = outline[edge.from_corner], outline[(edge.from_corner + 1) % len(outline)]
        foot = _height_mm(standing.spot_heights, (start[0] + end[0]) / 2, (start[1] + end[1]) / 2) - deck_mm
        rows.append((edge.id, start, end, foot + edge.height_mm, True))
    rows += [(w.id, w.start_mm, w.end_mm, w.height_mm, False) for w in standing.walls]
    for box in standing.boxes:
        corners = list(box_outline(box).exterior.coords)
        rows += [(box.id, a[:2], b[:2], box.height_mm, box.id in planters) for a, b in pairwise(corners)]
    return Screens(
        owners=tuple(row[0] for row in rows),
        lines_mm=np.array([(*row[1], *row[2]) for row in rows], dtype=np.float64).reshape(-1, 4),
        tops_mm=np.array([row[3] for row in rows], dtype=np.float64),
        is_solid=np.array([row[4] for row in rows], dtype=bool),
    )


def own_boxes(job: Job, spot_mm: Spot) -> frozenset[str]:
    """Give the boxes that something is built into, so that they do not stand in its way.

    Parameters
    ----------
    job : Job
        With its plan.
    spot_mm : tuple of float
        On plan, and above the deck. [mm]

    Returns
    -------
    owners : frozenset of str
        Boxes round the spot whose top is above it.

    References
    ----------
    Definition.
    """
    x, y, z = spot_mm
    found = []
    for box in (*job.plan.planters, *job.plan.benches, *job.plan.counters):
        turn = math.radians(box.angle_deg)
        dx, dy = x - box.x_mm, y - box.y_mm
        along = abs(dx * math.cos(turn) + dy * math.sin(turn))
        across = abs(dy * math.cos(turn) - dx * math.sin(turn))
        is_inside = along <= box.length_mm / 2 + PROUD_MM and across <= box.width_mm / 2 + PROUD_MM
        if is_inside and z < box.height_mm - PROUD_MM:
            found.append(box.id)
    return frozenset(found)


def crossings(screens: Screens, spots_mm: Floats, points_mm: Floats) -> tuple[Floats, NDArray[np.bool_]]:
    """Give where sight lines meet the lines of screens on plan, and which screens cut them.

    Parameters
    ----------
    screens : Screens
        What stands in the way.
    spots_mm : array
        Where the sight lines begin, one row (x, y, z) each, or one row for all. [mm]
    points_mm : array
        Where they end, one row (x, y, z) each. [mm]

    Returns
    -------
    share : array
        Of each line, how far along it each screen is met.
    is_cut : array of bool
        Whether it is met below its top.

    References
    ----------
    Definition.
    """
    start, end = screens.lines_mm[:, :2], screens.lines_mm[:, 2:]
    along = end - start
    way = points_mm[:, None, :2] - spots_mm[:, None, :2]
    off = start[None, :, :] - spots_mm[:, None, :2]
    cross = way[..., 0] * along[:, 1] - way[..., 1] * along[:, 0]
    length = np.maximum(np.hypot(way[..., 0], way[..., 1]), 1e-9)
    safe = np.where(np.abs(cross) < 1e-9, 1.0, cross)
    share = (off[..., 0] * along[:, 1] - off[..., 1] * along[:, 0]) / safe
    on = (off[..., 0] * way[..., 1] - off[..., 1] * way[..., 0]) / safe
    is_met = (np.abs(cross) >= 1e-9) & (on >= 0.0) & (on <= 1.0)
    is_met &= (share * length > TOUCH_MM) & ((1 - share) * length > TOUCH_MM)
    height = spots_mm[:, None, 2] + share * (points_mm[:, None, 2] - spots_mm[:, None, 2])
    return share, is_met & (height < screens.tops_mm)


def is_hidden(screens: Screens, spot_mm: Spot, points_mm: Floats) -> NDArray[np.bool_]:
    """Say which points cannot be seen from a spot.

    Parameters
    ----------
    screens : Screens
        What stands in the way.
    spot_mm : tuple of float
        On plan, and above the deck. [mm]
    points_mm : array
        One row (x, y, z) each. [mm]

    Returns
    -------
    is_hidden : array of bool

    Notes
    -----
    A straight line from spot to point that meets a screen below its top is cut. Something within 10 mm
    of a screen stands on its face.

    References
    ----------
    Definition.
    """
    if not len(screens.owners):
        return np.zeros(len(points_mm), dtype=bool)
    _, is_cut = crossings(screens, np.array([spot_mm]), points_mm)
    found: NDArray[np.bool_] = np.any(is_cut, axis=1)
    return found


def seats_of(job: Job) -> Sequence[tuple[str, tuple[float, float]]]:
    """Give where people sit.

    Parameters
    ----------
    job : Job
        With its plan.

    Returns
    -------
    seats : sequence of (str, tuple of float)
        Benches, and furniture marked as a seat, each with its middle on plan.

    References
    ----------
    Definition.
    """
    seats = [(bench.id, (bench.x_mm, bench.y_mm)) for bench in job.plan.benches]
    return (*seats, *((f.id, (f.x_mm, f.y_mm)) for f in job.plan.furniture if f.is_seat))
