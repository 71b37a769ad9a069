"""Spreading of sound after ISO 9613-2:1996: four speakers, sums and distances worked by hand."""

import math

import pytest

from app.job.plan import Speaker
from app.takeoff.roughin.levels import HALF_SPACE_DB, level_at_db


def speaker(x_mm: float, level_at_1_m_db: float, power_w: float = 1.0) -> Speaker:
    return Speaker(
        id="S", circuit="C", x_mm=x_mm, y_mm=0, z_mm=0, power_w=power_w, sensitivity_db=level_at_1_m_db
    )


@pytest.mark.parametrize(("metres", "level_db"), [(6, 69.437), (9, 65.915), (12, 63.416), (15, 61.478)])
def test_one_speaker_of_85_db_falls_with_distance(metres: float, level_db: float) -> None:
    assert level_at_db([speaker(metres * 1000, 85.0)], (0, 0, 0)) == pytest.approx(level_db, abs=5e-4)


def test_four_speakers_sum_to_72_119_db() -> None:
    four = [speaker(metres * 1000, 85.0) for metres in (6, 9, 12, 15)]
    assert level_at_db(four, (0, 0, 0)) == pytest.approx(72.119, abs=5e-4)


def test_87_db_with_4_w_is_93_0206_db() -> None:
    assert level_at_db([speaker(1000, 87.0, 4.0)], (0, 0, 0)) == pytest.approx(93.0206, abs=5e-5)


def test_a_hard_floor_adds_what_lies_between_the_two_spreadings() -> None:
    """10 log10(4π) − 10 log10(2π) = 10.9921 − 7.9818 dB."""
    assert pytest.approx(10 * math.log10(4 * math.pi) - 7.9818, abs=5e-5) == HALF_SPACE_DB
