"""When goods are first needed."""

from app.schedule.day_entries import first_needed
from app.schedule.plan_days import plan_quantities
from tests.shop_builders import (
    MONDAY,
    PLAIN_WEEK,
    SMALL_JOB,
    TODAY,
    TWO_PEOPLE,
    an_estimate,
    small_shop,
)


def test_goods_of_a_phase_without_work_are_needed_with_the_next_phase_that_has_some() -> None:
    # Screws alone are left of the boards: nobody lays any, so they are wanted when the planters begin.
    quantities = tuple(q for q in SMALL_JOB if q.basis not in ("deck.area", "carry.hours"))
    answer = an_estimate(quantities)
    plan = plan_quantities(quantities, answer, small_shop(), TWO_PEOPLE, PLAIN_WEEK, MONDAY, TODAY)
    starts = {planned.task.code: planned.start_on for planned in plan.tasks}
    assert "boards" not in starts
    needed = first_needed(plan.tasks, answer, plan.start_on)
    assert needed["SCREW"] == min(starts["walls"], starts["planters"])
    assert needed["PAD"] == starts["frame"]


def test_goods_without_any_work_after_them_are_needed_on_the_first_day() -> None:
    quantities = tuple(q for q in SMALL_JOB if q.basis == "boards.fasteners")
    answer = an_estimate(quantities)
    plan = plan_quantities(quantities, answer, small_shop(), TWO_PEOPLE, PLAIN_WEEK, MONDAY, TODAY)
    assert first_needed(plan.tasks, answer, plan.start_on) == {"SCREW": MONDAY}
