"""Lengths in whole steps: pieces rounded up, stock lengths met exactly."""

import math
from dataclasses import dataclass
from fractions import Fraction

# Tenths of a millimetre, and inches down to 1/64 (127 of these), are whole numbers of this.
FINE_PER_MM = 320
COARSEST_MM = 1.0
MOST_KERF_ADDED_MM = 0.3
MOST_STEPS = 20_000
SLACK_MM = 1e-6  # geometry carries rounding noise far below what a saw can follow


@dataclass(frozen=True, slots=True)
class CutGrid:
    """The steps in which one profile is cut.

    Attributes
    ----------
    step_mm : float
        One step. [mm]
    kerf_mm : float
        Lost at each cut, raised a little where the steps ask for it. [mm]
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

    def capacity(self, length_mm: float, end_trim_mm: float) -> int:
        """Give the steps a length offers that the grid was not made for, rounded down.

        Parameters
        ----------
        length_mm : float
            Length of the stick. [mm]
        end_trim_mm : float
            Cut off it before the first piece. [mm]

        Returns
        -------
        steps : int
            Whole steps.

        References
        ----------
        Definition.
        """
        return math.floor((length_mm - end_trim_mm + self.kerf_mm + SLACK_MM) / self.step_mm)


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
    Each capacity is stock − end trim + kerf. The step divides their greatest common divisor, so that a
    piece as long as its stock still fits. Where that would need more than 20 000 steps, the kerf is
    raised by at most 0.3 mm so that they share a step again; where even the differences of the stock
    lengths share none, the step is 1 mm and capacities are rounded down: a piece less than 1 mm shorter
    than its stock is then cut from a longer one.

    Examples
    --------
    >>> grid = cut_grid((3657.6, 4876.8), 3.0, 0.0)
    >>> grid.step_mm, grid.capacities, grid.steps(3657.6)
    (0.6, (6101, 8133), 6101)

    References
    ----------
    Definition.
    """
    rooms = [math.floor((length - end_trim_mm + SLACK_MM) * FINE_PER_MM) for length in stock_mm]
    kerf = Fraction(math.ceil((kerf_mm - SLACK_MM) * FINE_PER_MM))
    step = _step(math.gcd(*(room + int(kerf) for room in rooms)), COARSEST_MM)
    if (max(rooms) + kerf) / step > MOST_STEPS:
        shared = math.gcd(*(room - rooms[0] for room in rooms))
        step = _step(shared, MOST_KERF_ADDED_MM) if shared else Fraction(FINE_PER_MM)
        kerf += -(rooms[0] + kerf) % step
    if (max(rooms) + kerf) / step > 2 * MOST_STEPS:
        step = Fraction(FINE_PER_MM)
    return CutGrid(
        step_mm=float(step / FINE_PER_MM),
        kerf_mm=float(kerf / FINE_PER_MM),
        capacities=tuple(math.floor((room + kerf) / step) for room in rooms),
    )


def _step(shared: int, coarsest_mm: float) -> Fraction:
    """Give the greatest step that divides what is shared and is not too coarse."""
    return Fraction(shared, max(1, math.ceil(shared / (coarsest_mm * FINE_PER_MM))))
