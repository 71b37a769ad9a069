"""From direct cost to total."""

from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from app.pricing.build_up import DirectCost, build_up
from app.pricing.labour import labour_rate
from tests.shop_builders import price_rules

CENTS = st.integers(0, 10**7).map(lambda cents: Decimal(cents) / 100)
SHARES = st.integers(0, 45).map(Decimal)


@settings(max_examples=50, deadline=None)
@given(CENTS, CENTS, SHARES, SHARES)
def test_cost_overhead_and_profit_sum_to_the_price(
    labour: Decimal, material: Decimal, overhead: Decimal, profit: Decimal
) -> None:
    steps = build_up(
        DirectCost(labour=labour, material=material), price_rules(overhead_pct=overhead, profit_pct=profit)
    )
    assert steps.cost + steps.overhead + steps.profit == steps.price
    assert steps.direct == labour + material + steps.purchase_tax
    assert steps.total == steps.price + steps.contract_tax


@settings(max_examples=50, deadline=None)
@given(CENTS, CENTS, st.sampled_from(["labour", "material", "equipment", "subcontract", "allowance"]))
def test_more_cost_never_makes_a_lower_price(before: Decimal, more: Decimal, kind: str) -> None:
    less = build_up(DirectCost(**{kind: before}), price_rules())
    greater = build_up(DirectCost(**{kind: before + more}), price_rules())
    assert greater.price >= less.price


@pytest.mark.parametrize(("overhead", "profit"), [(60, 40), (100, 0), (90, 20)])
def test_shares_that_leave_nothing_for_cost_are_refused(overhead: int, profit: int) -> None:
    rules = price_rules(overhead_pct=Decimal(overhead), profit_pct=Decimal(profit))
    with pytest.raises(ValueError, match="less than 100 %"):
        build_up(DirectCost(material=Decimal(1)), rules)


def test_tax_on_materials_is_a_cost_and_none_is_added_to_the_price() -> None:
    steps = build_up(DirectCost(labour=Decimal(100), material=Decimal(100)), price_rules())
    assert (steps.purchase_tax, steps.contract_tax) == (Decimal("8.00"), Decimal("0.00"))


def test_tax_on_the_contract_is_added_to_the_price() -> None:
    steps = build_up(DirectCost(material=Decimal(100)), price_rules(tax_on="contract"))
    assert steps.purchase_tax == 0
    assert steps.contract_tax == Decimal("12.00")
    assert steps.total == steps.price + 12


def test_no_tax_at_all() -> None:
    steps = build_up(DirectCost(material=Decimal(100)), price_rules(tax_on="none"))
    assert steps.purchase_tax == steps.contract_tax == 0


def test_nothing_costs_nothing() -> None:
    steps = build_up(DirectCost(), price_rules())
    assert (steps.total, steps.markup_pct, steps.margin_pct) == (0, 0, 0)


def test_an_hour_costs_the_wage_with_its_burden() -> None:
    assert labour_rate(price_rules()) == Decimal("45.76")
