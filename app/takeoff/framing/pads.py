"""Pads: where each bar stands, evenly along it, at its ends and under every splice.

A bar that hangs between other bars (a rim across the sleepers' ends, a trimmer) gets pads of its own only
where those bars stand further apart than pads may.
"""

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import pairwise

from shapely import MultiPolygon, Polygon
from shapely.ops import nearest_points

from app.takeoff.framing.bars import Bar
from app.takeoff.framing.sleepers import spread_mm

_TOUCH_MM = 3.0  # two bars this close are fixed to each other


@dataclass(frozen=True, slots=True)
class PadSize:
    """A pad's footprint and how far apart pads may stand.

    Attributes
    ----------
    length_mm, width_mm : float
        Along and across the bar. [mm]
    spacing_mm : float
        Greatest distance between centres. [mm]
    """

    length_mm: float
    width_mm: float
    spacing_mm: float


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


@dataclass(slots=True)
class _Ground:
    """What is taken while pads are set down."""

    area: MultiPolygon
    keep_clear: MultiPolygon
    size: PadSize
    laid: list[tuple[float, float, Polygon]]

    def place(self, bar: Bar, along_mm: float) -> tuple[float, float] | None:
        """Give where a pad's centre may lie so far along a bar, or None when something is in the way."""
        shift = max(0.0, (self.size.width_mm - bar.width_mm) / 2)
        shape = None
        for aside in (0.0, shift, -shift):
            centre, shape = self._shape(bar, along_mm, aside)
            if self.area.covers(shape.buffer(-0.5)):
                break
        else:
            centre, shape = self._shape(bar, along_mm, 0.0)
        if shape.intersection(self.keep_clear).area > 1.0:
            return None
        reach = math.hypot(self.size.length_mm, self.size.width_mm)
        for x, y, other in self.laid:
            near = abs(x - centre[0]) < reach and abs(y - centre[1]) < reach
            if near and shape.intersection(other).area > 1.0:
                return None
        self.laid.append((*centre, shape))
        return centre

    def _shape(self, bar: Bar, along_mm: float, aside: float) -> tuple[tuple[float, float], Polygon]:
        """Give a pad's centre and footprint, moved aside from the centre line."""
        (x, y), (ux, uy) = bar.at(along_mm), bar.direction
        x, y = x - uy * aside, y + ux * aside
        half, across = self.size.length_mm / 2, self.size.width_mm / 2
        corners = [
            (x + a * half * ux - b * across * uy, y + a * half * uy + b * across * ux)
            for a, b in ((-1, -1), (1, -1), (1, 1), (-1, 1))
        ]
        return (x, y), Polygon(corners)


def wanted_mm(length_mm: float, joints_mm: Iterable[float], size: PadSize) -> tuple[float, ...]:
    """Give where pads are wanted along a bar.

    Parameters
    ----------
    length_mm : float
        Of the whole bar. [mm]
    joints_mm : iterable of float
        Where its pieces meet. [mm]
    size : PadSize
        Footprint and spacing.

    Returns
    -------
    places_mm : tuple of float
        Half a pad from both ends, at every joint, and evenly between. [mm]

    Examples
    --------
    >>> wanted_mm(1400.0, (), PadSize(200.0, 150.0, 600.0))
    (100.0, 700.0, 1300.0)
    >>> wanted_mm(250.0, (), PadSize(200.0, 150.0, 600.0))
    (125.0,)

    References
    ----------
    Common practice, no source.
    """
    half = size.length_mm / 2
    if length_mm < 2 * size.length_mm:
        return (length_mm / 2,)
    fixed = [half, *sorted(joints_mm), length_mm - half]
    places = [half]
    for left, right in pairwise(fixed):
        places += [*spread_mm(left, right, size.spacing_mm), right]
    return tuple(places)


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
    ground = _Ground(area, keep_clear, size, [])
    footings: list[Footing] = []
    spans: list[tuple[float, ...]] = []
    crowded: list[tuple[float, float]] = []
    for number, whole, joints in _wholes(bars, size):
        wanted = (
            wanted_mm(whole.centre_mm, joints, size)
            if whole.is_primary
            else _between(whole, joints, bars, size)
        )
        laid = _set_down(ground, whole, [*joints, *(at for at in wanted if at not in joints)])
        footings += [Footing(number, x, y, along) for along, (x, y) in laid]
        if not whole.is_primary:
            continue
        at = [along for along, _ in laid]
        gaps = tuple(right - left for left, right in pairwise(at))
        spans += [gaps] if gaps else []
        crowded += [whole.at(left) for left, gap in zip(at, gaps, strict=False) if gap > size.spacing_mm + 1]
        crowded += [] if laid or not wanted else [whole.at(whole.centre_mm / 2)]
    return Standing(tuple(footings), tuple(spans), tuple(crowded))


def _wholes(bars: Sequence[Bar], size: PadSize) -> list[tuple[int, Bar, tuple[float, ...]]]:
    """Give every bar that needs pads once: pieces rejoined, pairs as one, primary bars first."""
    found = []
    seen: set[tuple[str, int]] = set()
    for number, bar in enumerate(bars):
        if bar.role == "blocking":
            continue
        whole: Bar = bar
        joints: tuple[float, ...] = ()
        if bar.run:
            if ("run", bar.run) in seen:
                continue
            seen.add(("run", bar.run))
            whole, joints = _rejoined([other for other in bars if other.run == bar.run])
        partners = [
            other
            for other in bars
            if bar.pair
            and other.pair == bar.pair
            and other is not bar
            and not (bar.run and other.run == bar.run)
        ]
        pitch = min((bar.line.distance(other.line) for other in partners), default=math.inf)
        if pitch + bar.width_mm <= size.width_mm:
            if ("pair", bar.pair) in seen:
                continue
            seen.add(("pair", bar.pair))
            whole = _between_two(whole, min(partners, key=lambda other: bar.line.distance(other.line)))
        found.append((number, whole, joints))
    return sorted(found, key=lambda item: not item[1].is_primary)


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
    line, body = whole.line, whole.body
    others = [bar for bar in bars if bar.role != "blocking" and (not whole.run or bar.run != whole.run)]
    held = sorted(
        line.project(nearest_points(line, other.line)[0])
        for other in others
        if not _is_same(whole, other) and body.distance(other.line) <= _TOUCH_MM
    )
    if not held:
        return wanted_mm(whole.centre_mm, joints, size)
    half = size.length_mm / 2
    own = list(joints)
    own += [half] if held[0] > size.spacing_mm / 2 else []
    own += [whole.centre_mm - half] if whole.centre_mm - held[-1] > size.spacing_mm / 2 else []
    supports = sorted([*held, *own])
    for left, right in pairwise(supports):
        own += spread_mm(left, right, size.spacing_mm)
    return tuple(sorted(own))


def _is_same(one: Bar, other: Bar) -> bool:
    """Say whether two bars lie in the same place."""
    return one.start == other.start and one.end == other.end


def _set_down(ground: _Ground, bar: Bar, wanted: Sequence[float]) -> list[tuple[float, tuple[float, float]]]:
    """Give the pads that could be set down, sliding each to the nearest free place."""
    laid: list[tuple[float, tuple[float, float]]] = []
    for along in wanted:
        found = _slid(ground, bar, along)
        laid += [found] if found else []
    laid.sort()
    for left, right in pairwise(list(laid)):
        if right[0] - left[0] > ground.size.spacing_mm + 1:
            found = _slid(ground, bar, (left[0] + right[0]) / 2)
            laid += [found] if found else []
    return sorted(laid)


def _slid(ground: _Ground, bar: Bar, along_mm: float) -> tuple[float, tuple[float, float]] | None:
    """Give the free place nearest to the one wanted, within half a spacing."""
    step = ground.size.length_mm / 4
    half = min(ground.size.length_mm / 2, bar.centre_mm / 2)
    for tries in range(int(ground.size.spacing_mm / 2 / step) + 1):
        for side in (0.0,) if tries == 0 else (1.0, -1.0):
            at = along_mm + side * tries * step
            if half - 1e-6 <= at <= bar.centre_mm - half + 1e-6:
                centre = ground.place(bar, at)
                if centre is not None:
                    return at, centre
    return None
