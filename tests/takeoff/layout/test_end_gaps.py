"""End gaps and the runs that they allow."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from app.takeoff.layout.breakers import even_split, find_breaks
from app.takeoff.layout.end_gaps import RunRule, end_gap_mm, run_rule
from tests.builders import a_board, a_plastic_board, a_survey, choices

SURVEY = a_survey()


def rule_of(board: object, asked: float | None = None) -> RunRule:
    return run_rule(board, SURVEY.temperatures, SURVEY.way_up, choices().cutting, asked)  # type: ignore[arg-type]


@settings(max_examples=40, deadline=None)
@given(st.floats(0, 8000), st.floats(0, 4000), st.floats(0, 9e-5), st.floats(-20, 60))
def test_a_longer_run_never_needs_a_smaller_gap(
    run: float, more: float, expansion: float, rise: float
) -> None:
    assert end_gap_mm(run + more, expansion, rise, 3.0) >= end_gap_mm(run, expansion, rise, 3.0) >= 3.0


def test_the_expansion_limits_the_run_so_that_the_gap_reaches_the_greatest_and_no_more() -> None:
    # 65e-6 × 45 °C = 2.925 mm/m: 8 mm are reached at 2735 mm, before the 3600 mm of the stock.
    rule = rule_of(a_plastic_board())
    assert rule.reason == "expansion"
    assert rule.limit_mm == pytest.approx(8.0 / (6.5e-5 * 45.0))
    assert rule.gap_mm(rule.limit_mm) == pytest.approx(8.0)


def test_wood_is_limited_by_what_can_be_carried_up() -> None:
    rule = rule_of(a_board())
    assert (rule.reason, rule.limit_mm) == ("stock", 3600.0)


def test_a_run_asked_for_counts_only_when_it_is_the_shorter() -> None:
    assert rule_of(a_board(), 2000.0).limit_mm == 2000.0
    assert rule_of(a_board(), 9000.0).limit_mm == 3600.0
    assert rule_of(a_plastic_board(), 3000.0).limit_mm == 3000.0  # asked for: the gap is checked instead
    assert rule_of(a_plastic_board(), 9000.0).limit_mm == 3600.0


def test_boards_fitted_on_the_hottest_day_get_the_least_gap() -> None:
    hottest = SURVEY.temperatures.model_copy(update={"fitting_c": 60.0})
    rule = run_rule(a_plastic_board(), hottest, SURVEY.way_up, choices().cutting, None)
    assert rule.gap_mm(3000.0) == 3.0
    assert rule.reason == "stock"


@settings(max_examples=40, deadline=None)
@given(st.floats(500, 30000), st.integers(1, 12), st.floats(0, 9e-3))
def test_an_even_split_adds_up_to_the_length(length: float, breakers: int, swell: float) -> None:
    rule = RunRule(3000.0, "plan", swell, 0.0, 3.0, 8.0)
    run, gap = even_split(length, breakers, 140.0, rule)
    if run > 0:
        assert (breakers + 1) * run + breakers * (140.0 + 2 * gap) == pytest.approx(length)
        assert gap == pytest.approx(max(3.0, swell * run))


@settings(max_examples=40, deadline=None)
@given(st.floats(400, 30000), st.floats(600, 6000))
def test_breakers_are_the_fewest_that_keep_every_run_within_the_limit(length: float, limit: float) -> None:
    rule = RunRule(limit, "plan", 1e-3, 0.0, 3.0, 8.0)
    breaks = find_breaks(np.array([[0.0, length]]), 140.0, rule)
    assert breaks.run_mm <= limit + 0.05
    if breaks.middles_mm:
        fewer, _ = even_split(length, len(breaks.middles_mm) - 1, 140.0, rule)
        assert fewer > limit
        assert breaks.middles_mm == pytest.approx([length - x for x in reversed(breaks.middles_mm)])


def test_a_long_board_is_run_at_half_its_length_with_one_breaker_between() -> None:
    # Common practice, no source: a 20 ft run becomes two of about 10 ft, so each joint sees half.
    rule = RunRule(20 * 304.8 - 1, "plan", 3.2e-5 * 55, 0.0, 3.0, 8.0)
    breaks = find_breaks(np.array([[0.0, 20 * 304.8]]), 140.0, rule)
    assert breaks.middles_mm == pytest.approx((10 * 304.8,))
    assert breaks.gap_mm == pytest.approx(rule.swell_per_mm * breaks.run_mm)
    assert breaks.gap_mm < rule.gap_mm(20 * 304.8) / 2
