"""Ways shared by several runs, counted once, and the sleepers that runs cross."""

from collections.abc import Iterable, Sequence
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from app.takeoff.framing.records import Stick
from app.takeoff.roughin.records import Path

UNDER_DECK = ("sleeper", "breaker sleeper", "rim", "blocking", "trimmer")
ON_LINE_MM = 1e-3  # nearer than this a corner lies on the centre line

Spans = dict[tuple[str, float], list[tuple[float, float]]]


def _merged(spans: Iterable[tuple[float, float]]) -> list[tuple[float, float]]:
    """Give stretches of one line without overlaps."""
    found: list[tuple[float, float]] = []
    for start, stop in sorted(spans):
        if found and start <= found[-1][1]:
            found[-1] = (found[-1][0], max(found[-1][1], stop))
        else:
            found.append((start, stop))
    return found


def spans_of(paths: Iterable[Path]) -> Spans:
    """Give the stretches used on each line.

    Parameters
    ----------
    paths : iterable of Path
        In turned axes.

    Returns
    -------
    spans : dict
        Axis and place of the line, then the stretches on it without overlaps.

    Examples
    --------
    >>> spans_of([((0.0, 0.0), (10.0, 0.0), (10.0, 3.0))])
    {('y', 0.0): [(0.0, 10.0)], ('x', 10.0): [(0.0, 3.0)]}

    References
    ----------
    Definition.
    """
    found: Spans = {}
    for path in paths:
        for (ax, ay), (bx, by) in pairwise(path):
            line, span = (("y", ay), (ax, bx)) if ay == by else (("x", ax), (ay, by))
            if span[0] != span[1]:
                found.setdefault(line, []).append((min(span), max(span)))
    return {line: _merged(spans) for line, spans in found.items()}


def trench_mm(turned_paths: Iterable[Path]) -> float:
    """Give the length of way used by one or more runs.

    Parameters
    ----------
    turned_paths : iterable of Path
        In turned axes, so that every stretch lies along an axis.

    Returns
    -------
    trench_mm : float
        Shared lengths counted once. [mm]

    Examples
    --------
    >>> trench_mm([((0.0, 0.0), (10.0, 0.0)), ((4.0, 0.0), (12.0, 0.0), (12.0, 3.0))])
    15.0

    References
    ----------
    Definition.
    """
    return float(sum(stop - start for spans in spans_of(turned_paths).values() for start, stop in spans))


def shared_mm(
    paths: Iterable[Path], others: Iterable[Path], apart_mm: float
) -> tuple[float, tuple[float, float] | None]:
    """Give the length over which two groups of runs lie side by side, and where it begins.

    Parameters
    ----------
    paths, others : iterable of Path
        In turned axes.
    apart_mm : float
        Least distance that counts as apart. [mm]

    Returns
    -------
    shared_mm : float
        Along the first group, where a run of the second lies nearer; crossings do not count, nor stretches
        no longer than that distance. [mm]
    at_mm : tuple of float or None
        Beginning of the longest such stretch, in turned axes. [mm]

    Examples
    --------
    >>> shared_mm([((0.0, 0.0), (10.0, 0.0))], [((4.0, 0.5), (12.0, 0.5))], 1.0)
    (6.0, (4.0, 0.0))

    References
    ----------
    Definition.
    """
    beside = _beside(spans_of(paths), spans_of(others), apart_mm)
    found = [(stop - start, line, start) for line, start, stop in beside]
    if not found:
        return 0.0, None
    _, (axis, at), start = max(found)
    return sum(length for length, _, _ in found), (start, at) if axis == "y" else (at, start)


def beside_mm(ours: Spans, theirs: Spans, apart_mm: float) -> float:
    """Give the length over which some stretches lie beside others.

    Parameters
    ----------
    ours, theirs : dict
        Stretches by line, as `spans_of` gives them.
    apart_mm : float
        Least distance that counts as apart. [mm]

    Returns
    -------
    beside_mm : float
        Along ours; crossings do not count, nor stretches no longer than that distance. [mm]

    Examples
    --------
    >>> beside_mm({("y", 0.0): [(0.0, 10.0)]}, {("y", 0.5): [(4.0, 12.0)], ("x", 2.0): [(0.0, 9.0)]}, 1.0)
    6.0

    References
    ----------
    Definition.
    """
    return float(sum(stop - start for _, start, stop in _beside(ours, theirs, apart_mm)))


def _beside(ours: Spans, theirs: Spans, apart_mm: float) -> list[tuple[tuple[str, float], float, float]]:
    """Give the stretches of ours that lie beside theirs: line, from, to; the shortest are mere crossings."""
    found: list[tuple[tuple[str, float], float, float]] = []
    for (axis, at), spans in ours.items():
        beside = [
            (max(start, first), min(stop, last))
            for start, stop in spans
            for (other_axis, other_at), near in theirs.items()
            if other_axis == axis and abs(other_at - at) < apart_mm
            for first, last in near
            if min(stop, last) > max(start, first)
        ]
        kept = ((start, stop) for start, stop in _merged(beside) if stop - start > apart_mm)
        found += [((axis, at), start, stop) for start, stop in kept]
    return found


def stick_lines(sticks: Sequence[Stick]) -> NDArray[np.float64]:
    """Give the centre lines of everything that lies under the boards.

    Parameters
    ----------
    sticks : sequence of Stick
        All of the framing; furring and box frames are left out.

    Returns
    -------
    lines_mm : array
        One row (x, y, x, y) per stick, on plan. [mm]

    References
    ----------
    Definition.
    """
    rows = [(*s.start_mm, *s.end_mm) for s in sticks if s.role in UNDER_DECK]
    return np.array(rows, dtype=np.float64).reshape(-1, 4)


def turned_lines(lines_mm: NDArray[np.float64], angle_deg: float) -> NDArray[np.float64]:
    """Give centre lines in turned axes.

    Parameters
    ----------
    lines_mm : array
        One row (x, y, x, y) each, on plan. [mm]
    angle_deg : float
        Direction of the turned x axis. [deg]

    Returns
    -------
    turned_mm : array
        The same rows. [mm]

    References
    ----------
    Definition.
    """
    turn = np.radians(angle_deg)
    cosine, sine = np.cos(turn), np.sin(turn)
    spots = lines_mm.reshape(-1, 2)
    xs, ys = spots[:, 0], spots[:, 1]
    turned = np.column_stack([cosine * xs + sine * ys, cosine * ys - sine * xs])
    return turned.reshape(-1, 4)


def sticks_crossed(path_mm: Path, lines_mm: NDArray[np.float64]) -> int:
    """Give how many sticks a run passes through.

    Parameters
    ----------
    path_mm : Path
        On plan. [mm]
    lines_mm : array
        Centre lines, one row (x, y, x, y) per stick. [mm]

    Returns
    -------
    crossed : int
        Times the run goes from one side of a stick to the other within its length; a run that ends on
        a stick, or lies along it, does not pass it.

    Examples
    --------
    >>> sticks_crossed(((0.0, 0.0), (10.0, 0.0)), np.array([[5.0, -1.0, 5.0, 1.0], [8.0, 1.0, 8.0, 2.0]]))
    1

    References
    ----------
    Definition.
    """
    if not len(lines_mm):
        return 0
    start, end = lines_mm[:, :2], lines_mm[:, 2:]
    direction = end - start
    length = np.maximum(np.hypot(direction[:, 0], direction[:, 1]), ON_LINE_MM)
    unit = direction / length[:, None]
    points = np.array(path_mm)
    offset = points[:, None, :] - start[None, :, :]
    side = offset[..., 0] * -unit[:, 1] + offset[..., 1] * unit[:, 0]
    along = offset[..., 0] * unit[:, 0] + offset[..., 1] * unit[:, 1]
    sign = np.where(np.abs(side) <= ON_LINE_MM, 0, np.sign(side))
    crossed = 0
    last_side = sign[0].copy()
    for k in range(1, len(points)):
        whole = np.where(side[k] != side[k - 1], side[k] - side[k - 1], 1.0)
        met = along[k - 1] - side[k - 1] * (along[k] - along[k - 1]) / whole
        is_within = (met >= -ON_LINE_MM) & (met <= length + ON_LINE_MM)
        crossed += int(np.sum((last_side * sign[k] < 0) & is_within))
        # A corner on the centre line leaves the side open until the run goes on to one or the other.
        last_side = np.where(sign[k] != 0, sign[k], last_side)
    return crossed
