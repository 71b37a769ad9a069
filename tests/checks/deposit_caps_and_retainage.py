"""Deposits at their cap and money held back, reckoned by hand.

California BPC 7159.5 (from a copy): the lesser of 1,000 and ten per cent. Massachusetts c. 142A §2(a): a
third of the price, or the actual cost of special-order goods if that is greater. Ontario (the ministry's
advice, from a copy): ten per cent. Retainage: FAR 32.103: at most ten per cent of an approved amount, paid
at completion. Check local law.
"""

from decimal import Decimal

import pytest

from app.agreement.stages import DEPOSIT_CAPS, cap_for_job, deposit_for, payment_stages
from app.pricing.records import PhasePrice

CAPS = {cap.code: cap for cap in DEPOSIT_CAPS}


@pytest.mark.parametrize(
    ("code", "total", "deposit"),
    [
        # 10 % of 8,450.00 is 845.00, below 1,000.
        ("us-ca", "8450.00", "845.00"),
        # 10 % of 10,000.00 is 1,000.00: both are the same.
        ("us-ca", "10000.00", "1000.00"),
        # 10 % of 17,284.14 is 1,728.41: 1,000 holds.
        ("us-ca", "17284.14", "1000.00"),
        # A third of 17,284.14 is 5,761.38 exactly.
        ("us-ma", "17284.14", "5761.38"),
        # A third of 10,000.00 is 3,333.33 and a bit: never a cent more.
        ("us-ma", "10000.00", "3333.33"),
        # 10 % of 17,284.14 is 1,728.414.
        ("ca-on", "17284.14", "1728.41"),
    ],
    ids=lambda value: f"by-hand-{value}",
)
def test_half_the_price_asked_for_is_cut_to_the_cap(code: str, total: str, deposit: str) -> None:
    assert deposit_for(Decimal(total), Decimal(50), CAPS[code]) == Decimal(deposit)


def test_special_orders_beyond_a_third_may_be_asked_for() -> None:
    """A third of 12,000.00 is 4,000.00; special-order goods cost 5,250.00: that may be asked for.

    Half of 12,000.00 would be 6,000.00. Goods of 3,100.00 are less than the third, which then holds. The
    other regions' caps know no special orders.
    """
    total, asked = Decimal("12000.00"), Decimal(50)
    for cost, deposit in (("5250.00", "5250.00"), ("3100.00", "4000.00"), ("0", "4000.00")):
        assert deposit_for(total, asked, cap_for_job(CAPS["us-ma"], Decimal(cost))) == Decimal(deposit)
    assert deposit_for(total, asked, cap_for_job(CAPS["us-ca"], Decimal("5250.00"))) == Decimal("1000.00")
    assert cap_for_job(None, Decimal("5250.00")) is None


def test_ten_per_cent_are_held_back_to_the_end_and_the_stages_sum_to_the_contract() -> None:
    """20,000.00: deposit 1,000.00, held back 2,000.00, the rest of 17,000.00 by work of 3 : 1."""
    phases = [
        PhasePrice("frame", Decimal("7500.00"), Decimal("15000.00"), 0.0),
        PhasePrice("boards", Decimal("2500.00"), Decimal("5000.00"), 0.0),
    ]
    stages = payment_stages(Decimal("20000.00"), phases, Decimal(10), Decimal(10), CAPS["us-ca"])
    assert [(stage.code, stage.amount) for stage in stages] == [
        ("deposit", Decimal("1000.00")),
        ("frame", Decimal("12750.00")),
        ("boards", Decimal("4250.00")),
        ("holdback", Decimal("2000.00")),
    ]
