"""Amounts and days as people type them."""

from decimal import Decimal

import pytest

from app.web.forms.plain import as_day, as_decimal


@pytest.mark.parametrize(
    ("typed", "amount"),
    [
        ("12.50", "12.50"),
        ("$1,234.50", "1234.50"),
        ("41,50", "41.50"),
        ("1 200", "1200"),
        ("1,200", "1200"),
        ("€ 3", "3"),
    ],
)
def test_an_amount_is_read_as_it_is_commonly_typed(typed: str, amount: str) -> None:
    assert as_decimal(typed) == Decimal(amount)


@pytest.mark.parametrize("typed", ["", "cheap", "NaN", "Infinity", "1e999", "12.5.1", "--3"])
def test_what_is_no_amount_is_none(typed: str) -> None:
    assert as_decimal(typed) is None


@pytest.mark.parametrize("typed", ["", "2026-13-01", "1 May", "2026-02-30"])
def test_what_is_no_day_is_none(typed: str) -> None:
    assert as_day(typed) is None
