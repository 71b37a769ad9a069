"""What share of the days of a task weather takes: by its month, and by whether it stands outdoors."""

from dataclasses import replace
from datetime import date

import pytest

from app.schedule.calendars import calendar_for
from app.schedule.records import Task
from app.schedule.weather_share import weather_shares
from app.schedule.work_rules import WorkRules

# Two days lost in May 2026, which has 20 working days (21 weekdays less one holiday); five in November (19).
RULES = WorkRules(lost_days=(0, 0, 0, 0, 2, 0, 0, 0, 0, 0, 5, 0))
CALENDAR = calendar_for("US-ME", [2026], (0, 1, 2, 3, 4))
MAY, JUNE, NOVEMBER = date(2026, 5, 18), date(2026, 6, 1), date(2026, 11, 9)
BOARDS = Task("boards", "Boards", "boards", 3, 24.0, (), False, (), "crew")


def test_a_day_is_lost_as_often_as_in_the_month_the_task_starts_in() -> None:
    shares = weather_shares(RULES, CALENDAR, [(BOARDS, MAY), (BOARDS, JUNE), (BOARDS, NOVEMBER)])
    assert shares == (pytest.approx(2 / 20), 0.0, pytest.approx(5 / 19))


def test_work_indoors_and_what_has_no_hours_goes_on_in_any_weather() -> None:
    indoors = replace(BOARDS, code="fit-out", phase="fit-out")
    a_visit = replace(BOARDS, code="inspection", phase="", hours_h=0.0, is_hold_point=True)
    assert weather_shares(RULES, CALENDAR, [(indoors, MAY), (a_visit, MAY)]) == (0.0, 0.0)


def test_a_shop_that_set_no_lost_days_loses_none() -> None:
    assert weather_shares(WorkRules(), CALENDAR, [(BOARDS, MAY)]) == (0.0,)
