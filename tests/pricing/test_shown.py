"""Prices as a client is shown them: tax inside, the total leading, to the cent at every detail."""

from dataclasses import replace
from decimal import Decimal
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from app.job.errors import InputErrors
from app.pricing.book_file import read_rules
from app.pricing.estimate import estimate_quantities
from app.pricing.records import Estimate
from app.pricing.rule_parts import ROUNDINGS, TaxCode
from app.pricing.shown import has_tax_inside, shown_lines, shown_phases, shown_total
from tests.demo import shop_file
from tests.pricing.test_estimate_laws import AMOUNTS, with_amounts
from tests.shop_builders import SMALL_JOB, TODAY, small_shop

INSIDE: dict[str, Any] = {"tax_on": "contract", "tax_shown": "inside", "tax_pct": Decimal(20)}


def priced(**rules: Any) -> Estimate:
    return estimate_quantities(SMALL_JOB, small_shop(**rules), TODAY)


def test_twenty_per_cent_stand_in_each_phase_and_in_the_total() -> None:
    """One rate on everything: each phase is its price and a fifth of it, within the cent that is shared."""
    apart, inside = priced(**INSIDE | {"tax_shown": "apart"}), priced(**INSIDE)
    assert (inside.price, inside.contract_tax, inside.total) == (apart.price, apart.contract_tax, apart.total)
    assert inside.contract_tax == (inside.price / 5).quantize(Decimal("0.01"))
    assert shown_total(apart) == apart.price
    assert shown_total(inside) == inside.total
    assert dict(shown_phases(apart)) == {phase.phase: phase.price for phase in apart.phases}
    for phase, shown in shown_phases(inside):
        before = next(one.price for one in inside.phases if one.phase == phase)
        assert abs(shown - before * Decimal("1.2")) <= Decimal("0.02")


@settings(max_examples=40, deadline=None)
@given(AMOUNTS, st.sampled_from(sorted(ROUNDINGS)), st.booleans(), st.booleans())
def test_what_is_shown_sums_to_the_total_under_every_rounding_and_rate(
    amounts: list[float], rounding: str, is_mixed: bool, is_partial: bool
) -> None:
    rules = {**INSIDE, "rounding": rounding, "taxed": ("material", "equipment") if is_partial else ()}
    book = small_shop(**rules, tax_codes=(TaxCode("reduced", Decimal("5.5")),))
    if is_mixed:
        book = replace(book, items=tuple(replace(item, tax_code="reduced") for item in book.items[:2]))
    estimate = estimate_quantities(with_amounts(amounts), book, TODAY)
    for shown in (shown_phases(estimate), shown_lines(estimate)):
        if shown:
            assert sum((amount for _, amount in shown), Decimal(0)) == shown_total(estimate)
    assert sum((share.tax for share in estimate.taxes), Decimal(0)) == estimate.contract_tax
    assert shown_total(estimate) == estimate.total


@pytest.mark.parametrize("tax_on", ["materials", "none"])
def test_without_tax_on_the_contract_nothing_is_shown_inside(tax_on: str) -> None:
    estimate = priced(tax_on=tax_on, tax_shown="inside")
    assert not has_tax_inside(estimate)
    assert shown_total(estimate) == estimate.price == estimate.total


def test_the_rules_of_a_file_say_how_prices_are_shown() -> None:
    document = shop_file("rules.json")
    rules = {**document["rules"], "tax_on": "contract", "tax_shown": "inside"}
    assert read_rules(document).tax_shown == "apart"
    assert read_rules({"rules": rules}).tax_shown == "inside"
    for wrong in ({"tax_shown": "hidden"}, {"tax_on": "none"}):
        with pytest.raises(InputErrors, match="tax_shown"):
            read_rules({"rules": {**rules, **wrong}})
