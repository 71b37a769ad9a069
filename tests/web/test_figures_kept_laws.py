"""Figures that pages keep as text are the ones that would be written anew, whatever was written before."""

from datetime import date
from decimal import Decimal

from hypothesis import given, settings
from hypothesis import strategies as some

from app.web import page

_DECIMALS = some.decimals(-10_000, 10_000, allow_nan=False, places=2) | some.sampled_from(
    [Decimal("-0.00"), Decimal(0), Decimal("1"), Decimal("1.00"), Decimal("-0.001")]
)
_FLOATS = some.floats(-1e6, 1e6) | some.sampled_from([-0.0, 0.0, 1.0, -0.04, 0.5])


@settings(max_examples=50, deadline=None)
@given(some.lists(_DECIMALS | _FLOATS | some.integers(-9, 9), min_size=1), some.integers(0, 3))
def test_a_number_is_written_as_if_it_were_the_first(values: list[float | Decimal], digits: int) -> None:
    page.num.cache_clear()
    assert [page.num(value, digits) for value in values] == [
        page.num.__wrapped__(value, digits) for value in values
    ]


@settings(max_examples=50, deadline=None)
@given(some.lists(_DECIMALS, min_size=1), some.sampled_from(["USD", "EUR", "JPY"]))
def test_a_sum_is_written_as_if_it_were_the_first(values: list[Decimal], currency: str) -> None:
    page.money.cache_clear()
    page.cents.cache_clear()
    for value in values:
        assert page.money(value, currency) == page.money.__wrapped__(value, currency)
        assert page.cents(value) == page.cents.__wrapped__(value)


def test_nothing_has_no_sign() -> None:
    assert page.num(-0.04, 1) == page.num(Decimal("-0.04"), 1) == "0"
    assert page.money(Decimal("-0.00"), "USD") == "$0.00"
    assert page.cents(Decimal("-0.00")) == "0.00"


def test_a_day_is_written_as_if_it_were_the_first() -> None:
    for on in (date(2026, 11, 25), date(2026, 11, 26), date(2026, 11, 25)):
        assert page.short_day(on) == page.short_day.__wrapped__(on)
        assert page.month(on) == page.month.__wrapped__(on)
    assert page.day(date(2026, 11, 25)) == "Wed 25 Nov 2026"
