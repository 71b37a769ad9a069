"""A spot on the roof from two tape measures, and the way of a run laid elsewhere than drawn."""

import math
import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise

from app.build.deviations import Deviation
from app.measure.errors import InputError
from app.measure.lengths import read_mm
from app.takeoff.roughin.records import Run

Spot = tuple[float, float]
# Tapes that just fail to meet, and spots just off the roof: what a tape held by hand gets wrong.
TAPE_ERROR_MM = 50.0
_MEASURED = re.compile(r"^A\s+(?=[\d.])(.+?)[\s,]+B\s+(?=[\d.])(.+)$", re.IGNORECASE | re.DOTALL)
_MEANT = re.compile(r"^A\s+[\d.]", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class BuiltWay:
    """Where a run lies as it was measured on site.

    Attributes
    ----------
    run : str
        Its tag.
    way_mm : tuple of tuple of float
        From one end over the spots measured to the other; empty when it cannot be drawn. [mm]
    spots_mm : tuple of tuple of float
        The spots measured. [mm]
    more_mm : float
        By how much it is longer on plan than drawn; negative when shorter. [mm]
    fault : str
        Why it cannot be drawn; empty when it can.
    """

    run: str
    way_mm: tuple[Spot, ...]
    spots_mm: tuple[Spot, ...]
    more_mm: float
    fault: str


def spot_by_tape(from_a_mm: float, from_b_mm: float, corners_mm: tuple[Spot, Spot], inner_mm: Spot) -> Spot:
    """Give the spot that lies so far from two corners.

    Parameters
    ----------
    from_a_mm, from_b_mm : float
        By tape, level, from each corner. [mm]
    corners_mm : tuple of tuple of float
        The two corners. [mm]
    inner_mm : tuple of float
        Any spot on the side of their line on which the roof lies. [mm]

    Returns
    -------
    spot_mm : tuple of float
        On plan. [mm]

    Raises
    ------
    ValueError
        If the tapes do not meet by more than `TAPE_ERROR_MM`.

    Notes
    -----
    With d between the corners: x = (a² − b² + d²) / 2d along their line, y = √(a² − x²) across it.

    Examples
    --------
    >>> spot_by_tape(3000.0, 4000.0, ((0.0, 0.0), (5000.0, 0.0)), (0.0, 1.0))
    (1800.0, 2400.0)

    References
    ----------
    Two circles that cross: plane geometry.
    """
    (ax, ay), (bx, by) = corners_mm
    apart = math.dist(*corners_mm)
    short = apart - from_a_mm - from_b_mm
    over = abs(from_a_mm - from_b_mm) - apart
    if max(short, over) > TAPE_ERROR_MM:
        raise ValueError(
            f"tapes of {from_a_mm / 1000:.2f} m from A and {from_b_mm / 1000:.2f} m from B do not meet: the "
            f"corners are {apart / 1000:.2f} m apart"
        )
    along = (from_a_mm**2 - from_b_mm**2 + apart**2) / (2 * apart)
    across = math.sqrt(max(0.0, from_a_mm**2 - along**2))
    ux, uy = (bx - ax) / apart, (by - ay) / apart
    if ux * (inner_mm[1] - ay) - uy * (inner_mm[0] - ax) < 0:
        across = -across
    return ax + along * ux - across * uy, ay + along * uy + across * ux


def built_ways(
    runs: Iterable[Run],
    noted: Mapping[str, Deviation],
    corners_mm: Sequence[Spot],
    outline_mm: Sequence[Spot],
) -> dict[str, BuiltWay]:
    """Give the ways of the runs that were measured on site.

    Parameters
    ----------
    runs : iterable of Run
        As drawn.
    noted : mapping of str to Deviation
        By run, what was noted of one that lies elsewhere.
    corners_mm : sequence of tuple of float
        Corners A and B of the roof. [mm]
    outline_mm : sequence of tuple of float
        Of the roof. [mm]

    Returns
    -------
    ways : dict of str to BuiltWay
        A run noted in words alone is left out: words cannot be drawn.

    Notes
    -----
    Spots are written ``A 3.10 m, B 2.20 m; A 4 m, B 1.5 m`` in the order from the run's first end to its
    last; between the spots it runs straight, and its ends stay at the devices drawn. What stands between
    semicolons and is no spot is words.

    References
    ----------
    Definition.
    """
    found = {}
    for run in runs:
        away = noted.get(run.id)
        parts = measured_parts(away.words) if away else ()
        if not parts or len(corners_mm) != 2 or len(run.path_mm) < 2:
            continue
        try:
            spots = tuple(_spot(part, (corners_mm[0], corners_mm[1]), outline_mm) for part in parts)
        except ValueError as fault:
            found[run.id] = BuiltWay(run.id, (), (), 0.0, str(fault))
            continue
        way = (run.path_mm[0], *spots, run.path_mm[-1])
        more = sum(math.dist(*part) for part in pairwise(way)) - run.level_mm
        found[run.id] = BuiltWay(run.id, way, spots, more, "")
    return found


def measured_parts(words: str) -> tuple[str, ...]:
    """Give the parts of a note that mean a spot by tape.

    Parameters
    ----------
    words : str
        Where a run lies.

    Returns
    -------
    parts : tuple of str
        In their order; empty for words alone.

    Examples
    --------
    >>> measured_parts("A 3.1 m, B 2.2 m; under the bench; A 4 m, B 2 m")
    ('A 3.1 m, B 2.2 m', 'A 4 m, B 2 m')

    References
    ----------
    Definition.
    """
    return tuple(part for part in (one.strip() for one in words.split(";")) if _MEANT.match(part))


def _spot(part: str, corners: tuple[Spot, Spot], outline: Sequence[Spot]) -> Spot:
    """Read one spot; ValueError with what is wrong."""
    measured = _MEASURED.match(part)
    if measured is None:
        raise ValueError(f"“{part}” should read: A, a length, B, a length, such as A 3.10 m, B 2.20 m")
    try:
        from_a, from_b = (read_mm(text.strip()) for text in measured.groups())
    except InputError as fault:
        raise ValueError(f"“{part}” cannot be read: {fault.wanted}") from fault
    inner = max(outline, key=lambda corner: _off(corner, corners))
    x, y = spot_by_tape(from_a, from_b, corners, inner)
    xs, ys = zip(*outline, strict=True)
    room = TAPE_ERROR_MM
    if not (min(xs) - room <= x <= max(xs) + room and min(ys) - room <= y <= max(ys) + room):
        raise ValueError(f"“{part}” lies off the roof")
    return x, y


def _off(spot: Spot, corners: tuple[Spot, Spot]) -> float:
    """Give how far a spot lies off the line of the corners, times the length of that line."""
    (ax, ay), (bx, by) = corners
    return abs((bx - ax) * (spot[1] - ay) - (by - ay) * (spot[0] - ax))
