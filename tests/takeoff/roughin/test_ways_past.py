"""Sound past screens: over them, round their open ends, round one and over another; lengths by hand."""

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from app.takeoff.roughin.levels import past_screen_db
from app.takeoff.roughin.screens import Screens, Spot
from app.takeoff.roughin.ways_past import ways_past_mm

SPOT, PLACE = (0.0, 0.0, 300.0), (10_000.0, 0.0, 1500.0)
PLAIN = math.dist(SPOT, PLACE)
Line = tuple[float, float, float, float]


def screens(*each: tuple[Line, float]) -> Screens:
    lines = np.array([line for line, _ in each])
    tops = np.array([top for _, top in each])
    return Screens(tuple(map(str, range(len(each)))), lines, tops, np.ones(len(each), dtype=bool))


def taken_db(found: Screens, spot: Spot = SPOT, place: Spot = PLACE) -> float:
    ways = ways_past_mm(found, spot, place)
    return max((past_screen_db([way / 1000 for way in past], 500.0) for past in ways), default=0.0)


# Ends at y = −8950 and 950, so that sound goes round 50 mm farther, at 1 m to the side.
FIRST: tuple[Line, float] = ((2000.0, -8950.0, 2000.0, 950.0), 1800.0)


def test_round_one_screen_and_over_another_is_as_long_as_both_together() -> None:
    """Past the near end of the first, the rest of the way is barred by a second, too long to go round."""
    second: tuple[Line, float] = ((6000.0, -90_000.0, 6000.0, 90_000.0), 2500.0)
    past, by_second = ways_past_mm(screens(FIRST, second), SPOT, PLACE)
    assert (len(past), len(by_second)) == (3, 3)
    level = [math.hypot(2, 1), math.hypot(8, 1)]
    to_top = level[0] + level[1] / 2  # halfway between the corner and the place
    over = math.hypot(to_top, 2.5 - 0.3) + math.hypot(sum(level) - to_top, 2.5 - 1.5)
    assert past[2] == pytest.approx(1000 * over - PLAIN, abs=1e-6)
    assert by_second[1] > by_second[0] > past[0]


def test_a_screen_too_low_for_the_way_round_is_not_in_its_way() -> None:
    low: tuple[Line, float] = ((6000.0, 100.0, 6000.0, 90_000.0), 500.0)
    assert ways_past_mm(screens(FIRST, low), SPOT, PLACE) == ways_past_mm(screens(FIRST), SPOT, PLACE)


def test_round_two_ends_where_that_is_shorter_than_over_the_second() -> None:
    """The second ends 1.95 m to the side, 50 mm short of where sound goes round it, and is 20 m high."""
    second: tuple[Line, float] = ((6000.0, -1950.0, 6000.0, 1950.0), 20_000.0)
    by_screen = ways_past_mm(screens(FIRST, second), SPOT, PLACE)
    assert len(by_screen) == 2
    near = by_screen[0][2]
    level = math.hypot(2, 1) + math.hypot(4, 1) + math.hypot(4, 2)
    assert near == pytest.approx(1000 * math.hypot(level, 1.2) - PLAIN, abs=1e-6)


def test_where_the_parapet_goes_on_as_high_the_end_is_shut() -> None:
    on: tuple[Line, float] = ((2000.0, 950.0, -90_000.0, 950.0), 1800.0)
    (past,) = ways_past_mm(screens(FIRST, on), SPOT, PLACE)
    (alone,) = ways_past_mm(screens(FIRST), SPOT, PLACE)
    assert len(alone) == 3
    # Left: over it, round its far end, and 90 m round the other.
    assert sorted(past)[:2] == pytest.approx(sorted(way for way in alone if way != alone[2]))
    assert max(past) > 80_000


def test_where_a_much_lower_parapet_goes_on_sound_passes_over_that() -> None:
    on: tuple[Line, float] = ((2000.0, 950.0, -90_000.0, 950.0), 1000.0)
    (past,) = ways_past_mm(screens(FIRST, on), SPOT, PLACE)
    (alone,) = ways_past_mm(screens(FIRST), SPOT, PLACE)
    assert alone[2] < past[2] < alone[2] + 500.0


def test_past_a_box_sound_goes_round_both_of_its_corners() -> None:
    """A planter 1 m wide and 0.8 m deep: round the near corner alone its own side is in the way."""
    ring = [(2000.0, -500.0), (2800.0, -500.0), (2800.0, 500.0), (2000.0, 500.0)]
    sides = [((*a, *b), 1200.0) for a, b in zip(ring, [*ring[1:], ring[0]], strict=True)]
    by_screen = ways_past_mm(screens(*sides), SPOT, (3200.0, 0.0, 300.0))
    assert all(len(past) == 3 for past in by_screen)


@settings(max_examples=40, deadline=None)
@given(st.floats(200, 9000), st.floats(0, 4000), st.floats(300, 3000))
def test_a_longer_or_higher_screen_never_lets_more_through(half: float, more: float, top: float) -> None:
    def taken(length: float, height: float) -> float:
        return taken_db(screens(((2000.0, -length, 2000.0, length), height)))

    assert taken(half + more, top) >= taken(half, top) - 1e-9
    assert taken(half, top + more) >= taken(half, top) - 1e-9


spots = st.integers(-90, 90).map(lambda n: 100.0 * n + 3)
lines = st.tuples(spots, spots, spots, spots).filter(lambda one: math.dist(one[:2], one[2:]) > 300)
walls = st.tuples(lines, st.sampled_from([500.0, 1200.0, 2500.0]))


@settings(max_examples=50, deadline=None)
@given(walls, walls)
def test_a_second_screen_never_lets_more_through(
    first: tuple[Line, float], second: tuple[Line, float]
) -> None:
    assert taken_db(screens(first, second)) >= taken_db(screens(first)) - 1e-9
    assert taken_db(screens(first, second)) >= taken_db(screens(second)) - 1e-9


@settings(max_examples=50, deadline=None)
@given(st.lists(walls, min_size=1, max_size=4))
def test_sound_goes_back_the_way_it_came(each: list[tuple[Line, float]]) -> None:
    found = screens(*each)
    there, back = ways_past_mm(found, SPOT, PLACE), ways_past_mm(found, PLACE, SPOT)
    assert [sorted(past) for past in there] == [pytest.approx(sorted(past), abs=1e-6) for past in back]
    assert all(way >= -1e-6 for past in there for way in past)
