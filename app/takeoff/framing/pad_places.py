"""Sets pads down along one bar, clear of drains and of the pads already there."""

import math
from collections.abc import Sequence
from itertools import pairwise

from app.takeoff.framing.bars import Bar
from app.takeoff.framing.pad_ground import Corners, Ground, Print

_SLIDE_MM = 10.0  # steps in which a pad is moved to a free place
_ROUNDING_MM = 1e-6
_INSET_MM = 0.5  # a pad may reach so far over the edge of the field
_SQUARE = 1e-6  # sine of a slant that no overlap shows

Laid = tuple[float, tuple[float, float]]  # how far along the bar, and where in local axes


class Lane:
    """One bar on its ground: where pads may lie along it.

    The bar must lie on the pad with its whole width; within that the pad may lie aside, to stay under
    the field and off its neighbours.
    """

    __slots__ = (
        "_asides",
        "_covered",
        "_half_box",
        "_is_square",
        "_length_mm",
        "_reach",
        "_reaches",
        "_unit",
        "bar",
        "ground",
        "half_mm",
    )

    def __init__(self, ground: Ground, bar: Bar) -> None:
        self.ground, self.bar = ground, bar
        self._length_mm = bar.centre_mm
        self.half_mm = min(ground.size.length_mm, self._length_mm) / 2
        self._unit = bar.direction
        shift = max(0.0, (ground.size.width_mm - bar.width_mm) / 2)
        self._asides = (0.0, shift, -shift)
        self._is_square = abs(self._unit[0]) < _SQUARE or abs(self._unit[1]) < _SQUARE
        self._reach = self._reach_of(ground.size.length_mm / 2)
        ax, bx, ay, by = self._reach
        self._half_box = abs(ax) + abs(bx), abs(ay) + abs(by)
        self._covered: dict[float, bool] = {}
        self._reaches: dict[float, tuple[float, ...]] = {}

    def place(self, along_mm: float) -> tuple[float, float] | None:
        """Give where a pad's centre may lie so far along the bar, or None when something is in the way.

        A pad that lies wholly under the field goes first; where none can, one on the centre line will do.
        """
        outside: Print | None = None
        is_inside_anywhere = False
        for aside in self._asides:
            pad = self._print(along_mm, aside)
            if not self._is_inside(along_mm, aside):
                outside = outside or pad
                continue
            is_inside_anywhere = True
            if not self.ground.is_taken(pad):
                self.ground.lay(pad)
                return pad.x, pad.y
        if is_inside_anywhere or outside is None or self.ground.is_taken(outside):
            return None
        self.ground.lay(outside)
        return outside.x, outside.y

    def _is_inside(self, along_mm: float, aside: float) -> bool:
        """Say whether a pad lies under the field: at once where the whole lane does."""
        half_mm, length_mm = self.ground.size.length_mm / 2, self._length_mm
        if half_mm - _ROUNDING_MM <= along_mm <= length_mm - half_mm + _ROUNDING_MM:
            if aside not in self._covered:
                self._covered[aside] = self._is_under(length_mm / 2, aside, length_mm / 2)
            if self._covered[aside]:
                return True
        return self._is_under(along_mm, aside, half_mm)

    def _is_under(self, along_mm: float, aside: float, half_mm: float) -> bool:
        """Say whether a stretch as wide as a pad lies under the field, but for a little all round."""
        if half_mm not in self._reaches:
            across_mm = self.ground.size.width_mm / 2 - _INSET_MM
            self._reaches[half_mm] = self.ground.reaches_mm(self._unit, half_mm - _INSET_MM, across_mm)
        held = self.ground.holds(*self._centre(along_mm, aside), self._reaches[half_mm])
        if held is not None:
            return held
        return self.ground.covers(_inset(self._corners(along_mm, aside, half_mm), self._unit))

    def _print(self, along_mm: float, aside: float) -> Print:
        """Give a pad's footprint, moved aside from the centre line."""
        x, y = self._centre(along_mm, aside)
        across, up = self._half_box
        return Print(x, y, self._reach, (x - across, y - up, x + across, y + up), self._is_square)

    def _reach_of(self, half_mm: float) -> tuple[float, float, float, float]:
        """Give how far a corner lies from the middle of a stretch: in x along and across, and in y."""
        (ux, uy), across = self._unit, self.ground.size.width_mm / 2
        return half_mm * ux, across * uy, half_mm * uy, across * ux

    def _centre(self, along_mm: float, aside: float) -> tuple[float, float]:
        """Give a place beside the centre line."""
        (x, y), (ux, uy) = self.bar.start, self._unit
        return x + ux * along_mm - uy * aside, y + uy * along_mm + ux * aside

    def _corners(self, along_mm: float, aside: float, half_mm: float) -> Corners:
        """Give the corners of a stretch as wide as a pad, so far to both sides of its middle."""
        (x, y), (ax, bx, ay, by) = self._centre(along_mm, aside), self._reach_of(half_mm)
        return tuple(
            (x + a * ax - b * bx, y + a * ay + b * by) for a, b in ((-1, -1), (1, -1), (1, 1), (-1, 1))
        )


def _inset(corners: Corners, unit: tuple[float, float]) -> Corners:
    """Give a rectangle, a little smaller all round."""
    ux, uy = unit
    return tuple(
        (x - (a * ux - b * uy) * _INSET_MM, y - (a * uy + b * ux) * _INSET_MM)
        for (x, y), (a, b) in zip(corners, ((-1, -1), (1, -1), (1, 1), (-1, 1)), strict=True)
    )


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
    lane = Lane(ground, bar)
    return sorted(laid for at in wanted if (laid := _nearest(lane, at, 0.0, bar.centre_mm)) is not None)


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
    lane = Lane(ground, bar)
    spacing_mm, half = ground.size.spacing_mm, lane.half_mm
    if bar.centre_mm < 2 * ground.size.length_mm:
        only = _nearest(lane, bar.centre_mm / 2, half, bar.centre_mm - half)
        return [] if only is None else [only]
    fixed = [half, *sorted(joints), bar.centre_mm - half]
    held = [_nearest(lane, at, at - spacing_mm / 2, at + spacing_mm / 2) for at in fixed]
    found = sorted(laid for laid in held if laid is not None)
    for left, right in pairwise(list(found)):
        before = ground.count
        steps = _stepped(lane, left[0], right[0], is_even=True)
        if not _reaches(left, steps, right, spacing_mm):
            ground.take_up_after(before)
            steps = _stepped(lane, left[0], right[0], is_even=False)
        found += steps
    return sorted(found)


def _reaches(left: Laid, steps: Sequence[Laid], right: Laid, spacing_mm: float) -> bool:
    """Say whether pads between two others keep the spacing."""
    return all(after[0] - before[0] <= spacing_mm + 1 for before, after in pairwise([left, *steps, right]))


def _stepped(lane: Lane, from_mm: float, to_mm: float, *, is_even: bool) -> list[Laid]:
    """Give the pads between two others: evenly where the places are free, or each as far on as it goes."""
    spacing_mm, half = lane.ground.size.spacing_mm, lane.half_mm
    found: list[Laid] = []
    at = from_mm
    while to_mm - at > spacing_mm + _ROUNDING_MM:
        rest = to_mm - at
        wanted = at + (rest / math.ceil(rest / spacing_mm - _ROUNDING_MM) if is_even else spacing_mm)
        step = _nearest(lane, wanted, at + half, at + spacing_mm) or _nearest(
            lane, at + spacing_mm, at + spacing_mm, to_mm - half
        )
        if step is None:
            break
        found.append(step)
        at = step[0]
    return found


def _nearest(lane: Lane, wanted: float, least: float, greatest: float) -> Laid | None:
    """Give the free place nearest to the one wanted, between two others, or None."""
    half = lane.half_mm
    least, greatest = max(least, half), min(greatest, lane.bar.centre_mm - half)
    steps = math.ceil((greatest - least) / _SLIDE_MM) + 1
    for tries in range(max(1, steps)):
        for side in (0.0,) if tries == 0 else (-1.0, 1.0):
            at = wanted + side * tries * _SLIDE_MM
            if least - _ROUNDING_MM <= at <= greatest + _ROUNDING_MM:
                centre = lane.place(at)
                if centre is not None:
                    return at, centre
    return None
