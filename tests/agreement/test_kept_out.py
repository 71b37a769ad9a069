"""Card and social security numbers are found however they are typed; other figures are none."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from app.agreement.kept_out import number_kept_out


def luhn(figures: str) -> str:
    """Add the check figure, by hand: double every other figure from the right."""
    total = 0
    for place, letter in enumerate(reversed(figures)):
        figure = int(letter) * (2 if place % 2 == 0 else 1)
        total += figure // 10 + figure % 10
    return figures + str(-total % 10)


@settings(max_examples=50, deadline=None)
@given(st.text("0123456789", min_size=12, max_size=18), st.sampled_from(["", " ", "-"]))
def test_every_number_that_proves_itself_is_a_card_number(figures: str, between: str) -> None:
    whole = luhn(figures)
    if len(set(whole)) > 1:
        spaced = between.join(whole[place : place + 4] for place in range(0, len(whole), 4))
        assert number_kept_out(f"Take it from {spaced}, please") == "card number"


@pytest.mark.parametrize("text", ["4111 1111 1111 1111", "my card: 5500-0000-0000-0004", "378282246310005"])
def test_published_test_cards_are_found(text: str) -> None:
    assert number_kept_out(text) == "card number"


@pytest.mark.parametrize(
    "text", ["078-05-1120", "SSN 078 05 1120", "social security no. 078051120", "SIN 046 454 286"]
)
def test_social_security_and_insurance_numbers_are_found(text: str) -> None:
    assert number_kept_out(text) == "social security number"


@pytest.mark.parametrize(
    "text",
    [
        "",
        "Call +1 207 555 0117 or 207-555-0142",
        "2026-11-25, 14:05",
        "Job 2026-002, revision 3, 17,284.14",
        "4111 1111 1111 1112",
        "0000 0000 0000 0000",
        "000-12-3456",
        "9f8b0e5aa13c4111111111111111d2",
        "No. 00000 (invented)",
    ],
)
def test_phones_dates_sums_and_fingerprints_are_let_through(text: str) -> None:
    assert number_kept_out(text) == ""
