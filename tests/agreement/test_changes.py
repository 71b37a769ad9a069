"""What differs between what was agreed and what stands now."""

from dataclasses import replace
from datetime import date
from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from app.agreement.changes import Answer, difference, sum_of_changes
from app.takeoff.totals.records import Quantity
from tests.shop_builders import SMALL_JOB, a_quantity, an_estimate


def an_answer(quantities: tuple[Quantity, ...] = SMALL_JOB, days: int = 20) -> Answer:
    return Answer(an_estimate(quantities), quantities, date(2026, 7, 6), days)


BEFORE = an_answer()


def test_nothing_differs_from_itself() -> None:
    change = difference(BEFORE, an_answer())
    assert change.is_empty
    assert change.phases == change.lines == change.quantities == ()


def test_one_more_outlet_is_told_in_money_and_quantity() -> None:
    more = tuple(replace(q, amount=3) if q.basis == "power.outlets" else q for q in SMALL_JOB)
    change = difference(BEFORE, an_answer(more, days=21))
    # 185.00 × 1.05 / 0.70
    assert change.total_change == Decimal("277.50")
    assert [(c.basis, c.then, c.now, c.change) for c in change.quantities] == [("power.outlets", 2, 3, 1)]
    assert [(c.id, c.change) for c in change.lines] == [("fit-out/power.outlets/1", 185)]
    assert (change.working_days_change, change.hours_change_h) == (1, 0.0)
    assert not change.is_empty


def test_what_is_new_and_what_is_gone_is_told() -> None:
    fewer = tuple(q for q in SMALL_JOB if q.basis != "bed.area")
    gone, new = difference(BEFORE, an_answer(fewer)), difference(an_answer(fewer), BEFORE)
    assert [(c.phase, c.now) for c in gone.phases if c.phase == "beds"] == [("beds", 0)]
    assert gone.quantities[0].now == new.quantities[0].then == 0.0
    assert gone.hours_change_h == -new.hours_change_h == -2.0


def test_a_later_end_alone_is_a_change() -> None:
    assert not difference(BEFORE, replace(BEFORE, end_on=date(2026, 7, 7))).is_empty


def test_two_currencies_are_not_compared() -> None:
    other = replace(BEFORE, estimate=replace(BEFORE.estimate, currency="EUR"))
    with pytest.raises(ValueError, match="cannot be compared"):
        difference(BEFORE, other)


@settings(max_examples=30, deadline=None)
@given(st.lists(st.floats(0, 90), min_size=len(SMALL_JOB), max_size=len(SMALL_JOB)))
def test_the_changes_of_the_phases_sum_to_the_change_of_the_price(amounts: list[float]) -> None:
    quantities = tuple(
        a_quantity(q.basis, amount, q.unit, q.item) for q, amount in zip(SMALL_JOB, amounts, strict=True)
    )
    now = an_answer(quantities)
    change = difference(BEFORE, now)
    assert sum((c.change for c in change.phases), Decimal(0)) == now.estimate.price - BEFORE.estimate.price
    back = difference(now, BEFORE)
    assert back.total_change == -change.total_change


def test_the_contract_sum_counts_what_both_have_signed() -> None:
    assert sum_of_changes(Decimal(1000), [Decimal(50), Decimal(-20)]) == 1030
