"""Splices: a bar longer than any piece that can be bought and carried up is joined over a pad."""

import math
from collections.abc import Sequence
from dataclasses import replace
from itertools import accumulate

from app.takeoff.framing.bars import Bar

LEAST_STAGGER_MM = 600.0  # between the joints of neighbours: common practice, no source


def lengths_mm(length_mm: float, longest_mm: float, *, is_odd: bool) -> tuple[float, ...]:
    """Give the pieces of one long bar, from its start.

    Parameters
    ----------
    length_mm : float
        Of the whole bar. [mm]
    longest_mm : float
        Longest piece to be had on the roof. [mm]
    is_odd : bool
        Whether its neighbour is cut the other way, so that this one must be staggered.

    Returns
    -------
    lengths_mm : tuple of float
        They sum to the whole. [mm]

    Notes
    -----
    Even bars start with full lengths, odd bars end with them; the short piece is no shorter than 600 mm.
    Where the two would put a joint within 600 mm of the neighbour's, the odd bar starts with half a length
    instead.

    Examples
    --------
    >>> lengths_mm(7000.0, 4800.0, is_odd=False), lengths_mm(7000.0, 4800.0, is_odd=True)
    ((4800.0, 2200.0), (2200.0, 4800.0))
    >>> lengths_mm(9600.0, 4800.0, is_odd=True)
    (2400.0, 4800.0, 2400.0)

    References
    ----------
    Common practice, no source.
    """
    count = math.ceil(length_mm / longest_mm - 1e-9)
    if count <= 1:
        return (length_mm,)
    full = [longest_mm] * (count - 1)
    last = max(length_mm - sum(full), min(LEAST_STAGGER_MM, longest_mm / 2))
    even = (*full[1:], length_mm - last - sum(full[1:]), last)
    if not is_odd:
        return even
    if min(abs(mine - other) for mine in _joints(even[::-1]) for other in _joints(even)) >= LEAST_STAGGER_MM:
        return even[::-1]
    return (longest_mm / 2, *lengths_mm(length_mm - longest_mm / 2, longest_mm, is_odd=False))


def _joints(lengths: Sequence[float]) -> tuple[float, ...]:
    """Give where pieces meet along a bar."""
    return tuple(accumulate(lengths))[:-1]


def spliced(bars: Sequence[Bar], longest_mm: float) -> tuple[Bar, ...]:
    """Give bars that can be carried up: long ones in pieces, staggered between neighbours.

    Parameters
    ----------
    bars : sequence of Bar
        In the order they lie, so that every second one is a neighbour of the first.
    longest_mm : float
        Longest piece to be had on the roof. [mm]

    Returns
    -------
    bars : tuple of Bar
        Pieces of one bar share a run number; two bars of a pair are joined at the same places.

    References
    ----------
    Common practice, no source.
    """
    found: list[Bar] = []
    turn = 0
    turn_of_pair: dict[int, int] = {}
    for number, bar in enumerate(bars, start=1):
        if bar.centre_mm + bar.extra_mm <= longest_mm + 1e-6:
            found.append(bar)
            continue
        at = 0.0
        mine = turn_of_pair.get(bar.pair, turn) if bar.pair else turn
        turn_of_pair[bar.pair] = mine
        turn = max(turn, mine + 1)
        pieces = lengths_mm(bar.centre_mm + bar.extra_mm, longest_mm, is_odd=mine % 2 == 1)
        for index, piece in enumerate(pieces):
            is_last = index == len(pieces) - 1
            end = bar.centre_mm if is_last else at + piece
            extra = bar.extra_mm if is_last else 0.0
            found.append(replace(bar.cut(at, end), run=number, extra_mm=extra))
            at = end
    return tuple(found)
