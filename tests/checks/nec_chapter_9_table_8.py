"""NFPA 70 (NEC) Chapter 9 Table 8, stranded uncoated copper, and its temperature note (secondary page)."""

import pytest

from app.tables.conductors import conductor, resistance_ohm_km

# ohm per 1000 ft at 75 °C as printed, then at 20, 25, 40, 60 °C worked from the table's own note.
ROWS = {
    "18 AWG": (7.95, 6.5377, 6.6661, 7.0513, 7.5648),
    "16 AWG": (4.99, 4.1035, 4.1841, 4.4259, 4.7482),
    "14 AWG": (3.14, 2.5822, 2.6329, 2.7850, 2.9879),
    "12 AWG": (1.98, 1.6283, 1.6602, 1.7562, 1.8841),
    "10 AWG": (1.24, 1.0197, 1.0397, 1.0998, 1.1799),
    "8 AWG": (0.778, 0.6398, 0.6524, 0.6900, 0.7403),
}
PRINTED_OHM_KM = {"18 AWG": 26.1, "16 AWG": 16.4, "14 AWG": 10.3, "12 AWG": 6.50}
SOLID_OHM_KFT = {"14 AWG": 3.07, "12 AWG": 1.93, "10 AWG": 1.21, "8 AWG": 0.764}


@pytest.mark.parametrize("size", ROWS, ids=lambda size: f"Table 8 {size}")
def test_resistance_follows_the_printed_table_and_its_temperature_note(size: str) -> None:
    for at_c, ohm_kft in zip((75, 20, 25, 40, 60), ROWS[size], strict=True):
        # Printed to four decimals of an ohm per 1000 ft.
        assert resistance_ohm_km(size, at_c) * 0.3048 == pytest.approx(ohm_kft, abs=6e-5)


@pytest.mark.parametrize("size", PRINTED_OHM_KM, ids=lambda size: f"Table 8 metric column {size}")
def test_the_metric_column_of_the_same_table_agrees_to_its_three_figures(size: str) -> None:
    assert conductor(size).base_ohm_km == pytest.approx(PRINTED_OHM_KM[size], rel=5e-3)


@pytest.mark.parametrize("size", SOLID_OHM_KFT, ids=lambda size: f"Table 8 solid column {size}")
def test_the_solid_column_is_not_taken_for_stranded(size: str) -> None:
    assert conductor(size).base_ohm_km * 0.3048 > SOLID_OHM_KFT[size] * 1.015


@pytest.mark.parametrize(
    ("size", "area_mm2"), [("18 AWG", 0.8230), ("14 AWG", 2.0809), ("8 AWG", 8.3656)], ids=str
)
def test_areas_follow_the_wire_gauge_of_astm_b258(size: str, area_mm2: float) -> None:
    gauge = int(size.split(maxsplit=1)[0])
    diameter_mm = 0.127 * 92 ** ((36 - gauge) / 39)
    assert conductor(size).area_mm2 == pytest.approx(3.14159265 / 4 * diameter_mm**2, rel=1e-4)
    assert conductor(size).area_mm2 == pytest.approx(area_mm2)
