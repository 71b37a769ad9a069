"""A walk called out leg by leg."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from app.job.errors import InputErrors
from app.job.walk import Walk, read_walk, spread_error


@pytest.mark.parametrize(
    ("leg", "end"),
    [
        ("24' 6 east", (7467.6, 0)),
        ("24-6 right", (7467.6, 0)),
        ("7.3 m e", (7300, 0)),
        ("7300e", (7300, 0)),
        ("3' south", (0, -914.4)),
        ("2 m N 30 E", (1000, 2000 * math.cos(math.radians(30)))),
        ("2 m S 30° W", (-1000, -2000 * math.cos(math.radians(30)))),
        ("2 m at 90°", (0, 2000)),
        ("1 m north-west", (-1000 / math.sqrt(2), 1000 / math.sqrt(2))),
    ],
)
def test_a_leg_goes_where_it_is_called(leg: str, end: tuple[float, float]) -> None:
    walk = read_walk(f"{leg}; 1 m up")
    assert walk.corners_mm[1] == (pytest.approx(end[0]), pytest.approx(end[1]))


def test_every_leg_that_cannot_be_read_is_named_with_its_number() -> None:
    with pytest.raises(InputErrors) as told:
        read_walk("3 m e, 4 m sideways, 0 n, east")
    assert [fault.path for fault in told.value.errors] == ["walk[1]", "walk[2]", "walk[3]"]
    assert "sideways" in told.value.errors[0].wanted


@pytest.mark.parametrize("text", ["", "3 m e", ",".join(["1 m e"] * 201)])
def test_a_walk_has_from_two_to_two_hundred_legs(text: str) -> None:
    with pytest.raises(InputErrors):
        read_walk(text)


def test_a_bearing_past_the_quadrant_is_refused() -> None:
    with pytest.raises(InputErrors):
        read_walk("3 m N 91 E, 3 m s")


legs = st.tuples(st.integers(1, 30_000), st.sampled_from("nesw"))


@settings(max_examples=50, deadline=None)
@given(st.lists(legs, min_size=3, max_size=30))
def test_spreading_the_error_closes_the_walk_and_leaves_the_start(called: list[tuple[int, str]]) -> None:
    walk: Walk = read_walk(", ".join(f"{length} {way}" for length, way in called), (500.0, -20.0))
    corners = spread_error(walk)
    assert corners[0] == walk.corners_mm[0]
    assert len(corners) == len(called)
    # The side that is drawn last comes back to the start by its own length, less its share of the error.
    share = walk.legs_mm[-1] / sum(walk.legs_mm)
    for axis in (0, 1):
        gone = walk.corners_mm[-1][axis] - walk.corners_mm[-2][axis]
        assert corners[0][axis] - corners[-1][axis] == pytest.approx(
            gone - walk.error_mm[axis] * share, abs=0.11
        )
