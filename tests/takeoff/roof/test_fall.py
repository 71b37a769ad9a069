"""Which way water runs and where it would stand."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from app.job import survey as s
from app.takeoff.roof.fall import fall_direction_deg, fall_findings, fall_pct
from app.takeoff.roof.surface import Plane, fit_surface
from tests.builders import a_survey


def codes(survey: s.Survey, least_fall_pct: float = 2.0) -> list[str]:
    surface = fit_surface(survey.spot_heights)
    return [finding.code for finding in fall_findings(survey, surface, least_fall_pct)]


def bowl(low: float, at: tuple[float, float] = (3000.0, 2000.0)) -> tuple[s.SpotHeight, ...]:
    corners = ((0, 0, 0.0), (6000, 0, 0.0), (6000, 4000, 80.0), (0, 4000, 80.0))
    return tuple(
        s.SpotHeight(id=f"h{n}", x_mm=x, y_mm=y, z_mm=z) for n, (x, y, z) in enumerate((*corners, (*at, low)))
    )


@pytest.mark.parametrize(
    ("rise_x", "rise_y", "direction"),
    [(0.0, 0.02, 270.0), (0.0, -0.02, 90.0), (0.02, 0.0, 180.0), (-0.02, 0.0, 0.0), (-0.02, -0.02, 45.0)],
)
def test_water_runs_down_the_plane(rise_x: float, rise_y: float, direction: float) -> None:
    assert fall_direction_deg(Plane(0, 0, 0, rise_x, rise_y)) == pytest.approx(direction)


@settings(max_examples=30, deadline=None)
@given(st.floats(-0.1, 0.1), st.floats(-0.1, 0.1), st.floats(0, 360))
def test_turning_the_roof_keeps_its_fall(rise_x: float, rise_y: float, turn: float) -> None:
    cos, sin = math.cos(math.radians(turn)), math.sin(math.radians(turn))
    turned = Plane(0, 0, 0, rise_x * cos - rise_y * sin, rise_x * sin + rise_y * cos)
    assert fall_pct(turned) == pytest.approx(fall_pct(Plane(0, 0, 0, rise_x, rise_y)), abs=1e-9)


def test_a_roof_at_its_least_fall_is_not_complained_of_and_one_below_is() -> None:
    assert "roof.low-fall" not in codes(a_survey())  # an exact 2 %
    assert "roof.low-fall" in codes(a_survey(), least_fall_pct=2.0833)


def test_a_roof_without_an_outlet_is_a_check_and_an_overflow_is_none() -> None:
    assert "roof.no-drain" in codes(a_survey(drains=()))
    overflow = s.Drain(id="o", kind="overflow", x_mm=3000, y_mm=10)
    assert "roof.no-drain" in codes(a_survey(drains=(overflow,)))
    assert "roof.no-drain" not in codes(a_survey())


def test_a_low_spot_far_from_every_drain_is_a_check_with_its_depth() -> None:
    survey = a_survey(spot_heights=bowl(-60.0), drains=(s.Drain(id="d", kind="drain", x_mm=100, y_mm=100),))
    surface = fit_surface(survey.spot_heights)
    found = next(f for f in fall_findings(survey, surface, 0.0) if f.code == "roof.low-spot")
    assert found.place == "h4"
    assert found.at_mm == (3000.0, 2000.0)
    assert found.value is not None
    assert found.value > 1000


def test_a_drain_in_the_low_spot_settles_it() -> None:
    here = s.Drain(id="d", kind="drain", x_mm=3050, y_mm=2000)
    assert "roof.low-spot" not in codes(a_survey(spot_heights=bowl(-60.0), drains=(here,)), 0.0)


def test_a_plane_whose_lowest_corner_is_no_lower_than_the_drain_is_quiet() -> None:
    assert "roof.low-spot" not in codes(a_survey())


def test_water_that_runs_off_an_open_edge_does_not_stand() -> None:
    far = s.Drain(id="d", kind="drain", x_mm=3000, y_mm=3900)
    closed = a_survey(drains=(far,))
    opened = a_survey(drains=(far,), edges=(s.Edge(id="south", from_corner=0, kind="open", drop_mm=3000),))
    assert "roof.low-spot" in codes(closed)
    assert "roof.low-spot" not in codes(opened)


def test_parapets_all_round_need_a_second_way_out() -> None:
    drain = s.Drain(id="d", kind="drain", x_mm=3000, y_mm=150)
    overflow = s.Drain(id="o", kind="overflow", x_mm=10, y_mm=150)
    open_side = s.Edge(id="south", from_corner=0, kind="open")
    assert "roof.no-overflow" in codes(a_survey(drains=(drain,)))
    assert "roof.no-overflow" not in codes(a_survey(drains=(drain, overflow)))
    assert "roof.no-overflow" not in codes(
        a_survey(drains=(drain,), edges=(open_side, *a_survey().edges[1:]))
    )
