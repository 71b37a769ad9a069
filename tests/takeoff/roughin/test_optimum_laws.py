"""Runs against the shortest there can be, wherever that can be worked out exactly."""

import itertools
import random

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from app.job.survey import Penetration
from app.takeoff.roughin.branches import tree_mm
from app.takeoff.roughin.grid import draw_grid, spread_from
from app.takeoff.roughin.paths import _exact_order, _total_mm, passing_order
from app.takeoff.roughin.routes import route
from app.takeoff.roughin.trees import exact_tree, shortest_tree
from tests.takeoff.roughin.site import end, free, square

MOST = 1.05
UNIT = Penetration(id="u", kind="unit", x_mm=4000, y_mm=5000, width_mm=2500, depth_mm=1500)


def scattered(seed: int, count: int) -> list[tuple[float, float]]:
    chance = random.Random(seed)
    return [(chance.randrange(1, 99) * 100.0 + 7, chance.randrange(1, 99) * 100.0 + 3) for _ in range(count)]


@settings(max_examples=50, deadline=None)
@given(st.integers(0, 10**6), st.integers(2, 12))
def test_a_tree_is_within_5_per_cent_of_the_shortest(seed: int, count: int) -> None:
    points = scattered(seed, count)
    grid = draw_grid(free(square(10_000.0), penetrations=(UNIT,)), points)
    nodes = list(dict.fromkeys(grid.node(point) for point in points))
    length = spread_from(grid, nodes)
    nodes = [node for node in nodes if np.isfinite(length[0][node])]
    shortest = tree_mm(grid, exact_tree(grid, nodes))
    assert tree_mm(grid, shortest_tree(grid, nodes)) <= MOST * shortest + 1e-6


@settings(max_examples=30, deadline=None)
@given(st.integers(0, 10**6), st.integers(2, 11), st.booleans())
def test_a_chain_or_loop_is_within_5_per_cent_of_the_shortest(seed: int, count: int, is_loop: bool) -> None:
    points = np.array(scattered(seed, count))
    between = np.abs(points[:, None] - points[None]).sum(axis=2)
    shortest = _total_mm(between, _exact_order(between, is_loop), is_loop)
    assert _total_mm(between, passing_order(between, is_loop), is_loop) <= MOST * shortest + 1e-6


@settings(max_examples=20, deadline=None)
@given(st.integers(0, 10**6), st.integers(3, 8))
def test_a_hub_is_where_its_leads_are_shortest(seed: int, count: int) -> None:
    points = scattered(seed, count)
    ends = [end(f"E{n}", x, y) for n, (x, y) in enumerate(points)]
    routed = route(free(square(10_000.0)), "C", "hub", ends[0], ends[1:])
    xs, ys = ([point[axis] for point in points] for axis in (0, 1))
    least = min(sum(abs(x - px) + abs(y - py) for px, py in points) for x, y in itertools.product(xs, ys))
    assert sum(leg.level_mm for leg in routed.legs) == pytest.approx(least, rel=MOST - 1)
