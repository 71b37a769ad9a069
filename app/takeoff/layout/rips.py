"""How many boards go across a width, and how wide the first and the last are."""

import math
from dataclasses import dataclass

# Half of 1/32 in (0.8 mm), the finest mark on a tape: a width that is over by less is an exact fit, so
# that float noise never asks for one board more.
EXACT_FIT_MM = 0.4


@dataclass(frozen=True, slots=True)
class Across:
    """Boards side by side across a width.

    Attributes
    ----------
    count : int
        Boards.
    edge_mm : float
        Width of the first and of the last board when balanced. [mm]
    last_mm : float
        Width of the last board when the first is a full one. [mm]
    """

    count: int
    edge_mm: float
    last_mm: float


def boards_across(width_mm: float, board_mm: float, gap_mm: float) -> Across:
    """Give the boards that fill a width, with the first and the last ripped alike.

    Parameters
    ----------
    width_mm : float
        Width to fill, no gap outside the first and the last board. [mm]
    board_mm : float
        Width of a full board. [mm]
    gap_mm : float
        Gap between boards. [mm]

    Returns
    -------
    across : Across
        With two boards or more the edges are never under half a board.

    Notes
    -----
    n = ⌈(W + g) / (b + g)⌉; last = W − (n − 1)(b + g); balanced edge = (b + last) / 2.
    Since last > 0 the balanced edge is more than b / 2 for n ≥ 2. Σ widths + (n − 1) g = W.

    Examples
    --------
    >>> boards_across(3657.6, 139.7, 4.7625)  # 144 in of 5½ in boards at 3/16 in
    Across(count=26, edge_mm=92.869, last_mm=46.038)

    References
    ----------
    Counting; the tolerance of an exact fit is common practice, no source.
    """
    if width_mm <= 0.0:
        return Across(count=0, edge_mm=0.0, last_mm=0.0)
    count = max(1, math.ceil((width_mm + gap_mm - EXACT_FIT_MM) / (board_mm + gap_mm)))
    last_mm = min(board_mm, width_mm - (count - 1) * (board_mm + gap_mm))
    edge_mm = (board_mm + last_mm) / 2.0 if count > 1 else last_mm
    return Across(count=count, edge_mm=edge_mm, last_mm=last_mm)
