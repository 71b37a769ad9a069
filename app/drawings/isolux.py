"""Lines of equal light on a grid, by marching squares; each closed, so that they can be filled."""

from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray

from app.drawings.canvas import Spot

Floats = NDArray[np.float64]
_Cut = tuple[int, int, int]  # column, row, and 0 for the side along x or 1 for the side along y
# For each way the corners of a square can lie above the level (bit 1 lower left, 2 lower right,
# 4 upper right, 8 upper left): pairs of sides cut (0 below, 1 right, 2 above, 3 left), high ground left.
_CASES: dict[int, tuple[tuple[int, int], ...]] = {
    1: ((0, 3),),
    2: ((1, 0),),
    3: ((1, 3),),
    4: ((2, 1),),
    6: ((2, 0),),
    7: ((2, 3),),
    8: ((3, 2),),
    9: ((0, 2),),
    11: ((1, 2),),
    12: ((3, 1),),
    13: ((0, 1),),
    14: ((3, 0),),
}
_SADDLES: dict[tuple[int, bool], tuple[tuple[int, int], ...]] = {
    (5, True): ((0, 1), (2, 3)),
    (5, False): ((0, 3), (2, 1)),
    (10, True): ((1, 2), (3, 0)),
    (10, False): ((1, 0), (3, 2)),
}


def isolux_rings(values: Floats, xs_mm: Floats, ys_mm: Floats, level: float) -> tuple[tuple[Spot, ...], ...]:
    """Give the closed lines round all ground at or above a level.

    Parameters
    ----------
    values : array
        One row for each y, one column for each x; all outside counts as below the level.
    xs_mm, ys_mm : array
        Evenly spaced. [mm]
    level : float
        Above 0.

    Returns
    -------
    rings : tuple of tuple of (float, float)
        High ground lies to the left of each; filled together by the even-odd rule they are that ground. [mm]

    Notes
    -----
    Straight between neighbouring points; a saddle goes by the mean of its four corners.

    References
    ----------
    Marching squares; definition of an isoline.
    """
    step_x = xs_mm[1] - xs_mm[0] if len(xs_mm) > 1 else 1.0
    step_y = ys_mm[1] - ys_mm[0] if len(ys_mm) > 1 else 1.0
    xs = np.concatenate([[xs_mm[0] - step_x], xs_mm, [xs_mm[-1] + step_x]])
    ys = np.concatenate([[ys_mm[0] - step_y], ys_mm, [ys_mm[-1] + step_y]])
    padded = np.pad(values, 1)
    following: dict[_Cut, _Cut] = dict(_pieces(padded, level))
    rings = []
    while following:
        first, cut = following.popitem()
        ring = [first]
        while cut != first:
            ring.append(cut)
            cut = following.pop(cut)
        rings.append(tuple(_spot(padded, xs, ys, level, at) for at in ring))
    return tuple(rings)


def _pieces(values: Floats, level: float) -> Iterator[tuple[_Cut, _Cut]]:
    """Walk the pieces of line in every square, from cut to cut."""
    high = (values >= level).astype(int)
    kind = high[:-1, :-1] + 2 * high[:-1, 1:] + 4 * high[1:, 1:] + 8 * high[1:, :-1]
    for row, column in np.argwhere((kind > 0) & (kind < 15)).tolist():
        case = int(kind[row, column])
        if case in (5, 10):
            middle = float(values[row : row + 2, column : column + 2].mean())
            pairs = _SADDLES[case, middle >= level]
        else:
            pairs = _CASES[case]
        sides = ((column, row, 0), (column + 1, row, 1), (column, row + 1, 0), (column, row, 1))
        for start, end in pairs:
            yield sides[start], sides[end]


def _spot(values: Floats, xs: Floats, ys: Floats, level: float, cut: _Cut) -> Spot:
    """Give the place of a cut between two points."""
    column, row, way = cut
    to_column, to_row = (column + 1, row) if way == 0 else (column, row + 1)
    low, high = values[row, column], values[to_row, to_column]
    share = (level - low) / (high - low)
    x = xs[column] + share * (xs[to_column] - xs[column])
    y = ys[row] + share * (ys[to_row] - ys[row])
    return float(x), float(y)
