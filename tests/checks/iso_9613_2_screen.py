"""What one screen takes, octave by octave.

Sources: ISO 9613-2:1996 equation 14 (C2 = 20, C3 = 1, Kmet 0.99241 for this case); Maekawa (1968) from
lecture notes; source 0.3 m high 2 m before a screen of 1.8 m, receiver 1.5 m high 8 m behind,
worked separately.
"""

import math

import numpy as np
import pytest

from app.takeoff.roughin.levels import iso_screen_db, maekawa_db, past_screen_db
from app.takeoff.roughin.screens import Screens
from app.takeoff.roughin.ways_past import ways_past_mm

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
    ((found, *round_ends),) = ways_past_mm(screen, (0.0, 0.0, 300.0), (10_000.0, 0.0, 1500.0))
    assert len(round_ends) == 2
    assert found / 1000 == pytest.approx(DETOUR_M, abs=5e-6)
    assert found == pytest.approx(1000 * (2.5 + math.hypot(8, 0.3) - math.hypot(10, 1.2)), abs=1e-6)


def test_round_an_end_is_the_way_past_its_edge_on_plan_and_up() -> None:
    """Ends 1 m and 9 m to the side: past the near one 2.236 + 8.062 m on plan, 1.2 m up; 50 mm clear."""
    screen = Screens(
        ("S",), np.array([[2000.0, -950.0, 2000.0, 8950.0]]), np.array([1800.0]), np.array([True])
    )
    ((_, near, far),) = ways_past_mm(screen, (0.0, 0.0, 300.0), (10_000.0, 0.0, 1500.0))
    plain = math.hypot(10, 1.2)
    for found, aside in ((near, 1), (far, 9)):
        level = math.hypot(2, aside) + math.hypot(8, aside)
        assert found / 1000 == pytest.approx(math.hypot(level, 1.2) - plain, abs=1e-6)


def test_three_ways_as_long_take_4_77_db_less_than_one() -> None:
    one = iso_screen_db(DETOUR_M, 500.0)
    assert past_screen_db([DETOUR_M] * 3, 500.0) == pytest.approx(one - 10 * math.log10(3))
    assert past_screen_db([], 500.0) == 0.0
    assert past_screen_db([0.0, 0.0, 0.0], 500.0) == pytest.approx(0.0, abs=0.01)
