"""Laws of cutting: every piece exactly once, on a stick it fits, at a cost the bound cannot beat."""

from decimal import Decimal

from hypothesis import given, settings
from hypothesis import strategies as st

from app.job.choices import Cutting, StockLength
from app.takeoff.totals.profile_cut import cut_profile, stock_costs
from app.takeoff.totals.records import CutPlan
from app.takeoff.totals.strips import CutPiece, nest_rips

STOCK = (
    StockLength(item="A-2400", length_mm=2400),
    StockLength(item="A-12FT", length_mm=3657.6),
    StockLength(item="A-4800", length_mm=4800),
)
PRICES = {"A-2400": Decimal("9.10"), "A-12FT": Decimal("14.00"), "A-4800": Decimal("19.70")}
BOARD_MM = 140.0

lengths_mm = st.floats(min_value=40, max_value=4790, allow_nan=False)
pieces = st.lists(st.tuples(lengths_mm, st.floats(min_value=15, max_value=BOARD_MM)), min_size=1, max_size=25)
cuttings = st.builds(
    Cutting, kerf_mm=st.sampled_from([0.0, 2.5, 3.0, 3.175]), end_trim_mm=st.sampled_from([0.0, 10.0])
)


def cut(drawn: list[tuple[float, float]], cutting: Cutting, is_priced: bool = True) -> CutPlan:
    named = tuple(
        CutPiece(f"p{number}", "D1", length_mm, width_mm, is_ripped=width_mm < BOARD_MM)
        for number, (length_mm, width_mm) in enumerate(drawn)
    )
    offered = stock_costs(STOCK, PRICES if is_priced else {})
    return cut_profile("A", nest_rips(named, BOARD_MM, cutting.kerf_mm), offered, cutting)


@settings(max_examples=40, deadline=None)
@given(drawn=pieces, cutting=cuttings)
def test_every_piece_is_cut_exactly_once_at_its_length(
    drawn: list[tuple[float, float]], cutting: Cutting
) -> None:
    plan = cut(drawn, cutting)
    cut_pieces = [piece for stick in plan.sticks for piece in stick.pieces]
    cut_pieces += [(name, length_mm) for stick in plan.sticks for name, _, length_mm in stick.beside]
    assert sorted(cut_pieces) == sorted((f"p{n}", length_mm) for n, (length_mm, _) in enumerate(drawn))


@settings(max_examples=40, deadline=None)
@given(drawn=pieces, cutting=cuttings)
def test_every_stick_holds_its_pieces_with_kerf_and_trim(
    drawn: list[tuple[float, float]], cutting: Cutting
) -> None:
    widths = {f"p{number}": width_mm for number, (_, width_mm) in enumerate(drawn)}
    for stick in cut(drawn, cutting).sticks:
        used_mm = sum(length_mm for _, length_mm in stick.pieces)
        used_mm += cutting.kerf_mm * (len(stick.pieces) - 1) + cutting.end_trim_mm
        assert used_mm <= stick.stock_mm + 1e-5
        assert 0 <= stick.left_mm <= stick.stock_mm - used_mm + 1e-5 or stick.left_mm == 0
        leads = dict(stick.pieces)
        for name, lead, length_mm in stick.beside:
            assert length_mm <= leads[lead] + 1e-9
            assert widths[name] + cutting.kerf_mm + widths[lead] <= BOARD_MM


@settings(max_examples=30, deadline=None)
@given(drawn=pieces, cutting=cuttings, is_priced=st.booleans())
def test_cost_is_what_the_sticks_cost_and_not_below_the_bound(
    drawn: list[tuple[float, float]], cutting: Cutting, is_priced: bool
) -> None:
    plan = cut(drawn, cutting, is_priced)
    bought = sum(float(PRICES[s.item]) if is_priced else s.stock_mm / 1000 for s in plan.sticks)
    assert abs(plan.cost - bought) < 1e-6
    assert plan.bound <= plan.cost
    assert plan.gap_pct >= 0
    assert plan.is_priced is is_priced
