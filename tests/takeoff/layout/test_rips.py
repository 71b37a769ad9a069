"""Boards across a width."""

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from app.takeoff.layout.rips import boards_across

WIDTHS = st.floats(10.0, 20000.0)
BOARDS = st.floats(60.0, 300.0)
GAPS = st.floats(0.5, 12.0)


@settings(max_examples=50, deadline=None)
@given(WIDTHS, BOARDS, GAPS)
def test_widths_and_gaps_add_up_to_the_width(width: float, board: float, gap: float) -> None:
    across = boards_across(width, board, gap)
    gaps = (across.count - 1) * gap
    one_rip = (across.count - 1) * board + across.last_mm + gaps
    assert one_rip == pytest.approx(width, abs=0.4)
    if across.count > 1:
        assert (across.count - 2) * board + 2 * across.edge_mm + gaps == pytest.approx(width, abs=0.4)


@settings(max_examples=50, deadline=None)
@given(WIDTHS, BOARDS, GAPS)
def test_balanced_edges_are_never_under_half_a_board_nor_over_a_whole_one(
    width: float, board: float, gap: float
) -> None:
    across = boards_across(width, board, gap)
    assert across.edge_mm <= board
    if across.count > 1:
        # An exact fit may be half a thirty-second of an inch short, and shares that by two.
        assert across.edge_mm >= board / 2 - gap / 2 - 0.4


@settings(max_examples=50, deadline=None)
@given(st.integers(1, 80), BOARDS, GAPS)
@example(10, 139.7, 3.175)
def test_an_exact_fit_never_becomes_one_board_more(count: int, board: float, gap: float) -> None:
    across = boards_across(count * board + (count - 1) * gap, board, gap)
    assert across.count == count
    assert across.edge_mm == pytest.approx(board)
    assert across.last_mm == pytest.approx(board)


@settings(max_examples=40, deadline=None)
@given(WIDTHS, BOARDS, GAPS, st.floats(0.0, 500.0))
def test_a_wider_deck_never_needs_fewer_boards(width: float, board: float, gap: float, more: float) -> None:
    assert boards_across(width + more, board, gap).count >= boards_across(width, board, gap).count


def test_nothing_goes_across_nothing() -> None:
    assert boards_across(0.0, 140.0, 5.0).count == 0
