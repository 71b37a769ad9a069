"""The cash of a job as planned: every cent goes out once and comes in once, on a day of the plan."""

from dataclasses import replace
from decimal import Decimal

import pytest

from app.actions.cash import cash_view
from app.actions.database import Database
from app.actions.price import save_rules, shop
from app.actions.records import StaffMember
from app.actions.takeoff import work_out
from app.pricing.records import KINDS
from tests.actions.conftest import NOW

TODAY = NOW.date()


@pytest.mark.parametrize(
    ("tax_on", "taxed"),
    [("materials", ()), ("materials", ("material", "equipment")), ("contract", KINDS), ("none", ())],
)
def test_what_goes_out_is_the_direct_cost_and_what_comes_in_the_total(
    db: Database, owner: StaffMember, job_id: int, tax_on: str, taxed: tuple[str, ...]
) -> None:
    held = shop(db)
    save_rules(db, owner, held.version, replace(held.rules, tax_on=tax_on, taxed=taxed), NOW)  # type: ignore[arg-type]
    worked = work_out(db, job_id, TODAY)
    estimate, view = worked.answer.estimate, cash_view(worked, "")
    assert sum((day.out for day in view.days), Decimal(0)) == estimate.direct + estimate.contract_tax
    assert sum((day.into for day in view.days), Decimal(0)) == estimate.total
    assert view.left == estimate.contingency + estimate.overhead + estimate.profit


def test_the_balance_runs_day_by_day_and_the_deepest_is_its_lowest(db: Database, job_id: int) -> None:
    view = cash_view(work_out(db, job_id, TODAY), "")
    balance = Decimal(0)
    for day in view.days:
        balance += day.into - day.out
        assert day.balance == balance
        assert day.what
    assert [day.on for day in view.days] == sorted({day.on for day in view.days})
    assert view.deepest == min(day.balance for day in view.days)
    assert view.deepest_on in [day.on for day in view.days if day.balance == view.deepest]


def test_goods_are_paid_when_they_are_ordered(db: Database, job_id: int) -> None:
    worked = work_out(db, job_id, TODAY)
    by_day = {day.on: day.what for day in cash_view(worked, "").days}
    bought = {line.item for line in worked.answer.estimate.lines if line.kind == "material" and line.cost}
    ordered = [order for order in worked.answer.days.orders if order.item in bought]
    assert ordered
    assert all(order.item in by_day[order.order_by_on] for order in ordered)


def test_a_cap_on_the_deposit_leaves_the_firm_further_out_of_pocket(db: Database, job_id: int) -> None:
    worked = work_out(db, job_id, TODAY)
    free, capped = cash_view(worked, ""), cash_view(worked, "us-ca")
    assert capped.deepest <= free.deepest
    assert capped.left == free.left
