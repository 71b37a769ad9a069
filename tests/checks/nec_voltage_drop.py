"""Line-voltage drop worked from NEC Chapter 9 Table 8 and IEC 60228; Class 2 figures from memory of 11(A)."""

import pytest

from app.job.survey import PowerPoint
from app.takeoff.roughin.lighting import class_2_limit_a
from app.takeoff.roughin.outlets import Draw, design_current_a, power
from tests.takeoff.roughin.site import cable, leg, site

# 12 A, 90 ft one way, 120 V, stranded, 75 °C.
DROPS = [
    ("14 AWG", 6.7824, 5.652),
    ("12 AWG", 4.2768, 3.564),
    ("10 AWG", 2.6784, 2.232),
    ("8 AWG", 1.6805, 1.400),
]


@pytest.mark.parametrize(("size", "drop_v", "drop_pct"), DROPS, ids=str)
def test_12_a_over_90_ft_drop_what_is_worked(size: str, drop_v: float, drop_pct: float) -> None:
    point = PowerPoint(id="panel", x_mm=0, y_mm=0, supply_v=120)
    legs = [leg("panel", "A", 90 * 304.8)]
    wired = power("C", None, point, [Draw("A", 1440.0, False)], legs, site(cable(size, "power")))
    assert wired.reading is not None
    assert 120 - wired.reading.devices[0].voltage_v == pytest.approx(drop_v, abs=5e-5)
    assert wired.reading.worst_drop_pct == pytest.approx(drop_pct, abs=5e-4)
    assert any(f.code == "roughin.voltage-drop" for f in wired.findings) == (drop_pct > 3)


def test_a_15_a_and_a_20_a_circuit_carry_12_and_16_a_all_day() -> None:
    assert design_current_a([Draw("A", 12 * 120.0, True)], 120.0) == pytest.approx(15.0)
    assert design_current_a([Draw("A", 16 * 120.0, True)], 120.0) == pytest.approx(20.0)


@pytest.mark.parametrize(("volts", "amps"), [(12.0, 5.0), (20.0, 5.0), (24.0, 4.1667), (30.0, 3.3333)])
def test_class_2_figures_are_those_of_table_11a(volts: float, amps: float) -> None:
    assert class_2_limit_a(volts) == pytest.approx(amps, abs=5e-5)
    assert class_2_limit_a(48.0) is None
