"""IFGC 2018 Tables 402.4(2) (mostly from memory) and 402.4(28), against the NFPA 54 low-pressure equation."""

import pytest

from app.tables.gas import capacity_w, gas_pipe_rows

INSIDE_IN = {"1/2 in": 0.622, "3/4 in": 0.824, "1 in": 1.049}  # Schedule 40
FT_MM = 304.8
W_PER_BTU_H = 0.29307107


def equation_cfh(inside_in: float, length_ft: float, cr: float, drop_in: float = 0.5) -> float:
    """Solve D = Q^0.381 / (19.17 (ΔH / (Cr L))^0.206) for Q."""
    return (19.17 * (drop_in / (cr * length_ft)) ** 0.206 * inside_in) ** (1 / 0.381)


@pytest.mark.parametrize(
    "row", gas_pipe_rows("natural gas"), ids=lambda row: f"402.4(2) {row.size} {row.length_mm / FT_MM:.0f} ft"
)
def test_natural_gas_rows_lie_within_one_and_a_half_percent_of_the_equation(row) -> None:
    cfh = row.capacity_w / W_PER_BTU_H / 1000
    assert equation_cfh(INSIDE_IN[row.size], row.length_mm / FT_MM, 0.6094) == pytest.approx(cfh, rel=0.015)


@pytest.mark.parametrize(
    "row", gas_pipe_rows("propane"), ids=lambda row: f"402.4(28) {row.size} {row.length_mm / FT_MM:.0f} ft"
)
def test_propane_rows_lie_one_to_two_percent_under_the_equation(row) -> None:
    thousand_btu_h = row.capacity_w / W_PER_BTU_H / 1000
    by_equation = equation_cfh(INSIDE_IN[row.size], row.length_mm / FT_MM, 1.2462) * 2.516
    assert 1.013 < by_equation / thousand_btu_h < 1.021


@pytest.mark.parametrize(
    ("size", "length_ft", "cfh"),
    [("1/2 in", 30, 95), ("3/4 in", 30, 199), ("1/2 in", 45, 72), ("3/4 in", 60, 137), ("1/2 in", 10, 172)],
    ids=str,
)
def test_the_row_used_is_the_first_one_at_least_as_long(size: str, length_ft: float, cfh: float) -> None:
    found = capacity_w(size, length_ft * FT_MM, "natural gas")
    assert found == pytest.approx(cfh * 1000 * W_PER_BTU_H)


def test_a_pipe_longer_than_the_table_has_no_capacity_here() -> None:
    assert capacity_w("1 in", 101 * FT_MM, "natural gas") is None
    assert capacity_w("1 in", 51 * FT_MM, "propane") is None
