"""Where boards that are too short for their run are joined: over strips or sleepers, row by row."""

import math
from collections.abc import Sequence
from typing import Literal

from app.takeoff.layout.end_gaps import RunRule

# Joints of two rows side by side are at least this far apart. Common practice, no source.
LEAST_STAGGER_MM = 300.0
# A joint nearer than this to the end of a row would leave a stub. Common practice, no source.
LEAST_STUB_MM = 200.0
Pattern = Literal["staggered", "aligned"]


def joints_over_furring(
    left_mm: float,
    right_mm: float,
    columns_mm: tuple[float, ...],
    rule: RunRule,
    offset_mm: float = 0.0,
) -> tuple[list[float], int]:
    """Give where a course is joined so that no piece is longer than its limit.

    Parameters
    ----------
    left_mm, right_mm : float
        Its ends. [mm]
    columns_mm : tuple of float
        Middles of the furring strips. [mm]
    rule : RunRule
        Longest piece.
    offset_mm : float
        How far the first joint is moved from an even share, so that rows are staggered. [mm]

    Returns
    -------
    joints_mm : list of float
        From left to right, each over the furring strip nearest to an even share that keeps within the
        limit. [mm]
    missed : int
        Joints for which no strip was in reach, placed at an even share instead.

    References
    ----------
    Joints over furring are common practice, no source.
    """
    joints: list[float] = []
    missed, start = 0, left_mm
    while right_mm - start > rule.limit_mm + 0.05:
        left_over = math.ceil((right_mm - start - 0.05) / rule.limit_mm)
        share = start + (right_mm - start) / left_over
        wanted = share if joints else share + offset_mm
        reach = [c for c in columns_mm if start + 1.0 < c <= start + rule.limit_mm and c < right_mm - 1.0]
        if not reach:
            missed += 1
        # The strip nearest to the even share never asks for one piece more if any in reach does not.
        start = min(reach or [share], key=lambda column: abs(column - wanted))
        joints.append(start)
    return joints, missed


def row_offsets_mm(length_mm: float, limit_mm: float) -> tuple[float, float]:
    """Give how far the first joint of even and of odd rows lies off an even share.

    Parameters
    ----------
    length_mm : float
        Length of a row. [mm]
    limit_mm : float
        Longest piece. [mm]

    Returns
    -------
    even_mm, odd_mm : float
        A quarter of a piece back and forth, less where the limit leaves less; where it leaves less than
        300 mm between the rows, odd rows start with half a piece and take one piece more. [mm]

    Examples
    --------
    >>> row_offsets_mm(5800.0, 3600.0)
    (-700.0, 700.0)
    >>> row_offsets_mm(7100.0, 3600.0)
    (0.0, -1775.0)

    References
    ----------
    Staggered joints are common practice, no source.
    """
    pieces = max(1, math.ceil((length_mm - 0.05) / limit_mm))
    share_mm = length_mm / pieces
    room_mm = min(limit_mm - share_mm, share_mm / 4.0)
    if pieces == 1:
        return 0.0, 0.0
    if 2.0 * room_mm >= LEAST_STAGGER_MM:
        return -room_mm, room_mm
    return 0.0, -share_mm / 2.0


def joint_columns(
    left_mm: float, right_mm: float, limit_mm: float, pattern: Pattern
) -> tuple[tuple[float, ...], tuple[float, ...]]:
    """Give the lines across a field on which its rows are joined.

    Parameters
    ----------
    left_mm, right_mm : float
        Extent of the field along the courses. [mm]
    limit_mm : float
        Longest piece. [mm]
    pattern : str
        ``staggered``: even and odd rows have lines of their own; ``aligned``: all rows share theirs.

    Returns
    -------
    even_mm, odd_mm : tuple of float
        Lines of even and of odd rows, from left to right; no two of one set are farther apart than the
        limit, nor the first and the last farther from the ends. [mm]

    Examples
    --------
    >>> joint_columns(0.0, 5800.0, 3600.0, "staggered")
    ((2200.0,), (3600.0,))
    >>> joint_columns(0.0, 7100.0, 3600.0, "staggered")
    ((3550.0,), (1775.0, 5325.0))

    References
    ----------
    Staggered joints are common practice, no source.
    """
    length_mm = right_mm - left_mm
    pieces = max(1, math.ceil((length_mm - 0.05) / limit_mm))
    share_mm = length_mm / pieces
    even = tuple(left_mm + share_mm * number for number in range(1, pieces))
    if pattern == "aligned":
        return even, even
    back_mm, forth_mm = row_offsets_mm(length_mm, limit_mm)
    if back_mm:
        return tuple(x + back_mm for x in even), tuple(x + forth_mm for x in even)
    return even, tuple(left_mm + share_mm * (number + 0.5) for number in range(pieces) if pieces > 1)


def joints_of_row(
    left_mm: float, right_mm: float, columns_mm: Sequence[float], limit_mm: float
) -> list[float]:
    """Give which lines join one row.

    Parameters
    ----------
    left_mm, right_mm : float
        Ends of the row. [mm]
    columns_mm : sequence of float
        Lines of its set, from left to right. [mm]
    limit_mm : float
        Longest piece. [mm]

    Returns
    -------
    joints_mm : list of float
        None for a row within the limit; a line that would leave a stub is left out where the piece then
        still keeps within the limit. [mm]

    Examples
    --------
    >>> joints_of_row(0.0, 5800.0, (2200.0,), 3600.0), joints_of_row(2100.0, 5800.0, (2200.0, 3600.0), 3600.0)
    ([2200.0], [3600.0])

    References
    ----------
    Common practice, no source.
    """
    if right_mm - left_mm <= limit_mm + 0.05:
        return []
    joints = [x for x in columns_mm if left_mm + 1.0 < x < right_mm - 1.0]
    for at, end_mm in ((0, left_mm), (-1, right_mm)):
        if len(joints) < 2 or abs(joints[at] - end_mm) >= LEAST_STUB_MM:
            continue
        next_mm = joints[1] if at == 0 else joints[-2]
        if abs(next_mm - end_mm) <= limit_mm + 0.05:
            joints.pop(at)
    return joints
