"""Spots from two tapes, and the ways of runs that were laid elsewhere than planned."""

import math
from datetime import date

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from app.build.by_tape import BuiltWay, built_ways, measured_parts, spot_by_tape
from app.build.deviations import Deviation
from app.takeoff.roughin.records import Run

A, B = (0.0, 0.0), (6000.0, 0.0)
ROOF = (A, B, (6000.0, 4000.0), (0.0, 4000.0))
RUN = Run(
    id="steps-02",
    circuit="steps",
    kind="lighting",
    from_id="transformer",
    to_id="steps-b",
    path_mm=((500.0, 500.0), (500.0, 3000.0), (5000.0, 3000.0)),
    level_mm=7000.0,
    drop_mm=0.0,
    slack_mm=0.0,
    length_mm=7000.0,
    cable="low-voltage",
    size="2 × 2.5 mm²",
    sticks_crossed=0,
)


def built(words: str) -> BuiltWay | None:
    noted = {RUN.id: Deviation(RUN.id, words, "Ada", date(2026, 6, 3))}
    return built_ways([RUN], noted, (A, B), ROOF).get(RUN.id)


@settings(max_examples=50, deadline=None)
@given(st.floats(0, 6000), st.floats(0, 4000), st.floats(0, 2 * math.pi), st.booleans())
def test_two_tapes_give_back_the_spot_they_were_measured_to(
    x: float, y: float, turn: float, is_mirrored: bool
) -> None:
    """The way back from `set_out`, for a roof turned or turned over."""

    def at(spot: tuple[float, float]) -> tuple[float, float]:
        u, v = spot[0], -spot[1] if is_mirrored else spot[1]
        return u * math.cos(turn) - v * math.sin(turn), u * math.sin(turn) + v * math.cos(turn)

    a, b, spot, inner = at(A), at(B), at((x, y)), at((3000.0, 2000.0))
    found = spot_by_tape(math.dist(a, spot), math.dist(b, spot), (a, b), inner)
    assert math.dist(found, spot) < 1.0  # a tape of 6 m near the line of the corners: a rounding grows


def test_a_run_goes_straight_over_the_spots_measured_in_their_order() -> None:
    """3.6, 4.8 and 6.0 m are 3, 4 and 5, a square angle: 2.16 m along the line of the corners, 2.88 m off."""
    way = built("A 3.6 m, B 4.8 m; under the bench; A 4.8 m, B 3.6 m")
    assert way is not None
    assert not way.fault
    assert way.spots_mm == (pytest.approx((2160, 2880)), pytest.approx((3840, 2880)))
    assert way.way_mm == ((500.0, 500.0), *way.spots_mm, (5000.0, 3000.0))
    lengths = math.dist((500, 500), (2160, 2880)) + 1680 + math.dist((3840, 2880), (5000, 3000))
    assert way.more_mm == pytest.approx(lengths - 7000)


@pytest.mark.parametrize(
    "words", ["A 12' 0\", B 12' 0\"", "a 12', b 12'", "A 3657.6 mm B 3.6576 m", "A 12-0 , B 144 in"]
)
def test_tapes_are_read_as_any_length_is(words: str) -> None:
    way = built(words)
    assert way is not None
    assert way.spots_mm[0] == pytest.approx((3000, math.sqrt(3657.6**2 - 3000**2)))


@pytest.mark.parametrize(
    ("words", "said"),
    [
        ("A 1 m, B 2 m", "do not meet: the corners are 6.00 m apart"),
        ("A 9 m, B 1 m", "do not meet"),
        ("A 3.10, B 2.20", "do not meet"),
        ("A 3 m", "should read: A, a length, B, a length"),
        ("A 3 furlongs, B 2 m", "cannot be read"),
        ("A 9 m, B 9 m", "lies off the roof"),
        ("A 4 m, B 4 m; A 1 m, B 1 m", "do not meet"),
    ],
)
def test_what_cannot_be_drawn_says_why_and_draws_nothing(words: str, said: str) -> None:
    way = built(words)
    assert way is not None
    assert said in way.fault
    assert way.way_mm == ()


def test_tapes_that_fail_to_meet_by_what_a_hand_gets_wrong_meet_on_the_line() -> None:
    assert spot_by_tape(2980.0, 2990.0, (A, B), (0.0, 1.0)) == pytest.approx((2995.0, 0.0), abs=10)


@pytest.mark.parametrize("words", ["under the west bench", "A bit to the left", "a 3rd of the way; B"])
def test_words_alone_are_not_drawn(words: str) -> None:
    assert built(words) is None or "should read" in (built(words) or BuiltWay("", (), (), 0, "")).fault
    assert measured_parts("under the west bench") == ()


def test_runs_nobody_noted_have_no_way_of_their_own() -> None:
    assert built_ways([RUN], {}, (A, B), ROOF) == {}
