"""The pads under the sleepers: runs lie on the roof between them, never through one."""

import math
from collections.abc import Iterable, Sequence
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from app.job.choices import Choices
from app.takeoff.framing.records import Framing
from app.takeoff.roughin.grid import Floats
from app.takeoff.roughin.lanes import CLEAR_MM, LEAST_MM, Corner
from app.takeoff.roughin.obstacles import to_turned_mm
from app.takeoff.roughin.records import Path

Box = tuple[float, float, float, float]  # middle x, middle y, half the width, half the depth


def pad_boxes(framing: Framing, choices: Choices, angle_deg: float) -> tuple[Box, ...]:
    """Give the feet of all pads and pedestals as boxes along the turned axes.

    Parameters
    ----------
    framing : Framing
        Pads and the sticks they carry.
    choices : Choices
        How large pads and feet are.
    angle_deg : float
        Direction of the turned x axis. [deg]

    Returns
    -------
    boxes_mm : tuple of Box
        Of each: middle x, middle y, half the width, half the depth, in turned axes. [mm]

    Notes
    -----
    A pad lies square to its stick; one that lies askew to the axes is taken as the box round it.

    References
    ----------
    Definition.
    """
    pads = {pad.id: (pad.length_mm / 2, pad.width_mm / 2) for pad in choices.pads}
    feet = {one.id: one.foot_mm / 2 for one in choices.pedestals}
    along = {
        stick.id: math.atan2(stick.end_mm[1] - stick.start_mm[1], stick.end_mm[0] - stick.start_mm[0])
        for stick in framing.sticks
    }
    rows = []
    for spot in framing.pads:
        if spot.pedestal:
            half_x = half_y = feet[spot.pedestal]
        else:
            long, wide = pads[spot.pad]
            turn = along.get(spot.stick, 0.0) - math.radians(angle_deg)
            cosine, sine = abs(math.cos(turn)), abs(math.sin(turn))
            half_x, half_y = long * cosine + wide * sine, long * sine + wide * cosine
        x, y = to_turned_mm((spot.x_mm, spot.y_mm), angle_deg)
        rows.append((x, y, round(half_x, 3), round(half_y, 3)))
    return tuple(rows)


def bars_of(boxes_mm: Floats) -> tuple[Floats, Floats]:
    """Give boxes as two crossed bars each, with how far from them a run keeps.

    Parameters
    ----------
    boxes_mm : array
        As `pad_boxes` gives them. [mm]

    Returns
    -------
    bars_mm : array
        Middle lines along both axes, one row (x, y, x, y) each. [mm]
    half_mm : array
        From each middle line to the lane beside the box. [mm]

    Examples
    --------
    >>> bars, half = bars_of(np.array([[100.0, 200.0, 50.0, 75.0]]))
    >>> bars.tolist(), half.tolist()
    ([[50.0, 200.0, 150.0, 200.0], [100.0, 125.0, 100.0, 275.0]], [85.0, 60.0])

    References
    ----------
    Definition.
    """
    x, y, half_x, half_y = boxes_mm.T if len(boxes_mm) else np.zeros((4, 0))
    across = np.column_stack([x - half_x, y, x + half_x, y])
    upward = np.column_stack([x, y - half_y, x, y + half_y])
    return np.concatenate([across, upward]), np.concatenate([half_y, half_x]) + CLEAR_MM


def off_pads(spot_mm: Corner, boxes_mm: Floats) -> tuple[Corner, ...]:
    """Give where a run could meet a thing that stands over a pad, the nearest first.

    Parameters
    ----------
    spot_mm : tuple of float
        Of the thing, in turned axes. [mm]
    boxes_mm : array
        As `pad_boxes` gives them. [mm]

    Returns
    -------
    spots_mm : tuple of tuple of float
        The spot itself where it stands over none; else those beside the pad that no other pad takes. [mm]

    References
    ----------
    Common practice, no source.
    """
    x, y = spot_mm

    def over(one: Corner) -> Floats:
        near = (np.abs(boxes_mm[:, 0] - one[0]) < boxes_mm[:, 2] + CLEAR_MM / 2) & (
            np.abs(boxes_mm[:, 1] - one[1]) < boxes_mm[:, 3] + CLEAR_MM / 2
        )
        return boxes_mm[near]

    here = over(spot_mm)
    if not len(here):
        return (spot_mm,)
    tried = []
    for middle_x, middle_y, half_x, half_y in here.tolist():
        for side in (-1.0, 1.0):
            tried.append((round(middle_x + side * (half_x + CLEAR_MM), 3), y))
            tried.append((x, round(middle_y + side * (half_y + CLEAR_MM), 3)))
    free = [one for one in tried if not len(over(one))]
    return tuple(sorted(free, key=lambda one: (round(abs(one[0] - x) + abs(one[1] - y), 3), one)))


def hit_pads(paths: Iterable[Path], boxes_mm: Floats) -> NDArray[np.bool_]:
    """Say which pads runs pass through.

    Parameters
    ----------
    paths : iterable of Path
        In turned axes.
    boxes_mm : array
        As `pad_boxes` gives them. [mm]

    Returns
    -------
    hit : array of bool
        Of each pad, whether some run goes into it by more than a millimetre.

    References
    ----------
    Definition.
    """
    ways = [(*a, *b) for path in paths for a, b in pairwise(path)]
    if not ways or not len(boxes_mm):
        return np.zeros(len(boxes_mm), dtype=bool)
    ax, ay, bx, by = np.array(ways, dtype=np.float64).T[:, :, None]
    x, y, half_x, half_y = boxes_mm.T
    wide = np.minimum(np.maximum(ax, bx), x + half_x) - np.maximum(np.minimum(ax, bx), x - half_x)
    high = np.minimum(np.maximum(ay, by), y + half_y) - np.maximum(np.minimum(ay, by), y - half_y)
    is_level = np.abs(bx - ax) >= np.abs(by - ay)
    into = np.where(is_level, wide, high)
    beside = np.where(is_level, np.abs(y - ay) < half_y, np.abs(x - ax) < half_x)
    hit: NDArray[np.bool_] = (beside & (into > LEAST_MM)).any(axis=0)
    return hit


def through_pads(paths: Sequence[Path], boxes_mm: Floats) -> tuple[int, Corner | None]:
    """Give how many pads runs pass through, and where the first lies.

    Parameters
    ----------
    paths : sequence of Path
        In turned axes.
    boxes_mm : array
        As `pad_boxes` gives them. [mm]

    Returns
    -------
    count : int
        Pads that some run goes into by more than a millimetre.
    at_mm : tuple of float or None
        Middle of the first of them, in turned axes. [mm]

    Examples
    --------
    >>> through_pads([((0.0, 0.0), (900.0, 0.0))], np.array([[400.0, 20.0, 50.0, 75.0]]))
    (1, (400.0, 20.0))

    References
    ----------
    Definition.
    """
    places = np.flatnonzero(hit_pads(paths, boxes_mm))
    if not len(places):
        return 0, None
    return len(places), (float(boxes_mm[places[0], 0]), float(boxes_mm[places[0], 1]))
