"""Runs against the shortest clear of all pads, worked out exactly on every line that could matter."""

import random
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely.geometry import box

from app.takeoff.roughin.apart import Apart
from app.takeoff.roughin.branches import tree_mm
from app.takeoff.roughin.ends import End, ends_off_pads
from app.takeoff.roughin.grid import Floats, Grid, draw_on, grid_lines, spread_from, with_dear_steps
from app.takeoff.roughin.lanes import beside, between_sticks
from app.takeoff.roughin.legs import level_mm
from app.takeoff.roughin.obstacles import FreeArea
from app.takeoff.roughin.pads import bars_of, hit_pads
from app.takeoff.roughin.paths import _exact_order, _total_mm
from app.takeoff.roughin.routes import APART_WORTH, Topology, route
from app.takeoff.roughin.trees import exact_tree
from app.takeoff.roughin.trench import Spans, beside_mm, spans_of
from tests.takeoff.roughin.site import end, free, square

MOST = 1.05
SHAPES: tuple[Topology, ...] = ("chain", "tee", "hub", "loop")
ROWS = np.array([[400.0 * n, 100.0, 400.0 * n, 5900.0] for n in range(1, 15)])
HALF = np.full(len(ROWS), 29.0)


def pads_every(mm: float, *, are_staggered: bool) -> Floats:
    """Pads 150 mm square under every row, in line or by turns half a step on."""
    shift = mm / 4 if are_staggered else 0.0
    rows = [
        [x, mm / 2 + mm * k + (-shift if k % 2 else shift), 75.0, 75.0]
        for x in ROWS[:, 0]
        for k in range(int(6000 / mm))
    ]
    return np.array(rows)


def whole_grid(area: FreeArea, ends: list[End], pads: Floats, keep: Spans) -> Grid:
    """Lines beside every sleeper and every pad, through all ends, and just apart from what is kept apart."""
    bars, half = bars_of(pads)
    bars, half = np.concatenate([ROWS, bars]), np.concatenate([HALF, half])
    lines: list[set[float]] = [
        {place + side for axis, place in keep if axis == name for side in (-50.0, 50.0)} for name in "xy"
    ]
    for (ax, ay, bx, by), off in zip(bars.tolist(), half.tolist(), strict=True):
        lines[0] |= {ax - off, ax + off} if ax == bx else set()
        lines[1] |= {ay - off, ay + off} if ay == by else set()
    xs, ys = grid_lines(area, [e.turned_mm for e in ends], sorted(lines[0]), sorted(lines[1]))
    grid = between_sticks(draw_on(area, xs, ys), bars, half)
    return with_dear_steps(grid, keep, 50.0, APART_WORTH) if keep else grid


def shortest_mm(area: FreeArea, ends: list[End], pads: Floats, shape: Topology, keep: Spans) -> float:
    """By the exact search of each shape over the whole grid; with what is kept apart, its cost."""
    grid = whole_grid(area, ends, pads, keep)
    nodes = [grid.node(e.turned_mm) for e in ends]
    if shape == "tee":
        return tree_mm(grid, exact_tree(grid, list(dict.fromkeys(nodes))))
    length = spread_from(grid, nodes)
    if shape == "hub" and len(ends) > 2:
        return float(length.sum(axis=0).min())
    between = np.array([[layer[node] for node in nodes] for layer in length])
    return _total_mm(between, _exact_order(between, shape == "loop"), shape == "loop")


def strewn(seed: int) -> tuple[Floats, FreeArea, list[End]]:
    """Up to six things anywhere or near each other, over boards all over or but for a strip."""
    chance = random.Random(seed)
    pads = pads_every(chance.choice([200.0, 300.0, 500.0]), are_staggered=chance.random() < 0.5)
    area, reach = free(square(6000.0)), chance.choice([900, 5800])
    if chance.random() < 0.5:
        at = chance.randrange(5500)
        area = replace(area, boarded=box(0, 0, 6000, 6000).difference(box(at, 0, at + 300, 6000)))
    x, y = (chance.randrange(100, 5901 - reach) for _ in "xy")
    spots = {
        (float(x + chance.randrange(reach)), float(y + chance.randrange(reach)))
        for _ in range(chance.randrange(2, 7))
    }
    over = {
        f"E{n}": end(f"E{n}", *beside(at, ROWS, HALF, area.boarded)) for n, at in enumerate(sorted(spots))
    }
    return pads, area, list(ends_off_pads(over, area, ROWS, HALF, pads).values())


@settings(max_examples=50, deadline=None)
@given(st.integers(0, 10**6), st.sampled_from(SHAPES))
def test_a_run_is_within_5_per_cent_of_the_shortest_clear_of_all_pads(seed: int, shape: Topology) -> None:
    pads, area, ends = strewn(seed)
    routed = route(area, "C", shape, ends[0], ends[1:], Apart({}, 50.0, ROWS, HALF, pads))
    assert not hit_pads([leg.turned_mm for leg in routed.legs], pads).any()
    assert level_mm(routed) <= MOST * shortest_mm(area, ends, pads, shape, {}) + 1e-6


# Close together, dense pads, or boxes drawn to where they are reached: led leg by leg alone these
# come out up to 23 % longer than the shortest.
@pytest.mark.parametrize(
    ("seed", "shape"),
    [(241, "tee"), (19, "tee"), (23, "tee"), (66, "tee"), (180, "hub"), (176, "hub"), (205, "hub")],
)
def test_known_hard_cases_stay_within_5_per_cent(seed: int, shape: Topology) -> None:
    pads, area, ends = strewn(seed)
    routed = route(area, "C", shape, ends[0], ends[1:], Apart({}, 50.0, ROWS, HALF, pads))
    assert level_mm(routed) <= MOST * shortest_mm(area, ends, pads, shape, {}) + 1e-6


@settings(max_examples=30, deadline=None)
@given(st.integers(0, 10**6), st.sampled_from(SHAPES), st.integers(3, 57))
def test_a_run_kept_apart_costs_at_most_5_per_cent_over_the_best(
    seed: int, shape: Topology, place: int
) -> None:
    """Line voltage lies along a line across the roof; a length beside it counts five times.

    Else the run is as it would be alone, and within 5 per cent of the shortest.
    """
    pads, area, ends = strewn(seed)
    area = replace(area, boarded=None)
    keep: Spans = {("x" if seed % 2 else "y", 100.0 * place): [(300.0, 5700.0)]}
    apart = Apart({}, 50.0, ROWS, HALF, pads, keep=keep)
    routed = route(area, "C", shape, ends[0], ends[1:], apart)
    length = level_mm(routed)
    cost = length + APART_WORTH * beside_mm(spans_of(leg.turned_mm for leg in routed.legs), keep, 50.0)
    is_short = length <= MOST * shortest_mm(area, ends, pads, shape, {}) + 1e-6
    assert is_short or cost <= MOST * shortest_mm(area, ends, pads, shape, keep) + 1e-6
