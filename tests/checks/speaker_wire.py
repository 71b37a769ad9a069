"""Speaker wire: longest one-way lengths and losses, worked from NEC Chapter 9 Table 8 at 75 and 20 °C."""

import pytest

from app.tables.conductors import resistance_ohm_km
from app.takeoff.roughin.sound import wire_loss_db
from app.takeoff.roughin.voltages import loop_resistance_ohm

MM_PER_FT = 304.8
# Size, then longest feet at 8 ohm and 0.5 dB, and on 70.7 V lines of 30, 60 and 100 W: at 75 and 20 °C.
LONGEST_FT = [
    ("16 AWG", 8.0, 47.5, 57.8),
    ("16 AWG", 166.616, 989.2, 1202.9),
    ("14 AWG", 8.0, 75.5, 91.8),
    ("14 AWG", 83.308, 786.0, 955.8),
    ("12 AWG", 8.0, 119.7, 145.6),
    ("12 AWG", 49.985, 747.9, 909.5),
]
LOSSES_DB = [(8.0, 75.0, 1.0211), (4.0, 75.0, 1.9347), (8.0, 20.0, 0.8483), (4.0, 20.0, 1.6210)]


def loss_db(size: str, feet: float, impedance_ohm: float, conductor_c: float) -> float:
    ohm = loop_resistance_ohm(feet * MM_PER_FT, resistance_ohm_km(size, conductor_c))
    return wire_loss_db(ohm, impedance_ohm)


@pytest.mark.parametrize(("size", "impedance_ohm", "feet_hot", "feet_cool"), LONGEST_FT, ids=str)
def test_the_longest_runs_lose_half_a_decibel(
    size: str, impedance_ohm: float, feet_hot: float, feet_cool: float
) -> None:
    assert loss_db(size, feet_hot, impedance_ohm, 75.0) == pytest.approx(0.5, abs=1e-3)
    assert loss_db(size, feet_cool, impedance_ohm, 20.0) == pytest.approx(0.5, abs=1e-3)


@pytest.mark.parametrize(("impedance_ohm", "conductor_c", "printed_db"), LOSSES_DB, ids=str)
def test_100_ft_of_16_awg_lose_what_is_printed(
    impedance_ohm: float, conductor_c: float, printed_db: float
) -> None:
    assert loss_db("16 AWG", 100.0, impedance_ohm, conductor_c) == pytest.approx(printed_db, abs=5e-5)
