"""Sets pads down along one bar, clear of drains and of the pads already there."""

import math
from collections.abc import Sequence
from dataclasses import dataclass, field
from itertools import pairwise

from shapely import MultiPolygon, Polygon

from app.takeoff.framing.bars import Bar

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
    laid : list
        Pads set down so far: centre and footprint.
    """

    area: MultiPolygon
    keep_clear: MultiPolygon
    size: PadSize
    laid: list[tuple[float, float, Polygon]] = field(default_factory=list)

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


def hung_pads(ground: Ground, bar: Bar, wanted: Sequence[float]) -> list[Laid]:
    """Give the pads of a bar that hangs on others, each at the nearest free place.

    Parameters
    ----------
    ground : Ground
        What is taken; what is set down here is added to it.
    bar : Bar
        The whole bar.
    wanted : sequence of float
        Places along it.

    Returns
    -------
    pads : list of Laid
        In order along the bar; a place with nothing free near it has none.

    References
    ----------
    Common practice, no source.
    """
    return sorted(
        laid for at in wanted if (laid := _nearest(ground, bar, at, 0.0, bar.centre_mm)) is not None
    )


def standing_pads(ground: Ground, bar: Bar, joints: Sequence[float]) -> list[Laid]:
    """Give the pads of a bar that stands on its own: at its ends, at its joints, and evenly between.

    Parameters
    ----------
    ground : Ground
        What is taken; what is set down here is added to it.
    bar : Bar
        The whole bar.
    joints : sequence of float
        Where its pieces meet along it.

    Returns
    -------
    pads : list of Laid
        In order along the bar.

    Notes
    -----
    Where the even place is taken, the next pad goes to the free place nearest to it that still keeps the
    spacing, and the rest is spread evenly again; if that fails, every pad goes as far on as the spacing lets
    it.

    References
    ----------
    Common practice, no source.
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


def _stepped(ground: Ground, bar: Bar, from_mm: float, to_mm: float, *, is_even: bool) -> list[Laid]:
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


def _nearest(ground: Ground, bar: Bar, wanted: float, least: float, greatest: float) -> Laid | None:
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
