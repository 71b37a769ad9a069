"""Pads: where each bar stands, evenly along it, at its ends and under every splice.

A bar that hangs between other bars (a rim across the sleepers' ends, a trimmer) gets pads of its own only
where those bars stand further apart than pads may.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Any, Literal

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import LineString, MultiPolygon

from app.takeoff.framing.bars import Bar
from app.takeoff.framing.pad_ground import Ground, PadSize
from app.takeoff.framing.pad_places import hung_pads, standing_pads
from app.takeoff.framing.sleepers import spread_mm

_TOUCH_MM = 3.0  # two bars this close are fixed to each other


@dataclass(frozen=True, slots=True)
class Footing:
    """One pad, in local axes.

    Attributes
    ----------
    bar : int
        Number of the bar it carries.
    x, y : float
        Its centre, in millimetres.
    along_mm : float
        Where along the whole bar it stands. [mm]
    """

    bar: int
    x: float
    y: float
    along_mm: float


@dataclass(frozen=True, slots=True)
class Standing:
    """How the bars of one field stand.

    Attributes
    ----------
    footings : tuple of Footing
    spans_mm : tuple of tuple of float
        Distances between the pads of each bar that has two or more. [mm]
    crowded : tuple of (float, float)
        Places where no pad could stand within the spacing, in local axes.
    """

    footings: tuple[Footing, ...]
    spans_mm: tuple[tuple[float, ...], ...]
    crowded: tuple[tuple[float, float], ...]


def stand(bars: Sequence[Bar], area: MultiPolygon, keep_clear: MultiPolygon, size: PadSize) -> Standing:
    """Give the pads of one field.

    Parameters
    ----------
    bars : sequence of Bar
        Everything under the boards, in local axes.
    area : MultiPolygon
        The field; pads stay inside it where they can.
    keep_clear : MultiPolygon
        Where no pad may lie.
    size : PadSize
        Footprint and spacing.

    Returns
    -------
    standing : Standing

    Notes
    -----
    A pad that would overlap one already set down, or a keep-clear, slides along its bar; if that leaves
    more than the spacing, another is put between. Two bars under one joint share their pads when both fit
    on one.

    References
    ----------
    Common practice, no source.
    """
    ground = Ground(area, keep_clear, size)
    footings: list[Footing] = []
    spans: list[tuple[float, ...]] = []
    crowded: list[tuple[float, float]] = []
    for number, whole, joints in _wholes(bars, size):
        if whole.is_primary:
            laid = standing_pads(ground, whole, joints)
        else:
            laid = hung_pads(ground, whole, _between(whole, joints, bars, size))
        footings += [Footing(number, x, y, along) for along, (x, y) in laid]
        if not whole.is_primary:
            continue
        at = [along for along, _ in laid]
        gaps = tuple(right - left for left, right in pairwise(at))
        spans += [gaps] if gaps else []
        crowded += [whole.at(left) for left, gap in zip(at, gaps, strict=False) if gap > size.spacing_mm + 1]
        crowded += [whole.at(0.0)] if not at or at[0] > size.spacing_mm else []
        crowded += [whole.at(whole.centre_mm)] if at and whole.centre_mm - at[-1] > size.spacing_mm else []
    return Standing(tuple(footings), tuple(spans), tuple(crowded))


def _wholes(bars: Sequence[Bar], size: PadSize) -> list[tuple[int, Bar, tuple[float, ...]]]:
    """Give every bar that needs pads once: pieces rejoined, pairs as one, in the order they choose."""
    found = []
    seen: set[tuple[str, int]] = set()
    runs, pairs = _numbered(bars, "run"), _numbered(bars, "pair")
    for number, bar in enumerate(bars):
        if bar.role == "blocking":
            continue
        whole: Bar = bar
        joints: tuple[float, ...] = ()
        if bar.run:
            if ("run", bar.run) in seen:
                continue
            seen.add(("run", bar.run))
            whole, joints = _rejoined(runs[bar.run])
        partners = [
            other
            for other in pairs.get(bar.pair, ())
            if other is not bar and not (bar.run and other.run == bar.run)
        ]
        pitch = min((bar.line.distance(other.line) for other in partners), default=math.inf)
        if pitch + bar.width_mm <= size.width_mm:
            if ("pair", bar.pair) in seen:
                continue
            seen.add(("pair", bar.pair))
            whole = _between_two(whole, min(partners, key=lambda other: bar.line.distance(other.line)))
        found.append((number, whole, joints))
    return sorted(found, key=_first_come)


def _numbered(bars: Sequence[Bar], name: Literal["run", "pair"]) -> dict[int, list[Bar]]:
    """Give the bars that share a number, for every number but 0."""
    found: dict[int, list[Bar]] = {}
    for bar in bars:
        if number := bar.run if name == "run" else bar.pair:
            found.setdefault(number, []).append(bar)
    return found


def _first_come(item: tuple[int, Bar, tuple[float, ...]]) -> tuple[bool, bool, float]:
    """Give the order in which bars choose their places: long ones have the least freedom."""
    _, bar, _ = item
    return not bar.is_primary, bar.role == "sleeper", -round(bar.centre_mm)


def _rejoined(pieces: Sequence[Bar]) -> tuple[Bar, tuple[float, ...]]:
    """Give a long bar from its pieces, and where they meet along it."""
    first, last = pieces[0], pieces[-1]
    whole = Bar(
        first.role,
        first.start,
        last.end,
        first.width_mm,
        is_primary=first.is_primary,
        pair=first.pair,
        run=first.run,
    )
    return whole, tuple(math.dist(first.start, piece.end) for piece in pieces[:-1])


def _between_two(bar: Bar, partner: Bar) -> Bar:
    """Give the line midway between two bars that share their pads."""
    (ux, uy), (x, y) = bar.direction, bar.start
    aside = ((partner.start[0] - x) * -uy + (partner.start[1] - y) * ux) / 2
    dx, dy = -uy * aside, ux * aside
    return Bar(
        bar.role,
        (x + dx, y + dy),
        (bar.end[0] + dx, bar.end[1] + dy),
        bar.width_mm + 2 * abs(aside),
        is_primary=bar.is_primary,
    )


def _between(whole: Bar, joints: Sequence[float], bars: Sequence[Bar], size: PadSize) -> tuple[float, ...]:
    """Give where a bar that hangs on others needs pads of its own."""
    others = [
        bar
        for bar in bars
        if bar.role != "blocking"
        and (not whole.run or bar.run != whole.run)
        and not _is_same(whole, bar)
        and _is_near(whole, bar)
    ]
    line = whole.line
    lines = shapely.linestrings([(other.start, other.end) for other in others]) if others else np.array([])
    touching = lines[shapely.distance(whole.body, lines) <= _TOUCH_MM]
    held = sorted(float(at) for at in _first_met(line, touching))
    half = size.length_mm / 2
    own = list(joints)
    own += [half] if not held or held[0] > size.spacing_mm / 2 else []
    own += [whole.centre_mm - half] if not held or whole.centre_mm - held[-1] > size.spacing_mm / 2 else []
    supports = sorted((*held, *own))
    for left, right in pairwise(supports):
        own += spread_mm(left, right, size.spacing_mm)
    return tuple(sorted(own))


def _is_near(one: Bar, other: Bar) -> bool:
    """Say whether two bars may touch, by the boxes round their centre lines."""
    reach = _TOUCH_MM + one.width_mm
    return all(
        min(one.start[axis], one.end[axis]) - reach <= max(other.start[axis], other.end[axis])
        and min(other.start[axis], other.end[axis]) <= max(one.start[axis], one.end[axis]) + reach
        for axis in (0, 1)
    )


def _first_met(line: LineString, others: NDArray[Any]) -> NDArray[np.float64]:
    """Give how far along a line its place nearest to each of other lines is."""
    shortest = shapely.shortest_line(line, others)
    at: NDArray[np.float64] = shapely.line_locate_point(line, shapely.get_point(shortest, 0))
    return at


def _is_same(one: Bar, other: Bar) -> bool:
    """Say whether two bars lie in the same place."""
    return one.start == other.start and one.end == other.end
