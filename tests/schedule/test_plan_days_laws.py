"""Laws of the plan by day."""

from dataclasses import replace
from datetime import date, timedelta

from hypothesis import given, settings
from hypothesis import strategies as st

from app.schedule.plan_days import plan_quantities
from app.schedule.records import Calendar, DayPlan
from app.takeoff.totals.records import Quantity
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

JOBS = st.lists(st.floats(0, 60), min_size=len(SMALL_JOB), max_size=len(SMALL_JOB))
OFF = st.lists(st.integers(0, 60), max_size=8, unique=True)


def planned(amounts: list[float], off: list[int], people: int = 2) -> DayPlan:
    quantities: tuple[Quantity, ...] = tuple(
        a_quantity(known.basis, amount, known.unit, known.item)
        for known, amount in zip(SMALL_JOB, amounts, strict=True)
    )
    days_off = tuple((MONDAY + timedelta(days=day), "off") for day in sorted(off))
    calendar = Calendar(weekdays=PLAIN_WEEK.weekdays, days_off=days_off, region="")
    crew = replace(TWO_PEOPLE, people=people)
    return plan_quantities(quantities, an_estimate(quantities), small_shop(), crew, calendar, MONDAY, TODAY)


@settings(max_examples=40, deadline=None)
@given(JOBS, OFF)
def test_no_task_starts_before_what_it_waits_for_and_none_lies_on_a_day_off(
    amounts: list[float], off: list[int]
) -> None:
    plan = planned(amounts, off)
    ends = {each.task.code: each.end_on for each in plan.tasks}
    free = {MONDAY + timedelta(days=day) for day in off}
    for each in plan.tasks:
        assert all(each.start_on > ends[code] for code, _ in each.task.after)
        assert not {each.start_on, each.end_on} & free


@settings(max_examples=40, deadline=None)
@given(JOBS, OFF, st.integers(0, 60))
def test_a_day_taken_away_never_ends_the_job_earlier(amounts: list[float], off: list[int], day: int) -> None:
    before, after = planned(amounts, off), planned(amounts, sorted({*off, day}))
    assert after.end_on >= before.end_on
    assert len(after.days) == len(before.days)


@settings(max_examples=20, deadline=None)
@given(JOBS)
def test_planning_twice_is_equal(amounts: list[float]) -> None:
    assert planned(amounts, []) == planned(amounts, [])


@settings(max_examples=40, deadline=None)
@given(JOBS)
def test_the_crew_is_on_one_task_a_day(amounts: list[float]) -> None:
    plan = planned(amounts, [])
    assert all(entry.who.count("north") <= 1 for entry in plan.days)


@settings(max_examples=40, deadline=None)
@given(JOBS, st.integers(1, 4))
def test_orders_leave_lead_time_and_buffer(amounts: list[float], people: int) -> None:
    plan = planned(amounts, [], people)
    for order in plan.orders:
        assert order.order_by_on < order.needed_on
        assert order.is_late == (order.order_by_on < TODAY)
        assert plan.start_on <= order.needed_on <= plan.end_on
        assert order.needed_on - order.order_by_on >= timedelta(days=order.lead_days + 2)
    assert [order.order_by_on for order in plan.orders] == sorted(order.order_by_on for order in plan.orders)


def test_the_plan_is_the_same_from_any_day_that_is_no_working_day_before_it() -> None:
    saturday = date(2026, 6, 6)
    job, priced, shop = SMALL_JOB, an_estimate(), small_shop()
    first = plan_quantities(job, priced, shop, TWO_PEOPLE, PLAIN_WEEK, saturday, TODAY)
    assert first == plan_quantities(job, priced, shop, TWO_PEOPLE, PLAIN_WEEK, MONDAY, TODAY)
