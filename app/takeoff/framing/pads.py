"""Pads: where each bar stands, evenly along it, at its ends and under every splice.

A bar that hangs between other bars (a rim across the sleepers' ends, a trimmer) gets pads of its own only
where those bars stand further apart than pads may.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from shapely import MultiPolygon, Polygon
from shapely.ops import nearest_points

from app.takeoff.framing.bars import Bar
from app.takeoff.framing.sleepers import spread_mm

_TOUCH_MM = 3.0  # two bars this close are fixed to each other
_SLIDE_MM = 10.0  # steps in which a pad is moved to a free place
_ROUNDING_MM = 1e-6

Laid = tuple[float, tuple[float, float]]  # how far along the bar, and where in local axes


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
        """Give where a pad's centre may lie so far along a bar, or None when something is in the way.

        The bar must lie on the pad with its whole width; within that the pad may lie aside, to stay under
        the field and off its neighbours.
        """
        shift = max(0.0, (self.size.width_mm - bar.width_mm) / 2)
        tries = [self._shape(bar, along_mm, aside) for aside in (0.0, shift, -shift)]
        inside = [(centre, shape) for centre, shape in tries if self.area.covers(shape.buffer(-0.5))]
        for centre, shape in inside or tries[:1]:
            if not self._is_taken(centre, shape):
                self.laid.append((*centre, shape))
                return centre
        return None

    def _is_taken(self, centre: tuple[float, float], shape: Polygon) -> bool:
        """Say whether a keep-clear or another pad is in the way."""
        if shape.intersection(self.keep_clear).area > 1.0:
            return True
        reach = math.hypot(self.size.length_mm, self.size.width_mm)
        return any(
            abs(x - centre[0]) < reach and abs(y - centre[1]) < reach and shape.intersection(other).area > 1.0
            for x, y, other in self.laid
        )

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
        if whole.is_primary:
            laid = _walked(ground, whole, joints)
        else:
            laid = _hung(ground, whole, _between(whole, joints, bars, size))
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
    return sorted(found, key=_first_come)


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
    line, body = whole.line, whole.body
    others = [bar for bar in bars if bar.role != "blocking" and (not whole.run or bar.run != whole.run)]
    held = sorted(
        line.project(nearest_points(line, other.line)[0])
        for other in others
        if not _is_same(whole, other) and body.distance(other.line) <= _TOUCH_MM
    )
    half = size.length_mm / 2
    own = list(joints)
    own += [half] if not held or held[0] > size.spacing_mm / 2 else []
    own += [whole.centre_mm - half] if not held or whole.centre_mm - held[-1] > size.spacing_mm / 2 else []
    supports = sorted((*held, *own))
    for left, right in pairwise(supports):
        own += spread_mm(left, right, size.spacing_mm)
    return tuple(sorted(own))


def _is_same(one: Bar, other: Bar) -> bool:
    """Say whether two bars lie in the same place."""
    return one.start == other.start and one.end == other.end


def _hung(ground: _Ground, bar: Bar, wanted: Sequence[float]) -> list[Laid]:
    """Give the pads of a bar that hangs on others, each at the nearest free place."""
    return sorted(
        laid for at in wanted if (laid := _nearest(ground, bar, at, 0.0, bar.centre_mm)) is not None
    )


def _walked(ground: _Ground, bar: Bar, joints: Sequence[float]) -> list[Laid]:
    """Give the pads of a bar that stands on its own: at its ends, at its joints, and evenly between.

    Where the even place is taken, the next pad goes to the free place nearest to it that still keeps the
    spacing, and the rest is spread evenly again.
    """
    spacing_mm, half = ground.size.spacing_mm, min(ground.size.length_mm, bar.centre_mm) / 2
    if bar.centre_mm < 2 * ground.size.length_mm:
        only = _nearest(ground, bar, bar.centre_mm / 2, half, bar.centre_mm - half)
        return [] if only is None else [only]
    fixed = [half, *sorted(joints), bar.centre_mm - half]
    held = [_nearest(ground, bar, at, at - spacing_mm / 2, at + spacing_mm / 2) for at in fixed]
    found = sorted(laid for laid in held if laid is not None)
    for left, right in pairwise(list(found)):
        before = len(ground.laid)
        steps = _stepped(ground, bar, left[0], right[0], is_even=True)
        if not _reaches(left, steps, right, spacing_mm):
            del ground.laid[before:]
            steps = _stepped(ground, bar, left[0], right[0], is_even=False)
        found += steps
    return sorted(found)


def _reaches(left: Laid, steps: Sequence[Laid], right: Laid, spacing_mm: float) -> bool:
    """Say whether pads between two others keep the spacing."""
    return all(after[0] - before[0] <= spacing_mm + 1 for before, after in pairwise([left, *steps, right]))


def _stepped(ground: _Ground, bar: Bar, from_mm: float, to_mm: float, *, is_even: bool) -> list[Laid]:
    """Give the pads between two others: evenly where the places are free, or each as far on as it goes."""
    spacing_mm, half = ground.size.spacing_mm, min(ground.size.length_mm, bar.centre_mm) / 2
    found: list[Laid] = []
    at = from_mm
    while to_mm - at > spacing_mm + _ROUNDING_MM:
        rest = to_mm - at
        wanted = at + (rest / math.ceil(rest / spacing_mm - _ROUNDING_MM) if is_even else spacing_mm)
        step = _nearest(ground, bar, wanted, at + half, at + spacing_mm) or _nearest(
            ground, bar, at + spacing_mm, at + spacing_mm, to_mm - half
        )
        if step is None:
            break
        found.append(step)
        at = step[0]
    return found


def _nearest(ground: _Ground, bar: Bar, wanted: float, least: float, greatest: float) -> Laid | None:
    """Give the free place nearest to the one wanted, between two others, or None."""
    half = min(ground.size.length_mm, bar.centre_mm) / 2
    least, greatest = max(least, half), min(greatest, bar.centre_mm - half)
    steps = math.ceil((greatest - least) / _SLIDE_MM) + 1
    for tries in range(max(1, steps)):
        for side in (0.0,) if tries == 0 else (-1.0, 1.0):
            at = wanted + side * tries * _SLIDE_MM
            if least - _ROUNDING_MM <= at <= greatest + _ROUNDING_MM:
                centre = ground.place(bar, at)
                if centre is not None:
                    return at, centre
    return None
