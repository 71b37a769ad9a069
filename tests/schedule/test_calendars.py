"""Working days."""

from datetime import date

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from app.job.errors import InputError
from app.schedule.calendars import (
    add_working_days,
    calendar_for,
    is_working_day,
    subtract_working_days,
    working_days_from,
)
from app.schedule.records import Calendar

WEEK = (0, 1, 2, 3, 4)
DAYS = st.dates(date(2026, 1, 1), date(2027, 12, 31))


@pytest.mark.parametrize(
    ("region", "day"),
    [
        ("US-ME", date(2026, 4, 20)),
        ("GB-SCT", date(2026, 11, 30)),
        ("CA-ON", date(2026, 2, 16)),
        ("DE", date(2026, 10, 3)),
    ],
)
def test_a_holiday_of_the_region_is_not_worked(region: str, day: date) -> None:
    calendar = calendar_for(region, [2026], (0, 1, 2, 3, 4, 5))
    assert not is_working_day(calendar, day)


def test_a_holiday_of_another_region_is_worked() -> None:
    assert is_working_day(calendar_for("US-CA", [2026], WEEK), date(2026, 4, 20))


def test_an_observed_day_is_kept_as_well() -> None:
    days = dict(calendar_for("US-ME", [2026], WEEK).days_off)
    assert date(2026, 7, 3) in days
    assert date(2026, 7, 4) in days


def test_leave_is_added_under_its_name_and_all_is_sorted() -> None:
    calendar = calendar_for(
        "US-ME", [2026], WEEK, [(date(2026, 8, 7), "harbour day"), (date(2026, 7, 3), "x")]
    )
    days = dict(calendar.days_off)
    assert days[date(2026, 8, 7)] == "harbour day"
    assert days[date(2026, 7, 3)].endswith(", x")
    assert list(days) == sorted(days)


@pytest.mark.parametrize("region", ["XX", "", "US-ZZ", "us-me", "Maine"])
def test_an_unknown_region_is_told_with_what_would_do(region: str) -> None:
    with pytest.raises(InputError) as caught:
        calendar_for(region, [2026], WEEK)
    assert caught.value.path == "region"
    assert caught.value.value == region
    assert "US-ME" in caught.value.wanted or "Known are" in caught.value.wanted


@pytest.mark.parametrize("weekdays", [(), (7,), (-1, 2)])
def test_a_week_without_work_is_refused(weekdays: tuple[int, ...]) -> None:
    with pytest.raises(InputError, match="worked weekday"):
        calendar_for("US-ME", [2026], weekdays)


@settings(max_examples=50, deadline=None)
@given(DAYS, st.integers(0, 40))
def test_back_and_forth_comes_to_the_same_working_day(on: date, count: int) -> None:
    calendar = calendar_for("US-ME", [2025, 2026, 2027, 2028], WEEK)
    first = add_working_days(calendar, on, 0)
    later = add_working_days(calendar, first, count)
    assert is_working_day(calendar, later)
    assert subtract_working_days(calendar, later, count) == first


def test_counting_from_a_day_off_starts_at_the_next_working_day() -> None:
    calendar = calendar_for("US-ME", [2026], WEEK)
    assert working_days_from(calendar, date(2026, 7, 3), 2) == (date(2026, 7, 6), date(2026, 7, 7))
    assert subtract_working_days(calendar, date(2026, 7, 5), 0) == date(2026, 7, 2)


def test_a_calendar_without_working_days_is_refused() -> None:
    empty = Calendar(weekdays=(), days_off=(), region="")
    with pytest.raises(ValueError, match="No working day"):
        add_working_days(empty, date(2026, 1, 1), 1)
    with pytest.raises(ValueError, match="No working day"):
        subtract_working_days(empty, date(2026, 1, 1), 1)
