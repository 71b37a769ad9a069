"""Ways of sound past screens: over the top, and round the ends that are open."""

import math
from collections.abc import Sequence
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from app.takeoff.roughin.screens import Floats, Screens, Spot, crossings

ROUND_MM = 50.0  # past the end of a screen, where sound goes round it
JOINED_MM = 100.0  # a screen this near to the end of another goes on from it
AS_HIGH_MM = 150.0  # and closes that end when it is not lower by more; both common practice, no source
Flags = NDArray[np.bool_]


def ways_past_mm(screens: Screens, spot_mm: Spot, place_mm: Spot) -> tuple[tuple[float, ...], ...]:
    """Give how much longer than the straight one each way past each screen in between is.

    Parameters
    ----------
    screens : Screens
        What stands in the way.
    spot_mm, place_mm : tuple of float
        Source and receiver, on plan and above the deck. [mm]

    Returns
    -------
    ways_mm : tuple of tuple of float
        For each screen that cuts the straight line: over its top, then round each of its ends that is open;
        empty when nothing cuts it. [mm]

    Notes
    -----
    A way round an end may lead on over other screens, or round one end of one more, whichever is shorter.
    An end is shut when another screen as high goes on from it: there the way over is the one counted
    already. Ways round three ends or more are left out; they are the longest. What is over a screen is
    reckoned as if it stood alone.

    References
    ----------
    ISO 9613-2:1996, path differences z over a top edge and round upright edges, from memory for the latter;
    it gives none for a way round one screen and over another: the length of that way is taken as z with
    C3 = 1, which takes the least. Common practice, no source.
    """
    if not len(screens.owners):
        return ()
    straight = math.dist(spot_mm, place_mm)
    share, is_cut = crossings(screens, np.array([spot_mm]), np.array([place_mm]))
    found = []
    for number in np.flatnonzero(is_cut[0]).tolist():
        level = math.dist(spot_mm[:2], place_mm[:2])
        over = _over_mm(
            [(float(share[0, number]) * level, float(screens.tops_mm[number]))], level, spot_mm, place_mm
        )
        ways = [over, *_round_mm(screens, number, spot_mm, place_mm)]
        found.append(tuple(way - straight for way in ways))
    return tuple(found)


def _over_mm(tops: Sequence[tuple[float, float]], level_mm: float, spot_mm: Spot, place_mm: Spot) -> float:
    """Give the length of the shortest line over some tops, each at a distance on plan from the source."""
    hull = [(0.0, spot_mm[2])]
    for point in (*sorted(tops), (level_mm, place_mm[2])):
        while len(hull) > 1 and _is_under(hull[-1], hull[-2], point):
            hull.pop()
        hull.append(point)
    return sum(math.dist(a, b) for a, b in pairwise(hull))


def _is_under(middle: tuple[float, float], start: tuple[float, float], stop: tuple[float, float]) -> bool:
    """Say whether a line from start to stop passes over a point between them."""
    ahead = (middle[0] - start[0]) * (stop[1] - start[1]) - (middle[1] - start[1]) * (stop[0] - start[0])
    return ahead >= 0.0


def _round_mm(screens: Screens, number: int, spot_mm: Spot, place_mm: Spot) -> list[float]:
    """Give the lengths round the open ends of one screen."""
    found = []
    for end in (0, 1):
        corner = _past(screens, number, end)
        path = _path(spot_mm, (corner,), place_mm)
        share, is_cut = crossings(screens, path[:-1], path[1:])
        if not is_cut.any():
            found.append(_length_mm(path))
            continue
        lengths = [*_led_over(screens, (number, end), path, share, is_cut)]
        lengths += _led_round(screens, corner, is_cut, spot_mm, place_mm)
        found += [min(lengths)] if lengths else []
    return found


def _past(screens: Screens, number: int, end: int) -> tuple[float, float]:
    """Give the place just past one end of a screen."""
    ax, ay, bx, by = (float(value) for value in screens.lines_mm[number])
    length = max(math.hypot(bx - ax, by - ay), 1e-9)
    dx, dy = ROUND_MM * (bx - ax) / length, ROUND_MM * (by - ay) / length
    return (bx + dx, by + dy) if end else (ax - dx, ay - dy)


def _path(spot_mm: Spot, corners: Sequence[tuple[float, float]], place_mm: Spot) -> Floats:
    """Give a way round corners, rising evenly along its length on plan."""
    level = np.array([spot_mm[:2], *corners, place_mm[:2]])
    along = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(level, axis=0).T))])
    height = spot_mm[2] + (place_mm[2] - spot_mm[2]) * along / max(float(along[-1]), 1e-9)
    return np.column_stack([level, height])


def _length_mm(path: Floats) -> float:
    """Give the length of a way."""
    return float(np.sqrt((np.diff(path, axis=0) ** 2).sum(axis=1)).sum())


def _led_over(
    screens: Screens, end: tuple[int, int], path: Floats, share: Floats, is_cut: Flags
) -> list[float]:
    """Give the length of a way round an end led over what cuts it; none where the end is shut."""
    number, side = end
    at = screens.lines_mm[number, 2 * side : 2 * side + 2]
    others = np.flatnonzero(is_cut.any(axis=0))
    is_joined = _away_mm(screens.lines_mm[others], at) < JOINED_MM
    if (is_joined & (screens.tops_mm[others] >= screens.tops_mm[number] - AS_HIGH_MM)).any():
        return []
    steps = np.hypot(*np.diff(path[:, :2], axis=0).T)
    begin = np.concatenate([[0.0], np.cumsum(steps)])
    tops = [
        (float(begin[leg] + share[leg, other] * steps[leg]), float(screens.tops_mm[other]))
        for leg, other in np.argwhere(is_cut).tolist()
    ]
    first, last = (tuple(row) for row in path[[0, -1]].tolist())
    return [_over_mm(tops, float(begin[-1]), first, last)]


def _away_mm(lines_mm: Floats, at: Floats) -> Floats:
    """Give how far a place lies from each of some lines."""
    start, along = lines_mm[:, :2], lines_mm[:, 2:] - lines_mm[:, :2]
    square = np.maximum((along**2).sum(axis=1), 1e-9)
    share = np.clip(((at - start) * along).sum(axis=1) / square, 0.0, 1.0)
    away: Floats = np.hypot(*(start + share[:, None] * along - at).T)
    return away


def _led_round(
    screens: Screens, corner: tuple[float, float], is_cut: Flags, spot_mm: Spot, place_mm: Spot
) -> list[float]:
    """Give the lengths of a way round an end led round one end of what cuts it, too."""
    paths = []
    for leg, other in np.argwhere(is_cut).tolist():
        for end in (0, 1):
            more = _past(screens, other, end)
            paths.append(_path(spot_mm, (more, corner) if leg == 0 else (corner, more), place_mm))
    whole = np.array(paths)
    starts, stops = whole[:, :-1].reshape(-1, 3), whole[:, 1:].reshape(-1, 3)
    _, is_shut = crossings(screens, starts, stops)
    is_shut_off = is_shut.any(axis=1).reshape(len(paths), -1)
    return [_length_mm(path) for path, shut in zip(paths, is_shut_off, strict=True) if not shut.any()]
