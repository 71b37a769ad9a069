"""The ground that pads are set down on: the field, what must stay clear, and the pads already there."""

import math
from collections import defaultdict
from dataclasses import dataclass, field
from itertools import pairwise
from typing import NamedTuple

import shapely
from shapely import MultiPolygon, Polygon

_TOUCHES_MM2 = 1.0  # two pads that share less only touch
_ON_SIDE_MM = 1e-6  # nearer to a side than this, plain arithmetic does not say which side of it

Corners = tuple[tuple[float, float], ...]


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

    @property
    def reach_mm(self) -> float:
        """Give how near two centres must be for the pads to meet. [mm]."""
        return math.hypot(self.length_mm, self.width_mm)


class Print(NamedTuple):
    """The footprint of one pad.

    Attributes
    ----------
    x, y : float
        Its centre, in local axes. [mm]
    reach : tuple of float
        How far a corner lies from it: in x along the bar and across, and in y. [mm]
    box : tuple of float
        Bounds: left, low, right, high. [mm]
    is_square : bool
        Whether it lies along the axes, so that it fills its box.
    """

    x: float
    y: float
    reach: tuple[float, float, float, float]
    box: tuple[float, float, float, float]
    is_square: bool

    @property
    def corners(self) -> Corners:
        """Give its corners; most pads are told apart by their boxes alone and never need them."""
        x, y, (ax, bx, ay, by) = self.x, self.y, self.reach
        return (
            (x - ax + bx, y - ay - by),
            (x + ax + bx, y + ay - by),
            (x + ax - bx, y + ay + by),
            (x - ax - bx, y - ay + by),
        )

    def overlaps(self, other: "Print") -> bool:
        """Say whether two footprints share ground."""
        left, low, right, high = self.box
        west, south, east, north = other.box
        wide, tall = min(right, east) - max(left, west), min(high, north) - max(low, south)
        if wide <= 0 or tall <= 0:
            return False
        if self.is_square and other.is_square:
            return wide * tall > _TOUCHES_MM2
        if self._is_apart(other):
            return False
        return self._shared_mm2(other) > _TOUCHES_MM2

    def _is_apart(self, other: "Print") -> bool:
        """Say whether a line along a side of one of the two footprints parts them."""
        dx, dy = other.x - self.x, other.y - self.y
        (ax, bx, ay, by), (cx, ex, cy, ey) = self.reach, other.reach
        for nx, ny in ((ax, ay), (-bx, by), (cx, cy), (-ex, ey)):
            mine = abs(ax * nx + ay * ny) + abs(by * ny - bx * nx)
            yours = abs(cx * nx + cy * ny) + abs(ey * ny - ex * nx)
            if abs(dx * nx + dy * ny) >= mine + yours:
                return True
        return False

    def _shared_mm2(self, other: "Print") -> float:
        """Give the area two footprints share: what each side of this one leaves of the other."""
        ax, bx, ay, by = self.reach
        kept = other.corners
        for nx, ny in ((ax, ay), (-ax, -ay), (-bx, by), (bx, -by)):
            kept = _cut_off(kept, nx, ny, nx * (self.x + nx) + ny * (self.y + ny))
        turns = zip(kept, (*kept[1:], *kept[:1]), strict=True)
        # From its own centre, so that far from the origin no digits are lost.
        return abs(
            sum((x0 - self.x) * (y1 - self.y) - (x1 - self.x) * (y0 - self.y) for (x0, y0), (x1, y1) in turns)
            / 2
        )


def _cut_off(ring: Corners, nx: float, ny: float, off: float) -> Corners:
    """Give what is left of a convex outline on the near side of a line."""
    beyond = [nx * x + ny * y - off for x, y in ring]
    if max(beyond, default=0.0) <= 0:
        return ring
    kept: list[tuple[float, float]] = []
    for at, (x, y) in enumerate(ring):
        here, there = beyond[at - 1], beyond[at]
        if (here > 0) != (there > 0):
            (px, py), share = ring[at - 1], here / (here - there)
            kept.append((px + (x - px) * share, py + (y - py) * share))
        if there <= 0:
            kept.append((x, y))
    return tuple(kept)


@dataclass(slots=True)
class Ground:
    """What is taken while pads are set down.

    Attributes
    ----------
    area : MultiPolygon
        The field, in local axes; pads stay inside it where they can.
    keep_clear : MultiPolygon
        Where no pad may lie.
    size : PadSize
        Footprint and spacing.
    """

    area: MultiPolygon
    keep_clear: MultiPolygon
    size: PadSize
    _laid: list[Print] = field(default_factory=list)
    _cells: dict[tuple[int, int], list[Print]] = field(default_factory=lambda: defaultdict(list))
    _clear: tuple[tuple[Polygon, tuple[float, float, float, float], bool], ...] = ()
    _bounds: tuple[float, float, float, float] | None = None
    _is_box: bool = False
    _sides: tuple[tuple[float, float, float], ...] = ()

    def __post_init__(self) -> None:
        """Make ready what is asked over and over."""
        shapely.prepare(self.area)
        self._clear = tuple(
            (part, part.bounds, bool(shapely.box(*part.bounds).equals(part)))
            for part in self.keep_clear.geoms
        )
        if not self.area.is_empty:
            self._bounds = self.area.bounds
            self._is_box = bool(shapely.box(*self._bounds).equals(self.area))
            self._sides = _sides_of(self.area)

    def covers(self, corners: Corners) -> bool:
        """Say whether a rectangle lies wholly under the field; a plain field is told by its bounds alone."""
        if self._bounds is None:
            return False
        left, low, right, high = self._bounds
        for x, y in corners:
            if not (left <= x <= right and low <= y <= high):
                return False
        return self._is_box or bool(self.area.covers(Polygon(corners)))

    def reaches_mm(self, unit: tuple[float, float], half_mm: float, across_mm: float) -> tuple[float, ...]:
        """Give how far a rectangle reaches from its middle toward each side of a field without notches."""
        (ux, uy), along, across = unit, abs(half_mm), abs(across_mm)
        return tuple(
            along * abs(nx * ux + ny * uy) + across * abs(ny * ux - nx * uy) for nx, ny, _ in self._sides
        )

    def holds(self, x: float, y: float, reaches_mm: tuple[float, ...]) -> bool | None:
        """Say whether a rectangle about a place lies wholly under a field without notches, by its sides.

        None where the field has notches or the rectangle just touches a side: `covers` says it then.
        """
        sides = zip(self._sides, reaches_mm, strict=True)
        depth_mm = min((nx * x + ny * y - off - reach for (nx, ny, off), reach in sides), default=0.0)
        return None if abs(depth_mm) <= _ON_SIDE_MM else depth_mm > 0

    @property
    def count(self) -> int:
        """Give how many pads lie so far."""
        return len(self._laid)

    def lay(self, pad: Print) -> None:
        """Set a pad down."""
        self._laid.append(pad)
        self._cells[self._cell(pad)].append(pad)

    def take_up_after(self, count: int) -> None:
        """Take up all pads but the first so many."""
        while len(self._laid) > count:
            pad = self._laid.pop()
            self._cells[self._cell(pad)].remove(pad)

    def is_taken(self, pad: Print) -> bool:
        """Say whether a keep-clear or another pad is in the way."""
        left, low, right, high = pad.box
        for part, (west, south, east, north), is_box in self._clear:
            if not (left < east and west < right and low < north and south < high):
                continue
            if is_box and pad.is_square:
                shared_mm2 = (min(right, east) - max(left, west)) * (min(high, north) - max(low, south))
            else:
                shared_mm2 = Polygon(pad.corners).intersection(part).area
            if shared_mm2 > _TOUCHES_MM2:
                return True
        column, row = self._cell(pad)
        for across in (column - 1, column, column + 1):
            for up in (row - 1, row, row + 1):
                for other in self._cells.get((across, up), ()):
                    if pad.overlaps(other):
                        return True
        return False

    def _cell(self, pad: Print) -> tuple[int, int]:
        """Give the square of the ground a pad's centre lies in; only pads in neighbouring ones meet it."""
        reach_mm = self.size.reach_mm
        return math.floor(pad.x / reach_mm), math.floor(pad.y / reach_mm)


def _sides_of(area: MultiPolygon) -> tuple[tuple[float, float, float], ...]:
    """Give the sides of a field without notches or holes: inward normal and how far along it; else none."""
    if len(area.geoms) != 1 or area.geoms[0].interiors:
        return ()
    ring = list(shapely.geometry.polygon.orient(area.geoms[0]).exterior.coords)
    sides: list[tuple[float, float, float]] = []
    for (ax, ay), (bx, by) in pairwise(ring):
        length = math.hypot(bx - ax, by - ay)
        if not length:
            continue
        nx, ny = (ay - by) / length, (bx - ax) / length
        sides.append((nx, ny, nx * ax + ny * ay))
    is_convex = all(nx * x + ny * y - off > -_ON_SIDE_MM for nx, ny, off in sides for x, y in ring)
    return tuple(sides) if is_convex else ()
