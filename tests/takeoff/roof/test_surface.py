"""The surface: a plane where one fits, else triangles, without a step anywhere."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.interpolate import LinearNDInterpolator

from app.job.survey import SpotHeight
from app.takeoff.roof.surface import fit_surface


def spots(*heights: tuple[float, float, float]) -> tuple[SpotHeight, ...]:
    return tuple(SpotHeight(id=f"h{n}", x_mm=x, y_mm=y, z_mm=z) for n, (x, y, z) in enumerate(heights))


def grid(height: object, step: float = 1500.0, count: int = 4) -> list[tuple[float, float, float]]:
    assert callable(height)
    return [(x * step, y * step, height(x * step, y * step)) for x in range(count) for y in range(count)]


@settings(max_examples=40, deadline=None)
@given(
    rise_x=st.floats(-0.06, 0.06),
    rise_y=st.floats(-0.06, 0.06),
    level=st.floats(-500, 500),
    place=st.tuples(st.floats(-5000, 15000), st.floats(-5000, 15000)),
)
def test_an_exact_plane_is_read_back_to_a_tenth_of_a_millimetre_even_outside(
    rise_x: float, rise_y: float, level: float, place: tuple[float, float]
) -> None:
    def height(x: float, y: float) -> float:
        return level + rise_x * x + rise_y * y

    surface = fit_surface(spots(*grid(height)))
    assert surface.method == "plane"
    assert surface.height_mm(*place) == pytest.approx(height(*place), abs=0.1)


def test_heights_within_the_tolerance_keep_the_plane_and_one_beyond_makes_triangles() -> None:
    flat = grid(lambda x, y: 0.02 * y)
    near = [*flat[:-1], (*flat[-1][:2], flat[-1][2] + 5.0)]
    far = [*flat[:-1], (*flat[-1][:2], flat[-1][2] + 40.0)]
    assert fit_surface(spots(*near)).method == "plane"
    assert fit_surface(spots(*far)).method == "triangulated"
    assert fit_surface(spots(*far), tolerance_mm=100.0).method == "plane"


def test_a_triangulated_surface_passes_through_every_spot_height() -> None:
    hip = grid(lambda x, y: -0.03 * abs(x - 2200.0) + 0.01 * y)
    surface = fit_surface(spots(*hip))
    assert surface.method == "triangulated"
    assert surface.residual_mm == pytest.approx(0.0, abs=1e-9)
    for x, y, z in hip:
        assert surface.height_mm(x, y) == pytest.approx(z, abs=1e-6)


@settings(max_examples=25, deadline=None)
@given(st.data())
def test_inside_the_spot_heights_it_agrees_with_an_independent_linear_interpolation(
    data: st.DataObject,
) -> None:
    # Places off a regular grid, so that Delaunay triangles are unique.
    places = [(137.0 * k * k % 6101.0, 911.0 * k % 4003.0) for k in range(1, 15)]
    heights = [data.draw(st.floats(-100.0, 100.0)) for _ in places]
    surface = fit_surface(spots(*((x, y, z) for (x, y), z in zip(places, heights, strict=True))), 0.0)
    if surface.method == "plane":
        return
    other = LinearNDInterpolator(places, heights)
    x, y = data.draw(st.floats(0.0, 6100.0)), data.draw(st.floats(0.0, 4000.0))
    expected = float(other(x, y))
    if not math.isnan(expected):
        assert surface.height_mm(x, y) == pytest.approx(expected, abs=1e-4)


def test_the_surface_has_no_step_where_it_leaves_the_spot_heights() -> None:
    surface = fit_surface(spots(*grid(lambda x, y: -0.03 * abs(x - 2200.0))))
    inside, outside = surface.height_mm(4499.99, 1000.0), surface.height_mm(4500.01, 1000.0)
    assert inside == pytest.approx(outside, abs=0.01)
    past_a_corner = surface.height_mm(4500.01, 4500.01)
    assert past_a_corner == pytest.approx(surface.height_mm(4499.99, 4499.99), abs=0.01)


def test_beyond_the_spot_heights_the_surface_goes_on_with_the_slope_of_the_best_plane() -> None:
    surface = fit_surface(spots(*grid(lambda x, y: -0.03 * abs(x - 2200.0) - 0.02 * y)))
    assert surface.method == "triangulated"
    at_edge = surface.height_mm(2000.0, 4500.0)
    assert surface.height_mm(2000.0, 5500.0) - at_edge == pytest.approx(1000.0 * surface.plane.rise_y)
    assert surface.plane.rise_y == pytest.approx(-0.02)


def test_a_place_read_twice_counts_once_at_its_mean() -> None:
    twice = [(0, 0, 0.0), (4000, 0, 0.0), (4000, 3000, 0.0), (0, 3000, 0.0), (0, 3000, 4.0)]
    surface = fit_surface(spots(*twice))
    assert len(surface.corners_mm) == 4
    assert surface.residual_mm >= 2.0


def test_heights_in_one_line_are_seen_as_such() -> None:
    surface = fit_surface(spots(*((x, 2.0 * x, 0.01 * x) for x in (0.0, 900.0, 2500.0, 4000.0))))
    assert surface.is_in_line
    assert surface.height_mm(1000.0, 2000.0) == pytest.approx(10.0, abs=0.1)
