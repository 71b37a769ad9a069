"""A photometric file of a matt disc, 100 cd straight down.

Source: own synthetic file in the form of LM-63-2019; every value follows from I = 100 cos θ cd, by hand.
"""

import math

import numpy as np
import pytest

from app.job.photometry import read_photometry
from app.takeoff.roughin.beams import Lamp, file_output_lm, intensity_cd, lamp_at
from app.takeoff.roughin.illuminance import UP, illuminance_lx
from tests.job.test_photometry import GOLDEN

FILE = read_photometry(GOLDEN)


def toward(theta_deg: float) -> np.ndarray:
    angle = math.radians(theta_deg)
    return np.array([[math.sin(angle), 0.0, -math.cos(angle)]])


def lamp(height_mm: float = 2000.0) -> Lamp:
    return lamp_at("lamp", (0.0, 0.0, height_mm), file=FILE)


@pytest.mark.parametrize(
    ("theta_deg", "candela"),
    [(0.0, 100.0), (45.0, 70.4416), (90.0, 0.0), (100.0, 0.0)],
    ids=["0 deg: 100 cd", "45 deg, straight between: 70.4416 cd", "90 deg: 0", "beyond the file: 0"],
)
def test_intensity_between_the_printed_angles(theta_deg: float, candela: float) -> None:
    assert intensity_cd(lamp(), toward(theta_deg))[0] == pytest.approx(candela, abs=5e-5)


@pytest.mark.parametrize(
    ("x_mm", "light"), [(0.0, 25.0), (2000.0, 6.2262)], ids=["nadir at 2 m: 25 lx", "2 m aside: 6.2262 lx"]
)
def test_light_on_the_deck(x_mm: float, light: float) -> None:
    found = illuminance_lx(lamp(), np.array([[x_mm, 0.0, 0.0]]), UP)
    assert found[0] == pytest.approx(light, abs=1e-4)


def test_the_zones_add_up_to_100_pi_lumens() -> None:
    assert file_output_lm(FILE) == pytest.approx(314.1592, abs=2e-3)


def test_an_even_100_cd_all_round_is_1256_64_lumens() -> None:
    text = GOLDEN.replace("0 10 20 30 40 50 60 70 80 90", "0 20 40 60 80 100 120 140 160 180")
    even = read_photometry(text[: text.index("50 49.2404")] + "50 " * 10)
    assert file_output_lm(even) == pytest.approx(1256.6371, abs=1e-3)
