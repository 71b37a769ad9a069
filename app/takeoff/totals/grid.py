"""Lengths in whole steps: pieces rounded up, stock lengths met exactly."""

import math
from dataclasses import dataclass

# Tenths of a millimetre, and inches down to 1/64 (127 of these), are whole numbers of this.
FINE_PER_MM = 320
COARSEST_MM = 1.0
MOST_STEPS = 40_000
SLACK_MM = 1e-6  # geometry carries rounding noise far below what a saw can follow


@dataclass(frozen=True, slots=True)
class CutGrid:
    """The steps in which one profile is cut.

    Attributes
    ----------
    step_mm : float
        One step. [mm]
    kerf_mm : float
        Lost at each cut. [mm]
    capacities : tuple of int
        Steps offered by each stock length.
    """

    step_mm: float
    kerf_mm: float
    capacities: tuple[int, ...]

    def steps(self, length_mm: float) -> int:
        """Give the steps a piece takes, with its cut, rounded up.

        Parameters
        ----------
        length_mm : float
            Length of the piece. [mm]

        Returns
        -------
        steps : int
            Whole steps.

        References
        ----------
        Definition.
        """
        return math.ceil((length_mm + self.kerf_mm - SLACK_MM) / self.step_mm)


def cut_grid(stock_mm: tuple[float, ...], kerf_mm: float, end_trim_mm: float) -> CutGrid:
    """Give steps of at most a millimetre that meet every stock length exactly where that is possible.

    Parameters
    ----------
    stock_mm : tuple of float
        Stock lengths. [mm]
    kerf_mm : float
        Lost at each cut. [mm]
    end_trim_mm : float
        Cut off each stick before the first piece. [mm]

    Returns
    -------
    grid : CutGrid
        Capacities in the order of the stock lengths.

    Notes
    -----
    The step divides the greatest common divisor of all capacities, so that a piece as long as its stock
    still fits. Where that would need more than 40 000 steps, the step is 1 mm and capacities are rounded
    down: a piece less than 1 mm shorter than the stock is then cut from a longer one.

    Examples
    --------
    >>> grid = cut_grid((3657.6, 4876.8), 3.0, 0.0)
    >>> grid.step_mm, grid.capacities, grid.steps(3657.6)
    (0.6, (6101, 8133), 6101)

    References
    ----------
    Definition.
    """
    offered = [length - end_trim_mm + kerf_mm for length in stock_mm]
    fine = [math.floor((room + SLACK_MM) * FINE_PER_MM) for room in offered]
    shared = math.gcd(*fine)
    step = shared / math.ceil(shared / (COARSEST_MM * FINE_PER_MM))
    if max(fine) / step > MOST_STEPS:
        step = COARSEST_MM * FINE_PER_MM
    return CutGrid(
        step_mm=step / FINE_PER_MM,
        kerf_mm=kerf_mm,
        capacities=tuple(math.floor(room / step + 1e-9) for room in fine),
    )
