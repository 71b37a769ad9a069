"""What one screen takes, octave by octave.

Sources: ISO 9613-2:1996 equation 14 (C2 = 20, C3 = 1, Kmet 0.99241 for this case); Maekawa (1968) from
lecture notes; source 0.3 m high 2 m before a screen of 1.8 m, receiver 1.5 m high 8 m behind,
worked separately.
"""

import math

import numpy as np
import pytest

from app.takeoff.roughin.levels import iso_screen_db, maekawa_db
from app.takeoff.roughin.screens import Screens, detour_mm

DETOUR_M, WEATHER = 0.433880, 0.99241
TABLE = [
    (63.0, 7.935, 6.624),
    (125.0, 9.722, 7.900),
    (250.0, 11.976, 9.700),
    (500.0, 14.552, 11.949),
    (1000.0, 17.328, 14.522),
    (2000.0, 20.216, 17.296),
    (4000.0, 23.163, 20.0),
]


@pytest.mark.parametrize(
    ("frequency_hz", "maekawa", "iso"), TABLE, ids=[f"{f:g} Hz: {m} / {i} dB" for f, m, i in TABLE]
)
def test_the_two_curves(frequency_hz: float, maekawa: float, iso: float) -> None:
    assert maekawa_db(DETOUR_M, frequency_hz) == pytest.approx(maekawa, abs=2e-3)
    assert iso_screen_db(DETOUR_M, frequency_hz, WEATHER) == pytest.approx(iso, abs=2e-3)
    assert iso_screen_db(DETOUR_M, frequency_hz) == pytest.approx(iso, abs=0.04)


def test_the_detour_over_the_screen() -> None:
    screen = Screens(("S",), np.array([[2000.0, -9e3, 2000.0, 9e3]]), np.array([1800.0]), np.array([True]))
    found = detour_mm(screen, (0.0, 0.0, 300.0), (10_000.0, 0.0, 1500.0))
    assert found / 1000 == pytest.approx(DETOUR_M, abs=5e-6)
    assert found == pytest.approx(1000 * (2.5 + math.hypot(8, 0.3) - math.hypot(10, 1.2)), abs=1e-6)
