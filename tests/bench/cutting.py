"""Cutting over 100 random jobs: gap to the certified bound, and time. Prints figures, asserts nothing timed.

The family: 300 pieces of 25 lengths between 14 and 190 in, stock of 12, 16 and 20 ft at about 2.40 a foot
with ± 4 %, kerf 1/8 in, on a grid of 1/16 in. Own generator; the jobs are made up.
"""

import random
import statistics
import time

from app.takeoff.totals.first_fit import first_fit
from app.takeoff.totals.least_cost import cut_at_least_cost
from app.takeoff.totals.stock_problem import StockAnswer, StockProblem, cost_of
from tests.bench.results import note

SIXTEENTHS_A_FOOT = 192
KERF = 2


def a_random_job(seed: int, pieces: int = 300, lengths: int = 25) -> StockProblem:
    """One problem of the family, in sixteenths of an inch."""
    chance = random.Random(seed)
    drawn = sorted(chance.sample(range(14 * 16, 190 * 16 + 1), lengths), reverse=True)
    demand = [1] * lengths
    for _ in range(pieces - lengths):
        demand[chance.randrange(lengths)] += 1
    return StockProblem(
        sizes=tuple(length + KERF for length in drawn),
        demand=tuple(demand),
        capacities=tuple(feet * SIXTEENTHS_A_FOOT + KERF for feet in (12, 16, 20)),
        costs=tuple(round(feet * 2.40 * chance.uniform(0.96, 1.04), 2) for feet in (12, 16, 20)),
    )


def gap_pct(problem: StockProblem, answer: StockAnswer) -> float:
    """Cost over bound, in percent, the cost taken from the sticks again."""
    return 100.0 * (cost_of(problem, answer.sticks) / answer.bound - 1.0)


def at(values: list[float], fraction: float) -> float:
    """The value below which that fraction lies."""
    return sorted(values)[min(len(values) - 1, int(fraction * len(values)))]


FAMILIES = ((25, 100), (80, 20), (250, 10))  # lengths, jobs


def main() -> None:
    """Cut the jobs of each family and print the figures."""
    cut_at_least_cost(a_random_job(0))  # loads the solver, which is not what is timed
    for lengths, jobs in FAMILIES:
        family(lengths, jobs)


def family(lengths: int, jobs: int) -> None:
    """Cut the jobs of one family and print gap, time and methods."""
    gaps, first_fit_gaps, times_ms, methods = [], [], [], {}
    for seed in range(1, jobs + 1):
        problem = a_random_job(seed, lengths=lengths)
        started = time.process_time()
        answer = cut_at_least_cost(problem)
        times_ms.append(1000 * (time.process_time() - started))
        gaps.append(gap_pct(problem, answer))
        first_fit_gaps.append(100.0 * (cost_of(problem, first_fit(problem)) / answer.bound - 1.0))
        methods[answer.method] = methods.get(answer.method, 0) + 1
    if lengths == FAMILIES[0][0]:
        note("cutting, median gap %", statistics.median(gaps))
    print(f"{jobs} jobs of 300 pieces, {lengths} lengths, 3 stock lengths")
    print(f"{'':24}{'median':>10}{'p90':>10}{'worst':>10}")
    for name, values in (("gap %", gaps), ("first fit gap %", first_fit_gaps), ("processor ms", times_ms)):
        print(f"{name:24}{statistics.median(values):10.3f}{at(values, 0.9):10.3f}{max(values):10.3f}")
    for method, count in sorted(methods.items()):
        print(f"{count:4} by {method}")


if __name__ == "__main__":
    main()
