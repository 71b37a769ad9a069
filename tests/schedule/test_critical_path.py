"""Early and late days of a network."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from app.schedule.critical_path import Activity, critical_path, in_order, longest_chain


@st.composite
def networks(draw: st.DrawFn) -> list[Activity]:
    count = draw(st.integers(1, 12))
    made = []
    for number in range(count):
        earlier = draw(st.lists(st.integers(0, number - 1), max_size=3, unique=True)) if number else []
        after = tuple((f"t{before}", draw(st.integers(0, 2))) for before in earlier)
        made.append(Activity(f"t{number}", draw(st.integers(0, 6)), after))
    return made


@settings(max_examples=50, deadline=None)
@given(networks())
def test_nothing_starts_before_what_it_waits_for(activities: list[Activity]) -> None:
    times = {each.code: each for each in critical_path(activities)}
    for activity in activities:
        for before, lag in activity.after:
            assert times[activity.code].early_start >= times[before].early_finish + lag
            assert times[activity.code].late_start >= times[before].late_finish + lag


@settings(max_examples=50, deadline=None)
@given(networks())
def test_float_is_never_negative_and_the_longest_chain_has_none(activities: list[Activity]) -> None:
    times = {each.code: each for each in critical_path(activities)}
    assert all(0 <= each.free_days <= each.float_days for each in times.values())
    assert all(times[code].float_days == 0 for code in longest_chain(activities))


@settings(max_examples=50, deadline=None)
@given(networks(), st.data())
def test_the_order_given_does_not_change_the_days(activities: list[Activity], data: st.DataObject) -> None:
    mixed = data.draw(st.permutations(activities))
    assert set(critical_path(mixed)) == set(critical_path(activities))


def test_a_slip_within_the_float_does_not_move_the_end() -> None:
    short = [Activity("a", 5), Activity("b", 2), Activity("c", 1, (("a", 0), ("b", 0)))]
    slipped = [Activity("a", 5), Activity("b", 5), Activity("c", 1, (("a", 0), ("b", 0)))]
    assert critical_path(short)[1].float_days == 3
    assert critical_path(slipped)[2].early_finish == critical_path(short)[2].early_finish


def test_a_ring_is_refused_and_named() -> None:
    with pytest.raises(ValueError, match="in a ring: a, b"):
        in_order([Activity("a", 1, (("b", 0),)), Activity("b", 1, (("a", 0),))])


def test_a_missing_forerunner_is_refused_and_named() -> None:
    with pytest.raises(ValueError, match="a waits for z"):
        in_order([Activity("a", 1, (("z", 0),))])


def test_a_code_used_twice_is_refused() -> None:
    with pytest.raises(ValueError, match="share a code"):
        in_order([Activity("a", 1), Activity("a", 2)])


def test_no_activities_have_no_chain() -> None:
    assert longest_chain([]) == ()
    assert critical_path([]) == ()
