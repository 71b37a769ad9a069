"""IEC 60228:2004, greatest resistance at 20 °C, class 5 plain copper (three secondary pages agree)."""

import pytest

from app.tables.conductors import resistance_ohm_km

ROWS = {
    "1.5 mm2": (13.3, 15.9134),
    "2.5 mm2": (7.98, 9.5481),
    "4 mm2": (4.95, 5.9227),
    "6 mm2": (3.30, 3.9484),
}


@pytest.mark.parametrize("size", ROWS, ids=lambda size: f"class 5 {size}")
def test_flexible_conductors_have_the_standard_resistance(size: str) -> None:
    at_20, at_70 = ROWS[size]
    assert resistance_ohm_km(size, 20.0) == pytest.approx(at_20, rel=1e-12)
    # The 70 °C column was worked with 1 + 0.00393·50; the standard's own factor differs by 1e-5.
    assert resistance_ohm_km(size, 70.0) == pytest.approx(at_70, rel=1e-4)
