"""Breaker boards: laid across the courses so that no run is longer than it may be."""

import math
from dataclasses import dataclass

import numpy as np

from app.takeoff.layout.end_gaps import RunRule
from app.takeoff.layout.outlines import Floats

# A run over its limit by less is not over.
RUN_TOLERANCE_MM = 0.05


@dataclass(frozen=True, slots=True)
class Breaks:
    """Where the breaker boards of one part lie, and what that leaves.

    Attributes
    ----------
    middles_mm : tuple of float
        Middle of each breaker board along the courses. [mm]
    gap_mm : float
        End gap on either side of each. [mm]
    run_mm : float
        Longest run left between them. [mm]
    """

    middles_mm: tuple[float, ...]
    gap_mm: float
    run_mm: float


def even_split(length_mm: float, breakers: int, board_mm: float, rule: RunRule) -> tuple[float, float]:
    """Give the run and the end gap when breaker boards split a length evenly.

    Parameters
    ----------
    length_mm : float
        Length to split. [mm]
    breakers : int
        Breaker boards in it.
    board_mm : float
        Width of a breaker board. [mm]
    rule : RunRule
        Gives the gap that a run needs.

    Returns
    -------
    run_mm : float
        Length of each run. [mm]
    gap_mm : float
        Gap on either side of each breaker. [mm]

    Notes
    -----
    (m + 1) L + m (b + 2 e) = X, with e = max(least gap, k L): first with the least gap, then, if that
    is too small for the run, with e = k L.

    References
    ----------
    Definition.
    """
    boards_mm = length_mm - breakers * board_mm
    run_mm = (boards_mm - 2 * breakers * rule.least_gap_mm) / (breakers + 1)
    if rule.swell_per_mm * run_mm > rule.least_gap_mm:
        run_mm = boards_mm / (breakers + 1 + 2 * breakers * rule.swell_per_mm)
    return run_mm, rule.gap_mm(max(run_mm, 0.0))


def find_breaks(spans_mm: Floats, board_mm: float, rule: RunRule, least_gap_mm: float = 0.0) -> Breaks:
    """Give the fewest evenly spaced breaker boards that keep every course within the limit.

    Parameters
    ----------
    spans_mm : array
        From and to of every course along x, one row each; at least one. [mm]
    board_mm : float
        Width of a breaker board. [mm]
    rule : RunRule
        Limit and gaps.
    least_gap_mm : float
        End gap already settled by another part of the field. [mm]

    Returns
    -------
    breaks : Breaks
        None when the longest course is within the limit.

    References
    ----------
    Definition; breaker boards are common practice, no source.
    """
    start_mm, end_mm = float(spans_mm[:, 0].min()), float(spans_mm[:, 1].max())
    longest_mm = float((spans_mm[:, 1] - spans_mm[:, 0]).max())
    if longest_mm <= rule.limit_mm + RUN_TOLERANCE_MM:
        return Breaks((), max(least_gap_mm, rule.gap_mm(longest_mm)), longest_mm)
    most = math.ceil((end_mm - start_mm) / rule.limit_mm)
    for breakers in range(1, most + 1):
        _, gap_mm = even_split(end_mm - start_mm, breakers, board_mm, rule)
        gap_mm = max(gap_mm, least_gap_mm)
        zone_mm = board_mm + 2 * gap_mm
        run_mm = (end_mm - start_mm - breakers * zone_mm) / (breakers + 1)
        middles: Floats = start_mm + (run_mm + zone_mm) * np.arange(1.0, breakers + 1) - zone_mm / 2
        left_mm = _longest_left(spans_mm, middles, zone_mm / 2)
        if left_mm <= rule.limit_mm + RUN_TOLERANCE_MM:
            return Breaks(tuple(middles.tolist()), gap_mm, left_mm)
    raise AssertionError("as many breakers as limits in the length always leave less than the limit")


def _longest_left(spans_mm: Floats, middles: Floats, half_zone_mm: float) -> float:
    """Give the longest stretch of any course between breaker zones."""
    starts = np.concatenate(([-np.inf], middles + half_zone_mm))
    ends = np.concatenate((middles - half_zone_mm, [np.inf]))
    left = np.minimum(spans_mm[:, 1:2], ends) - np.maximum(spans_mm[:, 0:1], starts)
    return float(left.max())
