"""The build-up of a price, reckoned by hand.

Illustrative inputs, computed by hand: 120 h × 32.00 × 1.43; material 9 800.00 with 8 % tax paid on buying;
hoist 650.00; subcontracts 2 400.00; permit 420.00; contingency 5 %; overhead 20 % and profit 10 % of sales.
Markup and margin pairs: definition, m = g / (1 − g).
"""

from decimal import Decimal

import pytest

from app.pricing.build_up import DirectCost, build_up
from app.pricing.labour import labour_rate
from tests.shop_builders import price_rules

LABOUR = 120 * labour_rate(price_rules())
STEPS = build_up(
    DirectCost(
        labour=LABOUR,
        material=Decimal("9800.00"),
        equipment=Decimal("650.00"),
        subcontract=Decimal("2400.00"),
        allowance=Decimal("420.00"),
    ),
    price_rules(),
)


@pytest.mark.parametrize(
    ("step", "amount"),
    [
        ("purchase_tax", "784.00"),
        ("direct", "19545.20"),
        ("contingency", "977.26"),
        ("cost", "20522.46"),
        ("overhead", "5863.56"),
        ("profit", "2931.78"),
        ("price", "29317.80"),
    ],
    ids=lambda value: f"by-hand-{value}",
)
def test_every_step_of_the_worked_example_is_met_to_the_cent(step: str, amount: str) -> None:
    assert getattr(STEPS, step) == Decimal(amount)


def test_labour_of_the_worked_example() -> None:
    assert Decimal("5491.20") == LABOUR


def test_the_same_shares_as_a_markup_would_fall_short() -> None:
    assert STEPS.price - STEPS.cost * Decimal("1.30") == Decimal("2638.602")


@pytest.mark.parametrize(
    ("markup", "margin"),
    [
        ("11.11", 10),
        ("25.00", 20),
        ("33.33", 25),
        ("42.86", 30),
        ("66.67", 40),
        ("100.00", 50),
    ],
    ids=lambda value: f"definition-{value}",
)
def test_markup_and_margin_are_two_names_of_one_price(markup: str, margin: int) -> None:
    rules = price_rules(overhead_pct=Decimal(margin), profit_pct=Decimal(0), contingency_pct=Decimal(0))
    steps = build_up(DirectCost(labour=Decimal("1000000.00")), rules)
    assert (steps.markup_pct, steps.margin_pct) == (Decimal(markup), Decimal(f"{margin}.00"))


@pytest.mark.parametrize(
    ("markup", "margin"),
    [
        ("10", "9.09"),
        ("15", "13.04"),
        ("20", "16.67"),
        ("25", "20.00"),
        ("30", "23.08"),
        ("40", "28.57"),
        ("50", "33.33"),
        ("100", "50.00"),
    ],
    ids=lambda value: f"by-hand-{value}",
)
def test_a_markup_added_to_cost_is_the_smaller_margin(markup: str, margin: str) -> None:
    """m / (1 + m), reckoned by hand: a price with that margin shows that markup again."""
    share = Decimal(markup) / (100 + Decimal(markup)) * 100
    rules = price_rules(overhead_pct=share, profit_pct=Decimal(0), contingency_pct=Decimal(0))
    steps = build_up(DirectCost(labour=Decimal("1000000.00")), rules)
    assert (steps.markup_pct, steps.margin_pct) == (
        Decimal(markup).quantize(Decimal("0.01")),
        Decimal(margin),
    )
