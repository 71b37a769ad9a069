"""Figures set by hand are never silent and can be taken back; lines sum to the total under every rounding."""

from dataclasses import replace
from datetime import date
from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from app.pricing.estimate import estimate_quantities
from app.pricing.job_pricing import NOTHING_SET, AddedLine, JobPricing, Override
from app.pricing.money import share_out
from app.pricing.records import Estimate
from app.pricing.rule_parts import ROUNDINGS, Rounding
from tests.shop_builders import SMALL_JOB, TODAY, small_shop


def priced(pricing: JobPricing = NOTHING_SET, rounding: Rounding = "cent") -> Estimate:
    return estimate_quantities(SMALL_JOB, small_shop(rounding=rounding), TODAY, pricing=pricing)


PLAIN = priced()
LINES = [line.id for line in PLAIN.lines]
overrides = st.builds(
    Override,
    line=st.sampled_from(LINES),
    field=st.sampled_from(["amount", "unit_price", "hours", "cost"]),
    value=st.decimals(min_value=Decimal("0.01"), max_value=Decimal(5000), places=2),
    reason=st.just("as agreed on site"),
)


@settings(max_examples=40, deadline=None)
@given(st.lists(overrides, max_size=4), st.sampled_from(list(ROUNDINGS)))
def test_lines_phases_and_steps_sum_to_the_total_under_every_rounding(
    chosen: list[Override], rounding: Rounding
) -> None:
    answer = priced(JobPricing(overrides=tuple(chosen)), rounding)
    assert sum(line.cost for line in answer.lines) + answer.purchase_tax == answer.direct
    assert sum(phase.price for phase in answer.phases) == answer.price
    assert answer.cost + answer.overhead + answer.profit == answer.price
    assert answer.price % ROUNDINGS[rounding] == 0
    shares = share_out(answer.price, [line.cost for line in answer.lines])
    assert sum(shares) == answer.price


@settings(max_examples=30, deadline=None)
@given(overrides)
def test_an_override_taken_back_leaves_everything_as_before(one: Override) -> None:
    set_by_hand = priced(JobPricing(overrides=(one,)))
    line = next(line for line in set_by_hand.lines if line.id == one.line)
    assert line.was == next(line.cost for line in PLAIN.lines if line.id == one.line)
    assert one.reason in line.reason
    assert priced(JobPricing(overrides=())) == PLAIN


def test_each_figure_that_can_be_set_moves_its_own_line() -> None:
    labour = next(line for line in PLAIN.lines if line.kind == "labour")
    bought = next(line for line in PLAIN.lines if line.kind == "material" and line.packs > 1)

    def cost(*chosen: Override) -> Decimal:
        found = priced(JobPricing(overrides=chosen)).lines
        return next(line.cost for line in found if line.id == chosen[0].line)

    assert cost(Override(labour.id, "hours", Decimal(10), "x")) == Decimal("457.60")  # 10 × 32 × 1.43
    assert cost(Override(labour.id, "unit_price", Decimal(50), "x")) == (labour.with_waste * 50).quantize(
        Decimal("0.01")
    )
    assert cost(Override(bought.id, "unit_price", Decimal(1), "x")) == bought.packs
    assert cost(Override(bought.id, "cost", Decimal("12.34"), "x")) == Decimal("12.34")
    more = cost(Override(bought.id, "amount", bought.net * 10, "x"))
    assert more > bought.cost * 9


def test_an_override_whose_line_is_gone_is_told() -> None:
    answer = priced(JobPricing(overrides=(Override("boards/none/1", "cost", Decimal(1), "old"),)))
    found = next(f for f in answer.findings if f.code == "pricing.override-without-line")
    assert found.grade == "check"
    assert "boards/none/1" in found.text
    assert answer.total == PLAIN.total


def test_a_quote_stands_in_the_price_and_its_last_day_is_watched() -> None:
    quote = AddedLine(
        "electrician", "subcontract", "rough-in", "Electrician", Decimal(900), "quote 14 of 2 May", TODAY
    )
    answer = priced(JobPricing(added=(quote,)))
    assert answer.subcontract - PLAIN.subcontract == 900
    assert not [f for f in answer.findings if f.code == "pricing.quote-run-out"]
    stale = replace(quote, valid_until_on=date(2026, 5, 3))
    assert [
        f.grade for f in priced(JobPricing(added=(stale,))).findings if f.code == "pricing.quote-run-out"
    ] == ["check"]


@pytest.mark.parametrize(
    ("rounding", "price"),
    [("cent", "29317.80"), ("one", "29318"), ("five", "29320"), ("ten", "29320"), ("fifty", "29300")],
)
def test_a_price_is_rounded_as_the_shop_says(rounding: Rounding, price: str) -> None:
    """The worked build-up of the handbook: 20 522.46 of cost over 0.70 is 29 317.80."""
    from app.pricing.build_up import DirectCost, build_up
    from tests.shop_builders import price_rules

    direct = DirectCost(
        labour=Decimal("5491.20"),
        material=Decimal("9800"),
        equipment=Decimal(650),
        subcontract=Decimal(2400),
        allowance=Decimal(420),
    )
    steps = build_up(direct, price_rules(rounding=rounding))
    assert steps.price == Decimal(price)
    assert steps.cost + steps.overhead + steps.profit == steps.price
