"""Orthogonal trees against an integer program that knows nothing of ours.

Source: the multi-commodity flow form of the Steiner problem (R. T. Wong, Math. Programming 28 (1984), from
memory), solved to proof by a general solver. One unit flows from the source to each device; a step is paid
for once when anything flows over it.
"""

import itertools
import random

import numpy as np
import pytest
from scipy.optimize import Bounds, LinearConstraint, milp
from scipy.sparse import coo_array

from app.job.survey import Penetration
from app.takeoff.roughin.branches import tree_mm
from app.takeoff.roughin.grid import Grid, draw_grid, spread_from
from app.takeoff.roughin.trees import exact_tree, shortest_tree
from tests.takeoff.roughin.site import free, square

UNIT = Penetration(id="u", kind="unit", x_mm=4500, y_mm=5200, width_mm=2500, depth_mm=1500)


def by_program(grid: Grid, terminals: list[tuple[int, int]]) -> float:
    """The shortest tree by branch and bound."""
    nodes = list(itertools.product(*(range(n) for n in grid.shape)))
    number = {node: n for n, node in enumerate(nodes)}
    arcs = [(node, other) for node in nodes for other, _ in grid.neighbours(node)]
    goals = terminals[1:]
    paid = len(goals) * len(arcs)  # the columns after the flows say whether an arc is paid for
    cost = np.concatenate([np.zeros(paid), [grid.step_mm(a, b) for a, b in arcs]])
    rows, columns, values, right = [], [], [], []
    for k, goal in enumerate(goals):
        for n, (a, b) in enumerate(arcs):
            rows += [k * len(nodes) + number[a], k * len(nodes) + number[b]]
            columns += [k * len(arcs) + n] * 2
            values += [1.0, -1.0]
        right += [float(node == terminals[0]) - float(node == goal) for node in nodes]
    flow = coo_array((values, (rows, columns)), shape=(len(right), len(cost)))
    first = np.arange(paid)
    used = coo_array(
        (
            np.concatenate([np.ones(paid), -np.ones(paid)]),
            (np.concatenate([first, first]), np.concatenate([first, paid + first % len(arcs)])),
        ),
        shape=(paid, len(cost)),
    )
    kinds = np.concatenate([np.zeros(paid), np.ones(len(arcs))])
    found = milp(
        cost,
        constraints=[LinearConstraint(flow, right, right), LinearConstraint(used, -np.inf, 0.0)],
        integrality=kinds,
        bounds=Bounds(0.0, 1.0),
    )
    assert found.success
    return float(found.fun)


@pytest.mark.parametrize("seed", range(8))
def test_trees_are_as_short_as_the_integer_program_proves(seed: int) -> None:
    chance = random.Random(seed)
    count = chance.randrange(3, 7)
    points = [(chance.randrange(99) * 100.0, chance.randrange(99) * 100.0) for _ in range(count)]
    grid = draw_grid(free(square(10_000.0), penetrations=(UNIT,)), points)
    nodes = list(dict.fromkeys(grid.node(point) for point in points))
    length = spread_from(grid, nodes[:1])[0]
    nodes = [node for node in nodes if np.isfinite(length[node])]
    proven = by_program(grid, nodes)
    assert tree_mm(grid, exact_tree(grid, nodes)) == pytest.approx(proven, abs=1e-3)
    assert tree_mm(grid, shortest_tree(grid, nodes)) <= 1.05 * proven + 1e-3
