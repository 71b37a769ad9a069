import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from app.takeoff.framing.bars import Bar
from app.takeoff.framing.splices import LEAST_STAGGER_MM, lengths_mm, spliced


def joints(lengths: tuple[float, ...]) -> list[float]:
    return [sum(lengths[:index]) for index in range(1, len(lengths))]


@given(length=st.floats(200, 30000), longest=st.sampled_from([2400.0, 3000.0, 3600.0, 4800.0]))
@settings(max_examples=50, deadline=None)
def test_pieces_sum_to_the_bar_fit_the_stock_and_are_staggered(length: float, longest: float) -> None:
    even, odd = lengths_mm(length, longest, is_odd=False), lengths_mm(length, longest, is_odd=True)
    for pieces in (even, odd):
        assert sum(pieces) == pytest.approx(length)
        assert max(pieces) <= longest + 1e-6
        if len(pieces) > 1:
            assert min(pieces) >= LEAST_STAGGER_MM - 1e-6
    for mine in joints(even):
        assert all(abs(mine - other) >= LEAST_STAGGER_MM - 1e-6 for other in joints(odd))


def test_a_bar_no_longer_than_the_stock_is_left_whole() -> None:
    bar = Bar("sleeper", (0, 0), (0, 3600), 89)
    assert spliced([bar], 3600.0) == (bar,)
    assert [round(piece.centre_mm) for piece in spliced([bar], 3000.0)] == [3000, 600]


def test_two_bars_of_a_pair_are_joined_at_the_same_places() -> None:
    pair = [Bar("breaker sleeper", (x, 0), (x, 7000), 38, pair=1) for x in (0, 48)]
    pieces = spliced(pair, 4800.0)
    assert [round(piece.centre_mm) for piece in pieces] == [4800, 2200, 4800, 2200]


def test_the_slant_of_a_long_bar_is_cut_on_its_last_piece() -> None:
    pieces = spliced([Bar("rim", (0, 0), (0, 5000), 89, extra_mm=44.5)], 3600.0)
    assert sum(piece.centre_mm + piece.extra_mm for piece in pieces) == pytest.approx(5044.5)
