"""The plan by day."""

from dataclasses import replace
from datetime import date

from app.schedule.calendars import calendar_for
from app.schedule.plan_days import plan_quantities
from app.schedule.records import Calendar, DayPlan, PlannedTask
from tests.shop_builders import (
    MONDAY,
    PLAIN_WEEK,
    SMALL_JOB,
    TODAY,
    TWO_PEOPLE,
    a_quantity,
    an_estimate,
    small_shop,
)


def a_plan_by_day(
    calendar: Calendar = PLAIN_WEEK, start_on: date = MONDAY, today: date = TODAY, people: int = 2
) -> DayPlan:
    crew = replace(TWO_PEOPLE, people=people)
    return plan_quantities(SMALL_JOB, an_estimate(), small_shop(), crew, calendar, start_on, today)


def task(plan: DayPlan, code: str) -> PlannedTask:
    return next(planned for planned in plan.tasks if planned.task.code == code)


def test_the_small_job_by_hand() -> None:
    plan = a_plan_by_day()
    days = {planned.task.code: (planned.start_on.day, planned.end_on.day) for planned in plan.tasks}
    # 6 h, 20 h, 30 h and 2 h by two people of 8 h; then two days of notice and the inspection.
    assert days["preparation"] == (8, 8)
    assert days["carry-up"] == (9, 10)
    assert days["frame"] == (11, 12)
    assert days["rough-in"] == days["drainage check"] == (15, 15)
    assert days["rough-in inspection"] == (18, 18)
    assert days["boards"] == (19, 22)
    assert task(plan, "walk-through").end_on == plan.end_on


def test_it_starts_on_the_next_working_day() -> None:
    assert a_plan_by_day(start_on=date(2026, 6, 6)).start_on == MONDAY


def test_a_day_entry_stands_for_every_working_day() -> None:
    plan = a_plan_by_day()
    on = [entry.on for entry in plan.days]
    assert on[0] == plan.start_on
    assert on[-1] == plan.end_on
    assert all(day.weekday() < 5 for day in on)
    assert len(on) == len({*on}) == 1 + sum(1 for _ in on[1:])
    waiting = [entry.on.day for entry in plan.days if not entry.tasks]
    assert waiting[:2] == [16, 17]


def test_the_hours_of_the_days_sum_to_the_hours_of_the_tasks_and_fill_no_day_twice() -> None:
    plan = a_plan_by_day()
    for planned in plan.tasks:
        code = planned.task.code
        noted = [
            hours
            for entry in plan.days
            for name, hours in zip(entry.tasks, entry.hours_h, strict=True)
            if name == code
        ]
        assert abs(sum(noted) - planned.task.hours_h) < 1e-6
        assert len(noted) == planned.task.days
    assert all(sum(entry.hours_h) <= 16 + 1e-6 for entry in plan.days)


def test_every_item_is_brought_once_on_the_day_it_is_needed() -> None:
    plan = a_plan_by_day()
    brought = [(item, entry.on) for entry in plan.days for item in entry.bring]
    assert sorted(brought) == sorted((order.item, order.needed_on) for order in plan.orders)


def test_hold_points_are_signed_on_their_day() -> None:
    plan = a_plan_by_day()
    signed = [code for entry in plan.days for code in entry.hold_points]
    assert signed == [p.task.code for p in plan.tasks if p.task.is_hold_point and p.task.code in signed]
    assert set(signed) == {p.task.code for p in plan.tasks if p.task.is_hold_point}


def test_the_reason_of_each_start_is_said() -> None:
    plan = a_plan_by_day()
    assert "first working day" in task(plan, "preparation").because
    assert task(plan, "frame").because == "Starts when “Carry up” is finished."
    assert "2 working days after “Rough-in”" in task(plan, "rough-in inspection").because
    assert task(plan, "boards").because.startswith("Work stops until “Rough-in seen")
    assert task(plan, "walls").because == "The crew is on “Lay the boards” until then."


def test_the_adhesive_holds_boards_back_when_nothing_else_does() -> None:
    quantities = tuple(q for q in SMALL_JOB if not q.basis.startswith(("light", "power", "gas")))
    plan = plan_quantities(
        quantities, an_estimate(quantities), small_shop(), TWO_PEOPLE, PLAIN_WEEK, MONDAY, TODAY
    )
    reason = task(plan, "boards").because
    assert "1 working day after “Set the frame”" in reason
    assert "adhesive" in reason


def test_the_critical_path_runs_from_the_first_day_to_the_last_without_float() -> None:
    plan = a_plan_by_day()
    chain = [task(plan, code) for code in plan.critical_path]
    assert chain[0].start_on == plan.start_on
    assert chain[-1].end_on == plan.end_on
    assert all(planned.is_critical and planned.float_days == 0 for planned in chain)
    assert all(planned.latest_end_on >= planned.end_on for planned in plan.tasks)


def test_a_holiday_is_kept_free() -> None:
    plan = a_plan_by_day(calendar_for("US-ME", [2026], (0, 1, 2, 3, 4)))
    assert all(entry.on != date(2026, 6, 19) for entry in plan.days)
    assert task(plan, "boards").start_on == date(2026, 6, 22)


def test_a_start_that_has_passed_is_a_check() -> None:
    codes = [f.code for f in a_plan_by_day(today=date(2026, 6, 9)).findings]
    assert "schedule.start-passed" in codes


def test_a_year_without_known_holidays_is_noted() -> None:
    codes = [f.code for f in a_plan_by_day().findings]
    assert "schedule.calendar-ends" in codes
    known = a_plan_by_day(calendar_for("US-ME", [2026], (0, 1, 2, 3, 4)))
    assert "schedule.calendar-ends" not in [f.code for f in known.findings]


def test_line_voltage_without_a_quote_is_a_check() -> None:
    quantities = (a_quantity("job.once", 1), a_quantity("power.outlets", 2))
    priced = an_estimate((a_quantity("job.once", 1),))
    plan = plan_quantities(quantities, priced, small_shop(), TWO_PEOPLE, PLAIN_WEEK, MONDAY, TODAY)
    found = [f for f in plan.findings if f.code == "schedule.no-licensed-trade"]
    assert len(found) == 1
    assert "licensed electrician" in found[0].text


def test_nothing_to_plan_is_a_stop() -> None:
    plan = plan_quantities((), an_estimate(()), small_shop(), TWO_PEOPLE, PLAIN_WEEK, MONDAY, TODAY)
    assert plan.findings[0].grade == "stop"
    assert plan.tasks == plan.days == plan.critical_path == ()
