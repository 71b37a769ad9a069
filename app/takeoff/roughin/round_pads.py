"""Runs led round the pads that they would pass through, leg by leg."""

from collections.abc import Callable, Sequence
from dataclasses import replace
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from app.takeoff.roughin.apart import Apart, Lines, grid_apart
from app.takeoff.roughin.ends import clear_spot
from app.takeoff.roughin.grid import Floats, spread_from
from app.takeoff.roughin.lanes import CLEAR_MM
from app.takeoff.roughin.legs import Leg, Routed, level_mm
from app.takeoff.roughin.obstacles import FreeArea, to_plan_mm
from app.takeoff.roughin.pads import hit_pads
from app.takeoff.roughin.paths import corners_mm, shortest_path
from app.takeoff.roughin.trench import beside_mm, spans_of

ROUND_MAY_COST = 1.05  # of the shortest, for runs led round pads
ROUND_MAY_ADD_MM = 700.0  # more than that no pad takes; twice how far off a leg lines are looked at
PAD_ROUNDS = 12  # pads that turn out to be in the way are taken in so often
NEXT_PAD_MM = 700.0  # a pad no further off along both axes stands next to another; common practice, no source
MOST_LAID_ANEW = 20  # legs; beyond, trees are no longer worked out exactly
Lay = Callable[[FreeArea, Apart | None, Lines], Routed]


def off_pads_in_way(free: FreeArea, apart: Apart | None, laid: Routed, more: Lines, lay: Lay) -> Routed:
    """Give the runs led round the pads in their way.

    Parameters
    ----------
    free : FreeArea
        Where runs may lie.
    apart : Apart or None
        Sticks, pads, and runs that are kept away from.
    laid : Routed
        Laid as if there were no pads.
    more : Lines
        Other lines that runs may follow, of both directions. [mm]
    lay : callable
        Lays the same circuit anew, clear of the pads that it is given.

    Returns
    -------
    routed : Routed
        At most a twentieth longer than the shortest clear of all pads, wherever that is worked out exactly;
        as laid where no way is clear of them.

    Notes
    -----
    Leg by leg first, with the same order and joints: short enough when at most a twentieth longer than the
    shortest without pads, which none can beat. Else the circuit is laid anew clear of the pads met so far,
    and so on: what is shortest clear of some pads is at most as long as what is clear of all.

    References
    ----------
    Definition; the twentieth is the bar set for lengths.
    """
    if apart is None or apart.pads_mm is None or not len(apart.pads_mm):
        return laid
    if not hit_pads((leg.turned_mm for leg in laid.legs), apart.pads_mm).any():
        return laid
    best, least = _led_anew(free, laid, apart, more, lay)
    if free.boarded is not None and (best is None or _is_long(best, least, apart)):
        bare = replace(free, boarded=None)  # wherever its boxes lie
        anew, least = _led_anew(bare, lay(bare, replace(apart, pads_mm=None), more), apart, more, lay)
        if best is None or (anew is not None and _is_long(best, least, apart)):
            best = anew
    return best or laid


def _led_anew(
    free: FreeArea, laid: Routed, apart: Apart, more: Lines, lay: Lay
) -> tuple[Routed | None, float]:
    """Give the circuit clear of pads, and a length that none clear of them can be below.

    Each round leads the legs round pads; when that is too long for the least there can be, the circuit is
    laid anew clear of the pads met so far. What is shortest clear of some pads bounds what is clear of all.
    """
    pads = apart.pads_mm
    assert pads is not None
    best: Routed | None = None
    known = np.zeros(len(pads), dtype=bool)
    least = laid.least_mm
    for _ in range(PAD_ROUNDS):
        hit = hit_pads((leg.turned_mm for leg in laid.legs), pads)
        led = _led_round(free, laid, apart, more) if hit.any() else laid
        if led is not None and (best is None or _cost_mm(led, apart) < _cost_mm(best, apart)):
            best = led
        is_short = best is not None and not _is_long(best, least, apart)
        if is_short or not (hit & ~known).any() or len(laid.legs) > MOST_LAID_ANEW:
            break
        # Met once more, the next pads along the way are taken in with those met, or each costs a round.
        known |= _with_near(hit, pads) if known.any() else hit
        anew = lay(free, replace(apart, pads_mm=pads[known]), _beside(pads[known], more))
        if len(anew.cut_off) > len(laid.cut_off):
            break
        laid, least = anew, anew.least_mm
    return best, least


def _with_near(hit: NDArray[np.bool_], pads_mm: Floats) -> NDArray[np.bool_]:
    """Give some pads and those next to them."""
    apart_mm = np.abs(pads_mm[:, None, :2] - pads_mm[hit][None, :, :2]).max(axis=2)
    found: NDArray[np.bool_] = (apart_mm <= NEXT_PAD_MM).any(axis=1)
    return found


def _beside(pads_mm: Floats, more: Lines) -> Lines:
    """Give the lines beside some pads, and others."""
    x, y, half_x, half_y = pads_mm.T
    wide, high = half_x + CLEAR_MM, half_y + CLEAR_MM
    return (
        sorted({*more[0], *(x - wide).tolist(), *(x + wide).tolist()}),
        sorted({*more[1], *(y - high).tolist(), *(y + high).tolist()}),
    )


def _cost_mm(routed: Routed, apart: Apart) -> float:
    """Give the length of a circuit, with what it is worth to keep apart."""
    if not apart.worth:
        return level_mm(routed)
    beside = beside_mm(spans_of(leg.turned_mm for leg in routed.legs), apart.keep, apart.apart_mm)
    return level_mm(routed) + apart.worth * beside


def _is_long(routed: Routed, least_mm: float, apart: Apart) -> bool:
    """Say whether a circuit is more than a twentieth longer than the least there can be."""
    return _cost_mm(routed, apart) > least_mm * ROUND_MAY_COST


def _led_round(free: FreeArea, routed: Routed, apart: Apart, more: Lines) -> Routed | None:
    """Lead each leg round the pads that it meets, joints moved off them; None where one cannot be."""
    pads, half = apart.pads_mm, apart.half_mm
    if pads is None or half is None:
        return None
    # A way that strays further than half of what may be added comes back too long.
    reach_mm = (level_mm(routed) * (ROUND_MAY_COST - 1) + ROUND_MAY_ADD_MM) / 2
    spots: dict[str, tuple[float, float]] = {}
    for leg in routed.legs:
        for name, spot in ((leg.from_id, leg.turned_mm[0]), (leg.to_id, leg.turned_mm[-1])):
            clear = clear_spot(spot, free, apart.sticks_mm, half, pads) if "/" in name else spot
            if clear is None:
                return None
            spots[name] = clear
    legs = []
    for leg in routed.legs:
        start, stop = spots[leg.from_id], spots[leg.to_id]
        is_kept = (start, stop) == (leg.turned_mm[0], leg.turned_mm[-1])
        led = leg
        if not is_kept or hit_pads([leg.turned_mm], pads).any():
            near = _near((*leg.turned_mm, start, stop), reach_mm, free, apart, more)
            other = _led_leg(near[0], leg, (start, stop), near[1], near[2])
            if other is None:
                return None
            led = other
        legs.append(led)
    return Routed(legs=tuple(legs), cut_off=routed.cut_off)


def _near(
    spots_mm: tuple[tuple[float, float], ...], reach_mm: float, free: FreeArea, apart: Apart, more: Lines
) -> tuple[FreeArea, Apart, Lines]:
    """Give what lies within reach of some spots: a leg is led on few lines."""
    assert apart.half_mm is not None
    assert apart.pads_mm is not None
    low, high = np.min(spots_mm, axis=0) - reach_mm, np.max(spots_mm, axis=0) + reach_mm

    def within(lines: Sequence[float], axis: int) -> tuple[float, ...]:
        return tuple(line for line in lines if low[axis] <= line <= high[axis])

    ends = apart.sticks_mm.reshape(-1, 2, 2)
    is_near = ((ends.max(axis=1) >= low) & (ends.min(axis=1) <= high)).all(axis=1)
    pads = apart.pads_mm
    beside = _about((tuple(low), tuple(high)), pads)
    return (
        replace(free, xs_mm=within(free.xs_mm, 0), ys_mm=within(free.ys_mm, 1)),
        replace(
            apart, sticks_mm=apart.sticks_mm[is_near], half_mm=apart.half_mm[is_near], pads_mm=pads[beside]
        ),
        (within(more[0], 0), within(more[1], 1)),
    )


def _about(spots_mm: tuple[tuple[float, float], ...], pads_mm: Floats) -> NDArray[np.bool_]:
    """Say which pads lie in the box round some spots."""
    low, high = np.min(spots_mm, axis=0), np.max(spots_mm, axis=0)
    found: NDArray[np.bool_] = (
        np.abs(pads_mm[:, :2] - (low + high) / 2) <= (high - low) / 2 + pads_mm[:, 2:]
    ).all(axis=1)
    return found


def _led_leg(
    free: FreeArea,
    leg: Leg,
    ends: tuple[tuple[float, float], tuple[float, float]],
    apart: Apart,
    more: Lines,
) -> Leg | None:
    """Give a leg between two spots clear of pads; None where there is no way."""
    pads = apart.pads_mm
    assert pads is not None
    # The lines beside pads about the leg are where it can be led; met one by one each costs a grid.
    known = hit_pads([leg.turned_mm, ends], pads) | _about((*leg.turned_mm, *ends), pads)
    for _ in range(PAD_ROUNDS):
        grid = grid_apart(free, ends, replace(apart, pads_mm=pads[known]), more)
        start, stop = (grid.node(spot) for spot in ends)
        to_goal = spread_from(grid, [stop])[0]
        if not np.isfinite(to_goal[start]):
            return None
        turned = corners_mm(grid, shortest_path(grid, start, to_goal))
        hit = hit_pads([turned], pads)
        if not hit.any():
            path = tuple(to_plan_mm(point, free.angle_deg) for point in turned)
            level = sum(abs(a[0] - b[0]) + abs(a[1] - b[1]) for a, b in pairwise(turned))
            return replace(leg, path_mm=path, turned_mm=turned, level_mm=level)
        if not (hit & ~known).any():
            return None
        known |= hit
    return None
