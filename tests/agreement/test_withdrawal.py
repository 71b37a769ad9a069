"""The clock of the right to cancel."""

from datetime import date, timedelta

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from app.agreement.withdrawal import BLOCKED, PRESETS, add_months, clock, last_day, preset

DAYS = st.dates(date(2026, 1, 1), date(2028, 12, 31))
RULES = st.sampled_from(PRESETS)


@settings(max_examples=50, deadline=None)
@given(RULES, DAYS, st.lists(DAYS, max_size=5))
def test_a_holiday_more_never_shortens_the_right(rule: object, on: date, off: list[date]) -> None:
    assert last_day(rule, on, off) >= last_day(rule, on, [])  # type: ignore[arg-type]


@settings(max_examples=50, deadline=None)
@given(RULES, DAYS)
def test_signing_a_day_later_never_ends_the_right_earlier(rule: object, on: date) -> None:
    assert last_day(rule, on + timedelta(days=1), []) >= last_day(rule, on, [])  # type: ignore[arg-type]


def test_the_clock_runs_to_the_end_of_its_last_day() -> None:
    rule, signed = preset("us-federal"), date(2026, 7, 3)
    last = clock(rule, signed, [date(2026, 7, 4)], date(2026, 7, 8))
    assert (last.is_running, last.days_left, last.blocked) == (True, 1, BLOCKED)
    over = clock(rule, signed, [date(2026, 7, 4)], date(2026, 7, 9))
    assert (over.is_running, over.days_left, over.blocked) == (False, 0, ())


def test_a_client_who_was_not_told_has_longer_where_the_law_says_so() -> None:
    assert last_day(preset("gb"), date(2026, 7, 3), [], is_informed=False) == date(2027, 7, 17)
    assert last_day(preset("us-federal"), date(2026, 7, 6), [], is_informed=False) == date(2026, 7, 9)


def test_every_preset_has_its_own_code_a_source_and_a_warning() -> None:
    assert len({rule.code for rule in PRESETS}) == len(PRESETS)
    assert all("2026" in rule.source and rule.source.endswith("check local law") for rule in PRESETS)


def test_an_unknown_preset_is_told_with_those_known() -> None:
    with pytest.raises(KeyError, match="known are us-federal"):
        preset("mars")


@pytest.mark.parametrize(
    ("on", "months", "then"),
    [
        (date(2026, 1, 31), 1, date(2026, 2, 28)),
        (date(2028, 1, 31), 1, date(2028, 2, 29)),
        (date(2026, 12, 15), 1, date(2027, 1, 15)),
        (date(2026, 11, 30), 1, date(2026, 12, 30)),
        (date(2028, 2, 29), 12, date(2029, 2, 28)),
    ],
)
def test_months_are_added_without_running_into_the_next(on: date, months: int, then: date) -> None:
    assert add_months(on, months) == then
