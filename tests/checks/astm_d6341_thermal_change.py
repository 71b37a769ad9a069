"""Thermal change of boards: α·L·ΔT as ASTM D6341 defines α; coefficients as printed in handbooks."""

import pytest

from app.takeoff.layout.end_gaps import end_gap_mm, run_rule, thermal_change_mm
from tests.builders import a_board, a_survey, choices

FAHRENHEIT = 1.8  # a difference: never add 32
# α [1/°C], then inches for 10 ft and 20 ft at a step of 100 °F, worked by hand and rounded to 0.001 in.
ROWS = {
    "cellular PVC, 32e-6 /°F (secondary pages)": (32e-6 * FAHRENHEIT, 0.384, 0.768),
    "wood-plastic, 40e-6 /°C (national evaluation report)": (40e-6, 0.267, 0.533),
    "EN 15534-4 maximum, 50e-6 /°C (secondary page)": (50e-6, 0.333, 0.667),
    "aluminium, 13.1e-6 /°F (handbook)": (13.1e-6 * FAHRENHEIT, 0.157, 0.314),
    "steel, 6.5e-6 /°F (from memory)": (6.5e-6 * FAHRENHEIT, 0.078, 0.156),
    "wood along the grain, 1.9e-6 /°F (handbook)": (1.9e-6 * FAHRENHEIT, 0.023, 0.046),
}


@pytest.mark.parametrize("material", ROWS)
def test_growth_over_100_f_matches_the_row(material: str) -> None:
    expansion, ten_feet, twenty_feet = ROWS[material]
    for feet, inches in ((10, ten_feet), (20, twenty_feet)):
        change = thermal_change_mm(feet * 304.8, expansion, 100 / FAHRENHEIT)
        assert change / 25.4 == pytest.approx(inches, abs=6e-4)  # the rows are rounded to 0.001 in
        assert end_gap_mm(feet * 304.8, expansion, 100 / FAHRENHEIT, 0.0) == pytest.approx(change)


def test_the_full_range_of_the_test_method() -> None:
    # D6341 runs from −30 to 140 °F: 170 °F over 20 ft of 32e-6 /°F give 1.306 in.
    change = thermal_change_mm(20 * 304.8, 32e-6 * FAHRENHEIT, 170 / FAHRENHEIT)
    assert change / 25.4 == pytest.approx(1.306, abs=5e-4)


def test_halving_the_run_halves_the_movement_at_each_joint_not_the_sum() -> None:
    whole = thermal_change_mm(6096.0, 4e-5, 50.0)
    half = thermal_change_mm(3048.0, 4e-5, 50.0)
    assert half == pytest.approx(whole / 2)
    assert 2 * half == pytest.approx(whole)


def test_a_board_cools_shorter_by_what_it_grew() -> None:
    assert thermal_change_mm(3000.0, 5e-5, -40.0) == -thermal_change_mm(3000.0, 5e-5, 40.0)


def test_the_longest_run_is_the_greatest_gap_over_the_growth_per_length() -> None:
    survey = a_survey()
    board = a_board(expansion_per_c=1.2e-4, greatest_gap_mm=6.0)
    rule = run_rule(board, survey.temperatures, survey.way_up, choices().cutting, None)
    step = survey.temperatures.highest_c - survey.temperatures.fitting_c
    assert rule.limit_mm == pytest.approx(6.0 / (1.2e-4 * step))
    assert thermal_change_mm(rule.limit_mm, 1.2e-4, step) == pytest.approx(6.0)
