"""Laws of routes: inside the free area, along the axes, the same when the plan is turned."""

import itertools
import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely.geometry import LineString

from app.job.survey import Drain, Penetration
from app.takeoff.roughin.ends import End
from app.takeoff.roughin.legs import Routed
from app.takeoff.roughin.obstacles import FreeArea, free_area, to_turned_mm
from app.takeoff.roughin.routes import Topology, route
from tests import builders as b

ELL = ((0, 0), (9000, 0), (9000, 4000), (5000, 4000), (5000, 8000), (0, 8000))
SHAPES: tuple[Topology, ...] = ("chain", "tee", "hub", "loop")
places = st.tuples(st.integers(10, 89), st.integers(10, 79)).map(
    lambda p: (p[0] * 100.0 + 7, p[1] * 100.0 + 3)
)


def turned_about(point: tuple[float, float], quarters: int) -> tuple[float, float]:
    x, y = point
    for _ in range(quarters):
        x, y = -y, x
    return x, y


def ground(quarters: int, deck_deg: float, round_at: tuple[float, float]) -> FreeArea:
    """The L-shaped roof, its unit and its drain, all turned by quarter turns."""
    ux, uy = turned_about((2500, 3000), quarters)
    width, depth = (1200, 600) if quarters % 2 == 0 else (600, 1200)
    vx, vy = turned_about(round_at, quarters)
    dx, dy = turned_about((6000, 1500), quarters)
    survey = b.a_survey(
        outline_mm=tuple(turned_about(c, quarters) for c in ELL),
        edges=(),
        drains=(Drain(id="d", kind="drain", x_mm=dx, y_mm=dy, keep_clear_mm=200),),
        penetrations=(
            Penetration(id="u", kind="unit", x_mm=ux, y_mm=uy, width_mm=width, depth_mm=depth),
            Penetration(id="v", kind="vent", shape="round", x_mm=vx, y_mm=vy, width_mm=300),
        ),
    )
    return free_area(survey, deck_deg + 90 * quarters)


def routed(area: FreeArea, quarters: int, points: list[tuple[float, float]], shape: Topology) -> Routed:
    plan = [turned_about(point, quarters) for point in [(400.0, 400.0), *points]]
    ends = [End(f"E{n}", to_turned_mm(q, area.angle_deg), 0.0, q) for n, q in enumerate(plan)]
    return route(area, "C", shape, ends[0], ends[1:])


@settings(max_examples=40, deadline=None)
@given(
    st.lists(places, min_size=1, max_size=9),
    st.sampled_from(SHAPES),
    st.sampled_from([0.0, 90.0, 33.0]),
    st.integers(1, 3),
)
def test_turning_the_plan_changes_no_length(
    points: list[tuple[float, float]], shape: Topology, deck_deg: float, quarters: int
) -> None:
    still = routed(ground(0, deck_deg, (1500, 6000)), 0, points, shape)
    turned = routed(ground(quarters, deck_deg, (1500, 6000)), quarters, points, shape)
    assert [leg.to_id for leg in turned.legs] == [leg.to_id for leg in still.legs]
    assert [leg.level_mm for leg in turned.legs] == pytest.approx(
        [leg.level_mm for leg in still.legs], abs=0.05
    )
    assert len(turned.cut_off) == len(still.cut_off)


@settings(max_examples=40, deadline=None)
@given(
    st.lists(places, min_size=1, max_size=8), st.sampled_from(SHAPES), st.sampled_from([0.0, 33.0]), places
)
def test_no_run_enters_a_forbidden_area_and_all_lie_along_the_axes(
    points: list[tuple[float, float]], shape: Topology, deck_deg: float, round_at: tuple[float, float]
) -> None:
    area = ground(0, deck_deg, round_at)
    answer = routed(area, 0, points, shape)
    for leg in answer.legs:
        for (ax, ay), (bx, by) in itertools.pairwise(leg.turned_mm):
            assert ax == bx or ay == by
        if leg.level_mm > 0:
            assert LineString(leg.turned_mm).difference(area.area.buffer(0.01)).length < 1e-6
        ends = leg.turned_mm[0], leg.turned_mm[-1]
        assert leg.level_mm >= sum(abs(p - q) for p, q in zip(*ends, strict=True)) - 1e-6
        assert math.dist(leg.path_mm[0], leg.path_mm[-1]) == pytest.approx(math.dist(*ends), abs=1e-6)
    reached = {leg.to_id for leg in answer.legs}
    assert reached.isdisjoint(end.id for end in answer.cut_off)


@settings(max_examples=30, deadline=None)
@given(st.lists(places, min_size=2, max_size=9, unique=True))
def test_a_tree_is_never_longer_than_a_chain_and_a_chain_never_than_a_loop(
    points: list[tuple[float, float]],
) -> None:
    area = ground(0, 0.0, (1500, 6000))
    tee, chain, loop = (
        sum(leg.level_mm for leg in routed(area, 0, points, shape).legs) for shape in ("tee", "chain", "loop")
    )
    assert tee <= chain + 1e-6
    assert chain <= loop + 1e-6
