"""Cutting over a whole job: one pool per profile, stock that gets up, prices or lengths."""

from decimal import Decimal

import pytest

from app.job.choices import Cutting
from app.takeoff.chain import take_off
from app.takeoff.totals import least_cost, master, whole_sticks
from app.takeoff.totals.cutting import CutList, cut_list
from app.takeoff.totals.stock_problem import StockProblem
from tests.builders import a_job, a_section, a_survey, choices, stock
from tests.takeoff.totals.by_hand import a_framing, a_layout, a_piece, a_stick

PRICES = {f"DECK-TMP-{length}": Decimal(length) / 200 for length in (2400, 3000, 3600, 4800)}
PRICES |= {f"SECTION-SP89-{length}": Decimal(length) / 300 for length in (2400, 3000, 3600, 4800)}


def cut_pieces(*pieces: object, prices: dict[str, Decimal] = PRICES, **cutting: float) -> CutList:
    job = a_job(materials=choices(cutting=Cutting(**cutting)))
    return cut_list(job, a_layout(pieces=pieces), a_framing(), prices)


def test_pieces_of_deck_wall_and_bench_share_a_board() -> None:
    cuts = cut_pieces(
        a_piece("D-1", 1500),
        a_piece("W-1", 1000, place="wall", role="cladding"),
        a_piece("B-1", 1000, place="bench", role="seat"),
    )
    (plan,) = cuts.plans
    assert [stick.item for stick in plan.sticks] == ["DECK-TMP-3600"]
    assert [name for name, _ in plan.sticks[0].pieces] == ["D-1", "B-1", "W-1"]
    assert plan.sticks[0].left_mm == pytest.approx(3600 - 3500 - 3 * 3)
    assert plan.cost == 18.0


def test_sleepers_rims_and_furring_of_one_section_share_a_length() -> None:
    framing = a_framing(
        sticks=(a_stick("S1", 1700), a_stick("R1", 1800, role="rim"), a_stick("F1", 90, place="wall"))
    )
    (plan,) = cut_list(a_job(), a_layout(), framing, PRICES).plans
    assert plan.profile == "sleeper"
    assert len(plan.sticks) == 1


def test_a_length_that_does_not_get_up_is_left_out_and_named() -> None:
    cuts = cut_pieces(a_piece("D-1", 2300), a_piece("D-2", 2300))
    assert {stick.stock_mm for stick in cuts.plans[0].sticks} == {2400}
    (note,) = [finding for finding in cuts.findings if finding.code == "totals.stock-not-carried"]
    assert note.grade == "note"
    assert "DECK-TMP-4800 (4800 mm)" in note.text
    assert note.limit == 3600


def test_a_piece_longer_than_all_stock_is_a_stop_and_the_rest_is_cut() -> None:
    cuts = cut_pieces(a_piece("D-1", 3601), a_piece("D-2", 3700), a_piece("D-3", 3600))
    (stop,) = [finding for finding in cuts.findings if finding.grade == "stop"]
    assert stop.code == "totals.piece-too-long"
    assert stop.text.startswith("D-2 and 1 more needs 3700 mm")
    assert (stop.place, stop.value, stop.limit) == ("deck", 3700, 3600)
    assert [stick.pieces for stick in cuts.plans[0].sticks] == [(("D-3", 3600),)]


def test_the_end_trim_shortens_what_a_board_gives() -> None:
    assert not cut_pieces(a_piece("D-1", 3590), end_trim_mm=10).findings[1:]
    (stop,) = [f for f in cut_pieces(a_piece("D-1", 3591), end_trim_mm=10).findings if f.grade == "stop"]
    assert stop.limit == 3590


def test_without_every_price_the_cutting_is_by_length_and_says_so() -> None:
    cuts = cut_pieces(a_piece("D-1", 2900), prices={"DECK-TMP-3000": Decimal("12")})
    assert not cuts.plans[0].is_priced
    assert cuts.plans[0].cost == 3.0
    (said,) = cuts.assumptions
    assert said.code == "totals.cut-by-length"
    assert "DECK-TMP-2400, DECK-TMP-3600" in said.text


def test_the_price_of_a_length_that_does_not_get_up_is_not_needed() -> None:
    prices = {item: price for item, price in PRICES.items() if item != "DECK-TMP-4800"}
    assert cut_pieces(a_piece("D-1", 2900), prices=prices).plans[0].is_priced


def test_a_price_of_nothing_counts_as_missing() -> None:
    assert (
        not cut_pieces(a_piece("D-1", 2900), prices=PRICES | {"DECK-TMP-3000": Decimal(0)}).plans[0].is_priced
    )


def test_stock_that_never_gets_up_whole_is_cut_on_the_ground() -> None:
    job = a_job(
        materials=choices(sections=(a_section(stock=stock("SECTION-SP89", 4800)),)),
        survey=a_survey(),
    )
    framing = a_framing(sticks=(a_stick("S1", 3600), a_stick("S2", 3700)))
    cuts = cut_list(job, a_layout(), framing, PRICES)
    assert [stick.pieces for stick in cuts.plans[0].sticks] == [(("S1", 3600),)]
    note, stop = cuts.findings
    assert cuts.plans[0].is_cut_below
    assert note.grade == "check"
    assert "to be cut on the ground" in note.text
    assert (stop.grade, stop.value, stop.limit) == ("stop", 3700, 3600)


def test_rips_that_share_a_board_are_told() -> None:
    cuts = cut_pieces(
        a_piece("D-1", 2300, width_mm=60.0, is_ripped=True),
        a_piece("D-2", 2000, width_mm=70.0, is_ripped=True),
    )
    (stick,) = cuts.plans[0].sticks
    assert stick.pieces == (("D-1", 2300),)
    assert stick.beside == (("D-2", "D-1", 2000),)
    assert cuts.assumptions[0].code == "totals.rips-share"
    assert "rips paired so" in cuts.plans[0].method


def test_nothing_to_cut_gives_no_plan() -> None:
    assert cut_list(a_job(), a_layout(), a_framing(), PRICES) == CutList((), (), ())


def test_first_fit_stands_in_when_the_solver_fails(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(master, "is_solved", lambda solver: False)
    monkeypatch.setattr(whole_sticks, "is_solved", lambda solver: False)
    problem = StockProblem((45, 36, 31, 14), (9, 61, 39, 21), (100,), (1.0,))
    answer = least_cost.cut_at_least_cost(problem)
    assert answer.method == least_cost.FIRST_FIT
    assert 0 < answer.bound <= answer.cost


def test_a_plan_below_its_bound_is_a_fault(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(least_cost, "certified_bound", lambda problem, worth: 1000.0)
    with pytest.raises(ArithmeticError, match="less than the bound"):
        least_cost.cut_at_least_cost(StockProblem((45, 36), (9, 61), (100,), (1.0,)))


def test_the_method_says_how_many_sticks_no_plan_can_do_without() -> None:
    plan = cut_pieces(*(a_piece(f"D-{n}", 1700) for n in range(7))).plans[0]
    assert "4 sticks, no plan has fewer than 4" in plan.method
    assert plan.gap_pct == pytest.approx(100 * (plan.cost / plan.bound - 1))


def test_what_is_too_long_is_told_in_the_jobs_own_units() -> None:
    way_up = a_survey().way_up.model_copy(update={"longest_piece_mm": 1000.0})
    job = a_job(a_survey(way_up=way_up)).model_copy(update={"units": "imperial"})
    told = [f.text for f in take_off(job, {}).totals.findings if f.limit == 1000.0]
    assert told
    assert all("3' 3 3/8\"" in text and " mm" not in text for text in told)
