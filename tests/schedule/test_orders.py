"""What to order, and by when."""

from datetime import date
from decimal import Decimal

import pytest

from app.schedule.calendars import calendar_for
from app.schedule.orders import buffer_for, late_findings, order_lines
from app.schedule.records import Calendar, OrderLine
from tests.shop_builders import PLAIN_WEEK, TODAY, an_estimate, small_shop


def orders(needed_on: date, today: date = TODAY, calendar: Calendar = PLAIN_WEEK) -> dict[str, OrderLine]:
    answer = an_estimate()
    items = {item.item: item for item in small_shop().items}
    needed = dict.fromkeys(items, needed_on)
    return {o.item: o for o in order_lines(answer.lines, items, needed, calendar, today)}


@pytest.mark.parametrize(("lead", "buffer"), [(0, 2), (5, 2), (10, 2), (11, 3), (15, 3), (30, 6)])
def test_the_buffer_is_a_fifth_of_the_lead_time_and_at_least_two_days(lead: int, buffer: int) -> None:
    assert buffer_for(lead) == buffer


def test_order_by_counts_back_in_working_days() -> None:
    # Needed on Monday 8 June: 8 days lead and 2 buffer are two working weeks; 12 and 3 are three.
    found = orders(date(2026, 6, 8))
    assert found["PAD"].order_by_on == date(2026, 5, 25)
    assert found["LIGHT"].order_by_on == date(2026, 5, 18)


def test_a_holiday_moves_the_day_forward() -> None:
    # 25 May 2026 is Memorial Day.
    found = orders(date(2026, 6, 8), calendar=calendar_for("US-ME", [2026], (0, 1, 2, 3, 4)))
    assert found["PAD"].order_by_on == date(2026, 5, 22)


def test_packs_and_money_are_those_of_the_estimate() -> None:
    answer, found = an_estimate(), orders(date(2026, 6, 8))
    bought = [line for line in answer.lines if line.kind == "material"]
    assert sum(Decimal(order.cost) for order in found.values()) == answer.material
    assert sum(order.packs for order in found.values()) == sum(line.packs for line in bought)
    assert found["PAD"].packs == 8
    assert found["PAD"].cost == "176.00"


def test_an_order_is_late_from_the_day_after() -> None:
    assert not orders(date(2026, 6, 8), today=date(2026, 5, 25))["PAD"].is_late
    assert orders(date(2026, 6, 8), today=date(2026, 5, 26))["PAD"].is_late


def test_late_orders_are_told_supplier_by_supplier_with_the_day_they_would_come() -> None:
    today = date(2026, 5, 26)
    late = late_findings(tuple(orders(date(2026, 6, 8), today).values()), PLAIN_WEEK, today)
    assert len(late) == 1
    assert late[0].grade == "check"
    assert "LIGHT (needed 2026-06-08, ordered today it comes 2026-06-11)" in late[0].text
    assert late[0].value == 8.0
    assert not late_findings(tuple(orders(date(2026, 6, 8)).values()), PLAIN_WEEK, TODAY)
