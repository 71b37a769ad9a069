"""Two lamps 4 m apart and 0.6 m up: light point by point.

Source: inverse-square and cosine law, E = I h / (h² + x²)^1.5, worked separately; also 100 cd at 2 m.
"""

import math

import numpy as np
import pytest

from app.takeoff.roughin.beams import Lamp, lamp_at
from app.takeoff.roughin.illuminance import UP, illuminance_lx

EVEN = {0.0: (55.7369, 7.9852, 2.6362), 0.5: (25.3648, 6.2769, 2.4247), 1.0: (7.7320, 3.6698, 1.9340)}
COSINE = {0.0: (55.5825, 3.9749, 0.7575), 0.5: (19.3757, 2.8556, 0.6776), 1.0: (3.9166, 1.3598, 0.5012)}


def lamps(beam_deg: float) -> list[Lamp]:
    output = 20 * (4 * math.pi if beam_deg == 360 else math.pi)
    return [lamp_at(f"at {x}", (x, 0.0, 600.0), output_lm=output, beam_deg=beam_deg) for x in (0.0, 4000.0)]


@pytest.mark.parametrize(
    ("beam_deg", "table", "average", "uniformity"),
    [(360.0, EVEN, 14.7017, 0.1316), (120.0, COSINE, 11.7378, 0.0427)],
    ids=["20 cd all round: average 14.7017 lx, U0 0.1316", "20 cd cosine: average 11.7378 lx, U0 0.0427"],
)
def test_the_grid_of_two_lamps(
    beam_deg: float, table: dict[float, tuple[float, ...]], average: float, uniformity: float
) -> None:
    rows = []
    for y, (end, next_to, middle) in table.items():
        points = np.array([[x * 1000.0, y * 1000.0, 0.0] for x in range(5)])
        light = sum(illuminance_lx(lamp, points, UP) for lamp in lamps(beam_deg))
        assert light == pytest.approx([end, next_to, middle, next_to, end], abs=6e-5)
        rows.append(light)
    assert np.mean(rows) == pytest.approx(average, abs=6e-5)
    assert np.min(rows) / np.mean(rows) == pytest.approx(uniformity, abs=6e-5)


@pytest.mark.parametrize(
    ("x_m", "light"), list(enumerate((25.0, 17.8885, 8.8388, 4.2669, 2.2361))), ids=lambda v: f"{v:g}"
)
def test_100_cd_from_2_m(x_m: int, light: float) -> None:
    lamp = lamp_at("lamp", (0.0, 0.0, 2000.0), output_lm=400 * math.pi, beam_deg=360.0)
    found = illuminance_lx(lamp, np.array([[x_m * 1000.0, 0.0, 0.0]]), UP)
    assert found[0] == pytest.approx(light, abs=6e-5)
