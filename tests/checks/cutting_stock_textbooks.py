"""Cutting stock: optima printed in textbooks, each proved here by its own bound.

Printed answers from memory; the data of the first two seen again in public course pages. The bound
rounded up to whole sticks equals the plan, so the optimum does not rest on the memory.
"""

import math

import numpy as np
import pytest

from app.takeoff.totals.bound import certified_bound
from app.takeoff.totals.first_fit import first_fit
from app.takeoff.totals.least_cost import cut_at_least_cost
from app.takeoff.totals.stock_problem import StockProblem, check_plan

CASES = {
    "Chvátal 1983, Linear Programming, ch. 13: raws of 100": (
        StockProblem((45, 36, 31, 14), (97, 610, 395, 211), (100,), (1.0,)),
        453,
        485,
    ),
    "paper machine, raws of 5600 mm, 13 widths (encyclopaedia page on cutting stock)": (
        StockProblem(
            (2200, 2150, 2140, 2100, 2050, 2000, 1930, 1880, 1820, 1710, 1560, 1520, 1380),
            (20, 18, 16, 14, 12, 10, 20, 18, 18, 14, 12, 25, 22),
            (5600,),
            (1.0,),
        ),
        73,
        82,
    ),
    "Winston, Operations Research, Woodco: boards of 17 ft": (
        StockProblem((9, 5, 3), (15, 20, 25), (17,), (1.0,)),
        19,
        19,
    ),
}


@pytest.mark.parametrize(("problem", "optimum", "by_first_fit"), CASES.values(), ids=CASES)
def test_the_printed_optimum_is_found_and_proved(
    problem: StockProblem, optimum: int, by_first_fit: int
) -> None:
    answer = cut_at_least_cost(problem)
    check_plan(problem, answer.sticks)
    assert len(answer.sticks) == optimum
    assert answer.bound == optimum
    assert len(first_fit(problem)) == by_first_fit


def test_the_first_case_has_a_linear_bound_of_452_and_a_quarter() -> None:
    problem = next(iter(CASES.values()))[0]
    # Worths that no pattern of a raw of 100 beats: 2 × 45, 2 × 36 (+ 2 × 14) and 36 + 2 × 31 are all worth 1.
    bound = certified_bound(problem, np.array([0.5, 0.5, 0.25, 0.0]))
    assert bound == pytest.approx(452.25)
    assert math.ceil(bound) == cut_at_least_cost(problem).cost
