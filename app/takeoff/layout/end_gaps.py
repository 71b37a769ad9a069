"""How long a board may run, and the gap to leave at its end on the day it is fitted."""

import math
from dataclasses import dataclass
from typing import Literal

from app.job.choices import Board, Cutting
from app.job.survey import Temperatures, WayUp
from app.takeoff.roof.way_up import longest_usable_mm


@dataclass(frozen=True, slots=True)
class RunRule:
    """What limits a run of boards and the gap it needs.

    Attributes
    ----------
    limit_mm : float
        No piece is longer. [mm]
    reason : str
        What sets the limit: the ``plan``, the ``expansion`` or the ``stock`` that can be bought and carried.
    swell_per_mm : float
        Growth of a board from the fitting to the hottest temperature, per length.
    shrink_per_mm : float
        Shrinkage from the fitting to the coldest temperature, per length.
    least_gap_mm, greatest_gap_mm : float
        Bounds of the board. [mm]
    """

    limit_mm: float
    reason: Literal["plan", "expansion", "stock"]
    swell_per_mm: float
    shrink_per_mm: float
    least_gap_mm: float
    greatest_gap_mm: float

    def gap_mm(self, run_mm: float) -> float:
        """Give the end gap at the fitting temperature for a run."""
        return max(self.least_gap_mm, self.swell_per_mm * run_mm)


def thermal_change_mm(run_mm: float, expansion_per_c: float, step_c: float) -> float:
    """Give the change in length of an unrestrained piece.

    Parameters
    ----------
    run_mm : float
        Length of the uninterrupted run at fitting. [mm]
    expansion_per_c : float
        Linear expansion coefficient along the run. [1/°C]
    step_c : float
        Service temperature less fitting temperature. [°C]

    Returns
    -------
    change_mm : float
        Longer is positive. [mm]

    Examples
    --------
    >>> thermal_change_mm(6000, 50e-6, 30)
    9.00

    References
    ----------
    Definition of the linear expansion coefficient (ASTM D696, ASTM D6341).
    """
    return run_mm * expansion_per_c * step_c


def end_gap_mm(run_mm: float, expansion_per_c: float, rise_c: float, least_gap_mm: float) -> float:
    """Give the end gap to leave on the day of fitting.

    Parameters
    ----------
    run_mm : float
        Length of the run. [mm]
    expansion_per_c : float
        Linear expansion coefficient along the run. [1/°C]
    rise_c : float
        Hottest surface temperature less the fitting temperature; below zero counts as zero. [°C]
    least_gap_mm : float
        Gap never gone below. [mm]

    Returns
    -------
    gap_mm : float
        The whole growth of one run, as if it moved at one end only. [mm]

    Notes
    -----
    α·L·(T_high − T_fitting), at least `least_gap_mm`. A board fixed at its middle needs half of it at each
    end; which end moves is not known, so the whole is left.

    Examples
    --------
    >>> end_gap_mm(3048, 40e-6, 45, 3.0)
    5.486

    References
    ----------
    Definition of the linear expansion coefficient; the maker's instructions override it.
    """
    return max(least_gap_mm, thermal_change_mm(run_mm, expansion_per_c, max(rise_c, 0.0)))


def run_rule(
    board: Board,
    temperatures: Temperatures,
    way_up: WayUp,
    cutting: Cutting,
    asked_mm: float | None,
) -> RunRule:
    """Give what limits the runs of a board on this roof.

    Parameters
    ----------
    board : Board
        Its expansion, gaps and stock lengths.
    temperatures : Temperatures
        Coldest, hottest and fitting temperature of the board's surface.
    way_up : WayUp
        Limits what can be carried up.
    cutting : Cutting
        Trims the stock.
    asked_mm : float or None
        Longest run asked for on the plan; None takes the run whose end gap just reaches the greatest gap.
        [mm]

    Returns
    -------
    rule : RunRule
        The least of what the plan or the expansion, and the stock that can be carried up, allow.

    Notes
    -----
    Longest run by expansion: greatest gap / (α·(T_high − T_fitting)).

    References
    ----------
    Definition of the linear expansion coefficient. Halving long runs with a breaker board, so that each
    joint sees half the movement, is common practice, no source.
    """
    swell = board.expansion_per_c * max(temperatures.highest_c - temperatures.fitting_c, 0.0)
    shrink = board.expansion_per_c * max(temperatures.fitting_c - temperatures.lowest_c, 0.0)
    usable_mm = longest_usable_mm(board.stock, way_up, cutting)
    reason: Literal["plan", "expansion", "stock"] = "stock"
    limit_mm = usable_mm
    if asked_mm is not None and asked_mm < limit_mm:
        limit_mm, reason = asked_mm, "plan"
    elif asked_mm is None and swell * limit_mm > board.greatest_gap_mm:
        limit_mm, reason = board.greatest_gap_mm / swell, "expansion"
    return RunRule(
        limit_mm=limit_mm,
        reason=reason,
        swell_per_mm=swell,
        shrink_per_mm=shrink,
        least_gap_mm=board.least_gap_mm,
        greatest_gap_mm=board.greatest_gap_mm,
    )


def shim_mm(gap_mm: float, units: str) -> float:
    """Give the shim with which a gap is set.

    Parameters
    ----------
    gap_mm : float
        Gap wanted on the day of fitting. [mm]
    units : str
        ``imperial`` or ``metric``.

    Returns
    -------
    shim_mm : float
        The next half millimetre or thirty-second of an inch, never less than the gap. [mm]

    Examples
    --------
    >>> shim_mm(5.1, "metric"), shim_mm(4.7625, "imperial")
    (5.5, 4.7625)

    References
    ----------
    Common practice, no source.
    """
    step_mm = 0.5 if units == "metric" else 25.4 / 32.0
    return math.ceil(gap_mm / step_mm - 1e-6) * step_mm
