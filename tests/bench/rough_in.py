"""Rough-in: 60 devices on 200 m2, and how near the runs come to the shortest there can be."""

import random
import time

from app.takeoff.framing.records import Stick
from app.takeoff.roughin.apart import Apart
from app.takeoff.roughin.branches import tree_mm
from app.takeoff.roughin.grid import draw_grid
from app.takeoff.roughin.legs import level_mm
from app.takeoff.roughin.rough_in import rough_in
from app.takeoff.roughin.routes import route
from app.takeoff.roughin.trees import exact_tree, shortest_tree
from tests.takeoff.roughin.site import framing_of, free, layout_of, pads_under, square
from tests.takeoff.roughin.test_optimum_round_pads_laws import HALF, ROWS, SHAPES, shortest_mm, strewn
from tests.takeoff.roughin.test_speed import a_large_job

CASES, MOST_PLACES = 60, 12


def print_round_pads() -> None:
    """Print how near runs of all shapes come to the shortest clear of all pads."""
    worst = 1.0
    for number in range(CASES):
        pads, area, ends = strewn(number)
        shape = SHAPES[number % 4]
        routed = route(area, "C", shape, ends[0], ends[1:], Apart({}, 50.0, ROWS, HALF, pads))
        worst = max(worst, level_mm(routed) / max(shortest_mm(area, ends, pads, shape, {}), 1.0))
    print(f"runs among pads over the exact: at worst {worst:.3f} of {CASES} (bar 1.05)")


def main() -> None:
    """Print time and ratio."""
    sticks = [
        Stick(f"S{n}", "deck", "sleeper", "sleeper", (400.0 * n, 0), (400.0 * n, 10000), 10000)
        for n in range(50)
    ]
    job, layout, framing = a_large_job(), layout_of(0.0), framing_of(*sticks, pads=pads_under(sticks, 500.0))
    seconds = []
    for _ in range(5):
        start = time.process_time()
        rough_in(job, layout, framing)
        seconds.append(time.process_time() - start)
    print(f"60 devices on 200 m2, 1000 pads: {min(seconds) * 1000:.0f} ms of processor (bar 300 ms)")
    chance = random.Random(4)
    worst = 1.0
    for _ in range(CASES):
        count = chance.randrange(3, MOST_PLACES + 1)
        points = [(chance.randrange(99) * 100.0, chance.randrange(99) * 100.0) for _ in range(count)]
        grid = draw_grid(free(square(10_000.0)), points)
        nodes = list(dict.fromkeys(grid.node(point) for point in points))
        worst = max(worst, tree_mm(grid, shortest_tree(grid, nodes)) / tree_mm(grid, exact_tree(grid, nodes)))
    print_round_pads()
    print(f"trees of up to {MOST_PLACES} places over the exact: at worst {worst:.3f} of {CASES} (bar 1.05)")
