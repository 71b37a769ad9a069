"""The night drawing: closed lines of equal light, shades inside the roof, ways and dazzling lamps."""

import math
import re

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import GeometryCollection, LinearRing, Point, build_area

from app.drawings.isolux import isolux_rings
from app.drawings.night import SHADES, night_svg, night_wall_svgs
from app.drawings.rough_in import rough_in_svg
from app.takeoff.chain import take_off
from tests import demo

JOB = demo.demo_job()
TAKEOFF = take_off(JOB, {})


@settings(max_examples=50, deadline=None)
@given(st.integers(2, 9), st.integers(2, 9), st.integers(0, 10**6))
def test_high_points_lie_inside_the_rings_and_low_ones_outside(nx: int, ny: int, seed: int) -> None:
    values = np.random.default_rng(seed).uniform(0, 2, (ny, nx))
    xs, ys = np.arange(nx) * 100.0, np.arange(ny) * 100.0
    rings = [LinearRing(ring) for ring in isolux_rings(values, xs, ys, 1.0) if len(ring) > 2]
    area = build_area(GeometryCollection(rings))
    for (row, column), value in np.ndenumerate(values):
        if abs(value - 1) > 1e-3:
            assert area.contains(Point(xs[column], ys[row])) == (value > 1)


def test_a_cone_gives_a_round_line() -> None:
    xs = np.arange(-20.0, 21.0)
    values = 20 - np.hypot(*np.meshgrid(xs, xs))
    (ring,) = isolux_rings(values, xs, xs, 10.0)
    assert [math.hypot(x, y) for x, y in ring] == pytest.approx([10.0] * len(ring), abs=0.05)


def test_the_plan_shows_shades_ways_and_the_lamps_that_dazzle() -> None:
    svg = night_svg(JOB, TAKEOFF, "metric")
    assert sum(f"{level:g} lx and more" in svg for level, _ in SHADES) >= 6
    night = TAKEOFF.rough_in.night
    assert night is not None
    assert f"{night.walks[0].least_lx:.1f} lx" in svg
    for fixture in {one.fixture for one in night.glare}:
        assert f"{fixture} is seen" in svg


def test_every_wall_has_its_drawing() -> None:
    assert [wall for wall, _ in night_wall_svgs(JOB, TAKEOFF)] == [wall.id for wall in JOB.plan.feature_walls]


def test_each_kind_of_run_is_a_layer_of_its_own() -> None:
    whole = rough_in_svg(JOB, TAKEOFF, "metric")
    assert re.findall(r'class="layer-runs-(\w+)"', whole) == ["lighting", "sound", "power", "gas"]
    gas = rough_in_svg(JOB, TAKEOFF, "metric", kinds=("gas",))
    assert re.findall(r'class="layer-runs-(\w+)"', gas) == ["gas"]
    assert "corner A" in gas
