"""Counting boards across a width: counted by hand in exact fractions of an inch, no published source."""

from fractions import Fraction
from math import ceil

import pytest

from app.takeoff.layout.lay_out import lay_out
from app.takeoff.layout.rips import boards_across
from app.takeoff.roof.read_roof import read_roof
from tests.builders import a_board, a_deck_field, a_job, a_plan, a_survey, choices, stock
from tests.takeoff.layout.shapes import rectangle

MM = 25.4  # exact, by definition of the inch
F = Fraction
# Width, board, gap [in] and the boards counted.
ROWS = (
    (F(144), F(11, 2), F(3, 16), 26),
    (F(144), F(11, 2), F(1, 8), 26),
    (F(192), F(11, 2), F(3, 16), 34),
    (F(192), F(11, 2), F(1, 8), 35),
    (F(120), F(43, 8), F(1, 4), 22),
    (F(449, 8), F(11, 2), F(1, 8), 10),  # an exact fit: not eleven
)


@pytest.mark.parametrize(("width", "board", "gap", "count"), ROWS, ids=str)
def test_the_count_is_the_one_of_exact_fractions(width: F, board: F, gap: F, count: int) -> None:
    assert ceil((width + gap) / (board + gap)) == count
    assert boards_across(float(width * F(254, 10)), float(board) * MM, float(gap) * MM).count == count


def test_twelve_feet_of_half_past_five_inch_boards_leave_the_rips_worked_by_hand() -> None:
    across = boards_across(144 * MM, 5.5 * MM, 3 / 16 * MM)
    assert across.last_mm / MM == pytest.approx(1 + 13 / 16)
    assert across.edge_mm / MM == pytest.approx(3 + 21 / 32)
    # 24 full boards, two rips and 25 gaps make up the 12 ft.
    assert 24 * 5.5 + 2 * (3 + 21 / 32) + 25 * 3 / 16 == 144.0


def test_a_deck_of_240_square_feet_takes_520_feet_of_boards_not_506() -> None:
    foot = 304.8
    board = a_board(width_mm=5.5 * MM, stock=stock("B", 6096))
    way_up = a_survey().way_up.model_copy(update={"longest_piece_mm": 20 * foot})
    field = a_deck_field(outline_mm=rectangle(20 * foot, 12 * foot), side_gap_mm=3 / 16 * MM)
    job = a_job(a_survey(way_up=way_up), a_plan(deck_fields=(field,)), choices(boards=(board,)))
    pieces = lay_out(job, read_roof(job)).pieces
    assert len(pieces) == 26
    assert sum(piece.length_mm for piece in pieces) / foot == pytest.approx(520.0)
    # Area over coverage, the shortcut this count replaces: 240 × 12 / (5½ + 3/16).
    assert pytest.approx(506.4, abs=0.05) == 240 * 12 / (5.5 + 3 / 16)
