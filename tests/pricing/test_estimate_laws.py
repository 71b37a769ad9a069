"""Laws of the estimate."""

from decimal import Decimal

from hypothesis import given, settings
from hypothesis import strategies as st

from app.pricing.estimate import estimate_quantities
from app.takeoff.totals.records import Quantity
from tests.shop_builders import SMALL_JOB, TODAY, a_quantity, small_shop

AMOUNTS = st.lists(st.floats(0, 500), min_size=len(SMALL_JOB), max_size=len(SMALL_JOB))
TAXES = st.sampled_from(["materials", "contract", "none"])


def with_amounts(amounts: list[float]) -> tuple[Quantity, ...]:
    return tuple(
        a_quantity(known.basis, amount, known.unit, known.item)
        for known, amount in zip(SMALL_JOB, amounts, strict=True)
    )


@settings(max_examples=50, deadline=None)
@given(AMOUNTS, TAXES)
def test_everything_sums_to_the_cent(amounts: list[float], tax_on: str) -> None:
    answer = estimate_quantities(with_amounts(amounts), small_shop(tax_on=tax_on), TODAY)
    assert sum((line.cost for line in answer.lines), Decimal(0)) + answer.purchase_tax == answer.direct
    assert sum((phase.cost for phase in answer.phases), Decimal(0)) == answer.direct
    assert sum((phase.price for phase in answer.phases), Decimal(0)) == answer.price
    assert answer.price + answer.contract_tax == answer.total
    assert all(line.cost == line.cost.quantize(Decimal("0.01")) for line in answer.lines)


@settings(max_examples=50, deadline=None)
@given(AMOUNTS, st.integers(0, len(SMALL_JOB) - 1), st.floats(0, 100))
def test_more_of_anything_never_costs_less(amounts: list[float], which: int, more: float) -> None:
    greater = list(amounts)
    greater[which] += more
    before = estimate_quantities(with_amounts(amounts), small_shop(), TODAY)
    after = estimate_quantities(with_amounts(greater), small_shop(), TODAY)
    assert after.total >= before.total


@settings(max_examples=20, deadline=None)
@given(AMOUNTS)
def test_pricing_twice_is_equal(amounts: list[float]) -> None:
    first = estimate_quantities(with_amounts(amounts), small_shop(), TODAY)
    assert first == estimate_quantities(with_amounts(amounts), small_shop(), TODAY)


@settings(max_examples=20, deadline=None)
@given(st.permutations(SMALL_JOB))
def test_the_order_of_quantities_does_not_change_the_total(quantities: list[Quantity]) -> None:
    answer = estimate_quantities(quantities, small_shop(), TODAY)
    assert answer.total == estimate_quantities(SMALL_JOB, small_shop(), TODAY).total
