"""The shortest way to join places two by two, with one more place or without."""

import numpy as np

from app.takeoff.roughin.grid import Floats

FAR_MM = 1e9  # a place that cannot be reached


def spanning(length_mm: Floats) -> list[tuple[int, int]]:
    """Give the shortest way to join places two by two.

    Parameters
    ----------
    length_mm : array
        Between all places. [mm]

    Returns
    -------
    pairs : list of (int, int)
        Each place joined already, and the next; from place 0 outward.

    Examples
    --------
    >>> spanning(np.array([[0.0, 5.0, 2.0], [5.0, 0.0, 1.0], [2.0, 1.0, 0.0]]))
    [(0, 2), (2, 1)]

    References
    ----------
    R. C. Prim, Bell System Tech. J. 36 (1957).
    """
    joined = np.zeros(len(length_mm), dtype=bool)
    joined[0] = True
    near, by = length_mm[0].copy(), np.zeros(len(length_mm), dtype=int)
    pairs = []
    for _ in range(len(length_mm) - 1):
        new = int(np.where(joined, np.inf, near).argmin())
        pairs.append((int(by[new]), new))
        joined[new] = True
        by = np.where(length_mm[new] < near, new, by)
        near = np.minimum(near, length_mm[new])
    return pairs


def spanning_with_mm(between_mm: Floats, to_all_mm: Floats) -> Floats:
    """Give the length of that tree with one more place joined, for every place there could be at once.

    Parameters
    ----------
    between_mm : array
        Between all places. [mm]
    to_all_mm : array
        From each place to every place there could be. [mm]

    Returns
    -------
    length_mm : array
        One for every place there could be. [mm]

    References
    ----------
    R. C. Prim, Bell System Tech. J. 36 (1957).
    """
    count, places = to_all_mm.shape
    own = np.where(np.isfinite(to_all_mm), to_all_mm, FAR_MM).T
    near = np.column_stack([np.broadcast_to(between_mm[0], (places, count)), own[:, 0]])
    joined = np.zeros((places, count + 1), dtype=bool)
    joined[:, 0] = True
    total, rows = np.zeros(places), np.arange(places)
    table = np.vstack([between_mm, np.zeros(count)])
    for _ in range(count):
        masked = np.where(joined, np.inf, near)
        new = masked.argmin(axis=1)
        total += masked[rows, new]
        joined[rows, new] = True
        is_own = new == count
        reach = np.column_stack([table[new], own[rows, np.minimum(new, count - 1)]])
        reach[is_own, :count] = own[is_own]
        near = np.minimum(near, reach)
    return total
