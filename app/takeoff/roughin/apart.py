"""What a run keeps away from: runs of other kinds, sleepers and pads."""

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Literal

import numpy as np

from app.takeoff.roughin.grid import Floats, Grid, draw_on, grid_lines, with_burden, with_dear_steps
from app.takeoff.roughin.lanes import between_sticks, lanes_mm, thinned
from app.takeoff.roughin.obstacles import ROUNDING_DIGITS, FreeArea
from app.takeoff.roughin.pads import bars_of
from app.takeoff.roughin.trench import Spans

Lines = tuple[Sequence[float], Sequence[float]]
Clear = Literal["pads", "sticks", "nothing"]
CLEAR_OF: tuple[Clear, ...] = ("pads", "sticks", "nothing")  # each only where the one before reaches nothing


@dataclass(frozen=True, slots=True, eq=False)
class Apart:
    """What a run keeps away from.

    Attributes
    ----------
    spans : dict
        Stretches of other runs by line.
    apart_mm : float
        Least distance that counts as apart. [mm]
    sticks_mm : array
        Centre lines under the boards in turned axes; fewer are passed where a way as good lets it. [mm]
    half_mm : array or None
        From each centre line to the lanes beside it; no run lies nearer along it. [mm]
    pads_mm : array or None
        Boxes of the pads in turned axes, as `pad_boxes` gives them; no run passes through one. [mm]
    keep : dict
        Of the spans, those that must be kept apart: for them a way a little longer is taken. [mm]
    worth : float
        How many times more a length beside those counts while such a way is looked for.
    """

    spans: Spans
    apart_mm: float
    sticks_mm: Floats
    half_mm: Floats | None = None
    pads_mm: Floats | None = None
    keep: Spans = field(default_factory=dict)
    worth: float = 0.0

    def bars(self, *, with_pads: bool) -> tuple[Floats, Floats]:
        """Give the lines that no run lies along, with how far from each it keeps."""
        assert self.half_mm is not None
        if not with_pads or self.pads_mm is None or not len(self.pads_mm):
            return self.sticks_mm, self.half_mm
        bars, half = bars_of(self.pads_mm)
        return np.concatenate([self.sticks_mm, bars]), np.concatenate([self.half_mm, half])


def _both(lines: Floats, lanes: Floats) -> Floats:
    """Give two sets of lines as one, rising, none a hair beside another: ways would go to and fro there.

    Sets, not arrays: a few dozen are put in order sooner so.
    """
    return np.array(sorted({*lines.tolist(), *np.round(lanes, ROUNDING_DIGITS).tolist()}))


def grid_apart(
    free: FreeArea,
    points_mm: Sequence[tuple[float, float]],
    apart: Apart | None,
    more: Lines = ((), ()),
    clear_of: Clear = "pads",
) -> Grid:
    """Give the grid of one circuit, with lanes beside the sticks and pads that it may not lie on.

    Parameters
    ----------
    free : FreeArea
        Where runs may lie.
    points_mm : sequence of tuple of float
        Sources and devices, in turned axes. [mm]
    apart : Apart or None
        What is kept away from.
    more : Lines
        Other lines to draw, of both directions. [mm]
    clear_of : Clear
        What no run may lie on: pads and sticks, sticks alone, or nothing.

    Returns
    -------
    grid : Grid

    References
    ----------
    Definition.
    """
    xs, ys = grid_lines(free, points_mm, *more)
    if apart is None:
        return draw_on(free, xs, ys)
    if apart.half_mm is not None:
        bars, half = apart.bars(with_pads=clear_of == "pads")
        lanes = (lanes_mm(lines, bars, half, k) for k, lines in enumerate((xs, ys)))
        xs, ys = (_both(lines, lane) for lines, lane in zip((xs, ys), lanes, strict=True))
    grid = draw_on(free, xs, ys)
    if apart.half_mm is not None and clear_of != "nothing":
        grid = thinned(between_sticks(grid, bars, half), points_mm)
    grid = with_burden(grid, free, apart.spans, apart.apart_mm, apart.sticks_mm)
    return with_dear_steps(grid, apart.keep, apart.apart_mm, apart.worth) if apart.worth else grid
