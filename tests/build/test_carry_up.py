"""The carry-up by day and clock: everything goes up once, within the hours there are."""

from datetime import date
from itertools import pairwise

from hypothesis import given, settings
from hypothesis import strategies as st

from app.build.carry_up import carry_up, left_over
from app.takeoff.totals.records import Carry

MONDAY, TUESDAY = date(2027, 1, 4), date(2027, 1, 5)


def a_carry(*items: tuple[str, float, int], longest: tuple[tuple[str, float], ...] = ()) -> Carry:
    return Carry(sum(i[1] for i in items), 0.0, sum(i[2] for i in items), 0.0, items, longest)


def test_long_pieces_go_first_and_small_goods_last() -> None:
    carry = a_carry(
        ("small goods", 90.0, 2), ("stone", 200.0, 4), ("boards", 150.0, 4), longest=(("boards", 3600.0),)
    )
    steps = carry_up(carry, [(MONDAY, 10.0)], people=2)
    assert [step.item for step in steps] == ["boards", "stone", "small goods"]
    assert (steps[0].from_h, steps[0].until_h) == (8.0, 10.0)
    assert steps[-1].until_h == 13.0


def test_what_does_not_fit_a_day_goes_on_the_next_from_when_the_building_opens() -> None:
    carry = a_carry(("boards", 150.0, 4), ("stone", 200.0, 4))
    steps = carry_up(carry, [(MONDAY, 8.0), (TUESDAY, 8.0)], people=2, opens_h=9.0)
    assert [(step.on, step.from_h, step.item) for step in steps] == [
        (MONDAY, 9.0, "stone"),
        (TUESDAY, 9.0, "boards"),
    ]


items = st.lists(
    st.tuples(st.text("abcdef", min_size=1, max_size=6), st.floats(1, 500), st.integers(1, 20)),
    min_size=1,
    max_size=12,
    unique_by=lambda row: row[0],
)


@given(items, st.lists(st.floats(1, 30), min_size=1, max_size=4), st.integers(1, 5))
@settings(max_examples=50, deadline=None)
def test_everything_goes_up_once_in_the_hours_there_are(
    rows: list[tuple[str, float, int]], hours: list[float], people: int
) -> None:
    days = [(date(2027, 1, 4 + place), hour) for place, hour in enumerate(hours)]
    steps = carry_up(a_carry(*rows), days, people)
    assert sorted(step.item for step in steps) == sorted(row[0] for row in rows)
    assert sum(step.trips for step in steps) == sum(row[2] for row in rows)
    spent = sum(step.until_h - step.from_h for step in steps)
    assert abs(spent - sum(hours) / people) < 1e-6
    for before, after in pairwise(steps):
        assert before.on < after.on or (before.on == after.on and before.until_h <= after.from_h + 1e-9)


def test_nothing_is_carried_without_days_or_people() -> None:
    assert carry_up(a_carry(("boards", 1.0, 1)), [], 2) == ()
    assert carry_up(a_carry(("boards", 1.0, 1)), [(MONDAY, 8.0)], 0) == ()


def test_what_packs_hold_over_what_is_needed_is_left_over() -> None:
    assert left_over({"SCREW": 310.0, "BOARD": 12.0}, {"SCREW": 400.0, "BOARD": 12.0}) == {
        "SCREW": 90.0,
        "BOARD": 0.0,
    }
