"""A stick while it is being worked out, in the local axes of its field."""

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Any, Literal

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import LineString, Polygon

BarRole = Literal["sleeper", "breaker sleeper", "rim", "blocking", "trimmer"]


@dataclass(frozen=True, slots=True)
class Bar:
    """One straight piece of timber under a deck, before it has a name.

    Attributes
    ----------
    role : str
        What it does.
    start, end : tuple of float
        Centre line in local axes, in millimetres.
    width_mm : float
        Of the section as laid. [mm]
    extra_mm : float
        What slanting ends add to the centre line, to cut at the longest point. [mm]
    is_primary : bool
        Whether it stands on its own pads; a secondary bar hangs on the bars it is fixed to.
    pair : int
        The same number for two bars that share their pads; 0 when it stands alone.
    run : int
        The same number for pieces of one long bar joined end to end; 0 when not joined.
    """

    role: BarRole
    start: tuple[float, float]
    end: tuple[float, float]
    width_mm: float
    extra_mm: float = 0.0
    is_primary: bool = True
    pair: int = 0
    run: int = 0

    @property
    def centre_mm(self) -> float:
        """Give the length of its centre line. [mm]."""
        return math.dist(self.start, self.end)

    @property
    def direction(self) -> tuple[float, float]:
        """Give the unit vector from start to end."""
        length = self.centre_mm
        return (self.end[0] - self.start[0]) / length, (self.end[1] - self.start[1]) / length

    def at(self, along_mm: float) -> tuple[float, float]:
        """Give the place on its centre line, so far from its start."""
        unit = self.direction
        return self.start[0] + unit[0] * along_mm, self.start[1] + unit[1] * along_mm

    def cut(self, from_mm: float, to_mm: float) -> "Bar":
        """Give the part of it between two places along it."""
        return replace(self, start=self.at(from_mm), end=self.at(to_mm))

    @property
    def line(self) -> LineString:
        """Give its centre line."""
        return LineString([self.start, self.end])

    @property
    def body(self) -> Polygon:
        """Give its footprint."""
        return self.line.buffer(self.width_mm / 2, cap_style="flat")

    @property
    def is_along_sleepers(self) -> bool:
        """Say whether it runs nearer to the sleepers than to the courses."""
        unit = self.direction
        return abs(unit[1]) > abs(unit[0]) + 1e-3  # at exactly 45° always with the courses


def bodies_of(bars: Sequence[Bar]) -> NDArray[Any]:
    """Give the footprints of many bars at once.

    Parameters
    ----------
    bars : sequence of Bar
        One or more.

    Returns
    -------
    bodies : array of Polygon
        In their order.

    References
    ----------
    Definition.
    """
    starts = np.array([bar.start for bar in bars])
    ends = np.array([bar.end for bar in bars])
    along = ends - starts
    units = along / np.hypot(along[:, 0], along[:, 1])[:, None]
    aside = np.stack([-units[:, 1], units[:, 0]], axis=1) * np.array([[bar.width_mm / 2] for bar in bars])
    bodies: NDArray[Any] = shapely.polygons(
        np.stack([starts + aside, ends + aside, ends - aside, starts - aside], axis=1)
    )
    return bodies


def body_with_room(bar: Bar, width_mm: float) -> Polygon:
    """Give where no other centre line may run, so that two bodies do not overlap.

    Parameters
    ----------
    bar : Bar
        What lies there already.
    width_mm : float
        Width of the other bar. [mm]

    Returns
    -------
    zone : Polygon
        Bars that only touch are left alone.

    References
    ----------
    Geometry.
    """
    return bar.line.buffer(bar.width_mm / 2 + width_mm / 2 - 0.01, cap_style="flat")
