"""Rounding to the cent, and sharing a sum."""

from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from app.pricing.money import exact, share_out, to_cents


@pytest.mark.parametrize(
    ("amount", "cents"), [("0.005", "0.01"), ("0.004999", "0.00"), ("2.675", "2.68"), ("-0.005", "-0.01")]
)
def test_half_a_cent_is_rounded_away_from_zero(amount: str, cents: str) -> None:
    assert to_cents(Decimal(amount)) == Decimal(cents)


def test_a_measured_amount_loses_the_dust_of_binary_arithmetic() -> None:
    assert exact(0.1 + 0.2) == Decimal("0.3")
    assert f"{exact(100.0)}" == "100"
    assert exact(-0.0) == 0


@pytest.mark.parametrize("amount", [float("nan"), float("inf")])
def test_what_is_no_number_is_refused(amount: float) -> None:
    with pytest.raises(ValueError, match="not an amount"):
        exact(amount)


@settings(max_examples=50, deadline=None)
@given(st.integers(0, 10**8), st.lists(st.integers(0, 10**6), min_size=1, max_size=12))
def test_shares_sum_exactly_and_lie_within_a_cent_of_their_weight(cents: int, weights: list[int]) -> None:
    total = Decimal(cents) / 100
    shares = share_out(total, [Decimal(weight) for weight in weights])
    assert sum(shares) == total
    if any(weights):
        ideal = [total * weight / sum(weights) for weight in weights]
        assert all(abs(share - part) < Decimal("0.01") for share, part in zip(shares, ideal, strict=True))


def test_equal_remainders_go_to_the_earlier_one() -> None:
    assert share_out(Decimal(2), [Decimal(1)] * 4, Decimal(1)) == (1, 1, 0, 0)


@pytest.mark.parametrize(("total", "weights"), [("-1", ["1"]), ("1", ["-1"]), ("1", []), ("0.001", ["1"])])
def test_what_cannot_be_shared_is_refused(total: str, weights: list[str]) -> None:
    with pytest.raises(ValueError, match=r"shared|share among"):
        share_out(Decimal(total), [Decimal(weight) for weight in weights])
