"""Payment stages."""

from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from app.agreement.stages import DEPOSIT_CAPS, cap_for_job, deposit_for, payment_stages
from app.pricing.records import PHASES, PhasePrice
from tests.shop_builders import an_estimate

CAPS = {cap.code: cap for cap in DEPOSIT_CAPS}
CENTS = st.integers(0, 10**7).map(lambda cents: Decimal(cents) / 100)


@settings(max_examples=50, deadline=None)
@given(
    st.lists(CENTS, min_size=len(PHASES), max_size=len(PHASES)),
    CENTS,
    st.integers(0, 50),
    st.integers(0, 50),
    st.sampled_from([None, *DEPOSIT_CAPS]),
)
def test_the_stages_sum_to_the_total_to_the_cent(
    prices: list[Decimal], total: Decimal, deposit: int, holdback: int, cap: object
) -> None:
    phases = [PhasePrice(p, price, price, 0.0) for p, price in zip(PHASES, prices, strict=True)]
    stages = payment_stages(total, phases, Decimal(deposit), Decimal(holdback), cap)  # type: ignore[arg-type]
    assert sum((stage.amount for stage in stages), Decimal(0)) == total
    assert all(stage.amount > 0 for stage in stages)


def test_the_stages_of_the_small_job_stand_in_the_order_of_the_work() -> None:
    answer = an_estimate()
    stages = payment_stages(answer.total, answer.phases, Decimal(10), Decimal(10))
    names = ["deposit", "frame", "rough-in", "boards", "built", "fit-out", "holdback"]
    assert [stage.code for stage in stages] == names


def test_nothing_is_paid_for_phases_that_the_job_does_not_have() -> None:
    phases = [PhasePrice("boards", Decimal(100), Decimal(100), 1.0)]
    stages = payment_stages(Decimal("100.00"), phases, Decimal(10), Decimal(5))
    assert [(stage.code, stage.amount) for stage in stages] == [
        ("deposit", Decimal("10.00")),
        ("boards", Decimal("85.00")),
        ("holdback", Decimal("5.00")),
    ]


def test_progress_is_never_paid_ahead_of_the_share_of_work_done() -> None:
    answer = an_estimate()
    stages = payment_stages(answer.total, answer.phases, Decimal(0), Decimal(0))
    by_hand = answer.total * sum(p.price for p in answer.phases if p.phase == "boards") / answer.price
    boards = next(stage.amount for stage in stages if stage.code == "boards")
    assert abs(boards - by_hand) <= Decimal("0.01")


@pytest.mark.parametrize(
    ("total", "share", "cap", "deposit"),
    [
        ("20000", "10", None, "2000.00"),
        ("20000", "10", "us-ca", "1000.00"),
        ("5000", "30", "us-ca", "500.00"),
        ("9999.99", "50", "us-ca", "999.99"),
        ("20000", "50", "us-ma", "6666.66"),
        ("3.00", "50", "us-ma", "1.00"),
        ("20000", "15", "ca-on", "2000.00"),
        ("0.05", "10", "us-ca", "0.00"),
    ],
)
def test_a_deposit_never_passes_its_cap(total: str, share: str, cap: str | None, deposit: str) -> None:
    found = deposit_for(Decimal(total), Decimal(share), CAPS[cap] if cap else None)
    assert found == Decimal(deposit)


def test_special_orders_may_be_asked_for_where_the_greater_counts() -> None:
    cap = cap_for_job(CAPS["us-ma"], Decimal(9000))
    assert deposit_for(Decimal(20000), Decimal(60), cap) == Decimal("9000.00")
    assert deposit_for(Decimal(20000), Decimal(60), cap_for_job(CAPS["us-ma"], Decimal(6000))) == Decimal(
        "6666.66"
    )


def test_deposit_and_holdback_past_the_total_are_refused() -> None:
    with pytest.raises(ValueError, match="more than the total"):
        payment_stages(Decimal(100), (), Decimal(60), Decimal(50))


def test_every_cap_says_where_it_comes_from_and_to_check_local_law() -> None:
    assert all(cap.source.endswith("check local law") and "2026" in cap.source for cap in DEPOSIT_CAPS)


def test_without_phases_all_but_the_deposit_falls_due_at_the_end() -> None:
    stages = payment_stages(Decimal("100.00"), (), Decimal(10), Decimal(5))
    assert [(stage.code, stage.amount) for stage in stages] == [
        ("deposit", Decimal("10.00")),
        ("holdback", Decimal("90.00")),
    ]
