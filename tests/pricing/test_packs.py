"""Whole packs over the job."""

from decimal import Decimal

from hypothesis import given, settings
from hypothesis import strategies as st

from app.pricing.packs import packs_by_line, packs_needed
from tests.shop_builders import a_price


def test_two_lines_of_one_item_share_the_packs_of_their_sum() -> None:
    packs = packs_by_line([("SCREW", Decimal(60)), ("SCREW", Decimal(60))], {"SCREW": a_price()})
    assert packs == (1, 1)
    packs = packs_by_line([("SCREW", Decimal(30)), ("SCREW", Decimal(60))], {"SCREW": a_price()})
    assert packs == (0, 1)


def test_different_items_are_rounded_apart() -> None:
    items = {"SCREW": a_price(), "NAIL": a_price("NAIL", pack=Decimal(7))}
    assert packs_by_line([("SCREW", Decimal(1)), ("NAIL", Decimal(15))], items) == (1, 3)


def test_a_full_pack_needs_no_second_one() -> None:
    assert packs_needed(Decimal(200), Decimal(100)) == 2


@settings(max_examples=50, deadline=None)
@given(st.lists(st.integers(1, 5000), min_size=1, max_size=8), st.integers(1, 400))
def test_packs_hold_the_need_and_never_a_whole_pack_more(needs: list[int], pack: int) -> None:
    items = {"SCREW": a_price(pack=Decimal(pack))}
    packs = packs_by_line([("SCREW", Decimal(need)) for need in needs], items)
    assert 0 <= sum(packs) * pack - sum(needs) < pack
    assert all(count == int(count) >= 0 for count in packs)
