"""Ways on the grid: round obstacles, with few turns, in a good order."""

import itertools

import numpy as np
import pytest

from app.takeoff.roughin.grid import draw_grid, spread_from
from app.takeoff.roughin.paths import corners_mm, passing_order, shortest_path
from app.takeoff.roughin.records import Path
from tests import builders as b
from tests.takeoff.roughin.site import free, square


def way(area: object, start: tuple[float, float], goal: tuple[float, float]) -> Path:
    grid = draw_grid(area, [start, goal])  # type: ignore[arg-type]
    to_goal = spread_from(grid, [grid.node(goal)])[0]
    return corners_mm(grid, shortest_path(grid, grid.node(start), to_goal))


def test_a_free_way_turns_at_most_once() -> None:
    assert len(way(free(square(5000)), (500, 700), (4000, 3000))) == 3


def test_a_straight_way_has_two_corners_and_a_way_of_no_length_its_place_twice() -> None:
    area = free(square(5000))
    assert way(area, (500, 700), (4000, 700)) == ((500, 700), (4000, 700))
    assert way(area, (500, 700), (500, 700)) == ((500, 700), (500, 700))


def test_a_way_goes_round_a_skylight_and_its_keep_clear() -> None:
    skylight = b.s.Penetration(id="V", kind="skylight", x_mm=2500, y_mm=2500, width_mm=1000, keep_clear_mm=50)
    path = way(free(square(5000), penetrations=(skylight,)), (500, 2500), (4500, 2500))
    length = sum(abs(p[0] - q[0]) + abs(p[1] - q[1]) for p, q in itertools.pairwise(path))
    assert length == pytest.approx(4000 + 2 * 550)
    assert len(path) == 6 - 2 * (path[1][0] == path[0][0])


def test_there_is_no_way_across_a_gap_in_the_roof() -> None:
    area = free(square(5000), holes_mm=(((2000, -10), (3000, -10), (3000, 5010), (2000, 5010)),))
    with pytest.raises(ValueError, match="no way"):
        way(area, (500, 500), (4500, 500))


def test_a_way_reaches_a_lamp_on_a_slanted_edge() -> None:
    path = way(free(((0, 0), (4000, 0), (0, 3000))), (500, 500), (2000, 1500))
    assert path[-1] == (2000, 1500)


@pytest.mark.parametrize("is_loop", [False, True])
@pytest.mark.parametrize("seed", range(4))
def test_the_order_for_few_is_the_best_of_all_orders(is_loop: bool, seed: int) -> None:
    points = np.random.default_rng(seed).integers(0, 100, (7, 2))
    between = np.abs(points[:, None] - points[None]).sum(axis=2).astype(float)

    def total(order: tuple[int, ...]) -> float:
        stops = [0, *order, *([0] if is_loop else [])]
        return float(sum(between[p, q] for p, q in itertools.pairwise(stops)))

    best = min(total(order) for order in itertools.permutations(range(1, 7)))
    assert total(passing_order(between, is_loop)) == pytest.approx(best)


def test_the_order_for_many_along_a_line_is_the_line() -> None:
    places = np.array([0, 70, 10, 60, 20, 50, 30, 40, 80, 90, 100, 110, 120.0])
    order = passing_order(np.abs(places[:, None] - places[None]), is_loop=False)
    assert list(places[list(order)]) == sorted(places[1:])
