"""The running contract sum always adds up, whatever happens to the changes."""

from decimal import Decimal

from hypothesis import given, settings
from hypothesis import strategies as st

from app.agreement.contract_sum import ChangeAmount, contract_sum

STATES = ("verbal", "offered", "signed", "declined", "taken back")
sums = st.decimals(-1_000_000, 1_000_000, places=2, allow_nan=False)
changes = st.lists(
    st.builds(
        ChangeAmount,
        number=st.integers(1, 99),
        title=st.just("a change"),
        state=st.sampled_from(STATES),
        price_change=sums,
        days_change=st.integers(-20, 20),
    ),
    max_size=12,
)


@given(sums, changes)
@settings(max_examples=50, deadline=None)
def test_base_and_signed_changes_are_the_total_and_nothing_else_is(
    base: Decimal, rows: list[ChangeAmount]
) -> None:
    whole = contract_sum(base, rows)
    signed = [row for row in rows if row.state == "signed"]
    assert whole.total == base + sum((row.price_change for row in signed), Decimal(0))
    assert whole.total == whole.base + whole.signed
    assert whole.days_change == sum(row.days_change for row in signed)
    assert set(whole.unsigned) == {row.number for row in rows if row.state in ("verbal", "offered")}


@given(sums, changes, changes)
@settings(max_examples=50, deadline=None)
def test_it_runs_on_from_where_it_stood(
    base: Decimal, first: list[ChangeAmount], later: list[ChangeAmount]
) -> None:
    halfway = contract_sum(base, first)
    assert contract_sum(halfway.total, later).total == contract_sum(base, [*first, *later]).total


@given(sums, changes)
@settings(max_examples=50, deadline=None)
def test_only_a_signature_moves_it(base: Decimal, rows: list[ChangeAmount]) -> None:
    unsigned = [row for row in rows if row.state != "signed"]
    assert contract_sum(base, unsigned).total == base
