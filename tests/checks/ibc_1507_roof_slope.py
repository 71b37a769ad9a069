"""IBC §1507 (low-slope membranes): ¼ in to the foot, which is 2.083 % and 1.19° (IBC §1611.2), not 2 %."""

import math

import pytest

from app.job import survey as s
from app.takeoff.roof.read_roof import read_roof
from tests.builders import a_job, a_plan, a_survey, choices

FOOT = 304.8
QUARTER_INCH_PER_FOOT = 0.25 / 12


def a_roof(rise: float) -> tuple[s.SpotHeight, ...]:
    """A roof 20 ft long that rises with y."""
    places = ((0, 0), (6000, 0), (6000, 20 * FOOT), (0, 20 * FOOT), (3000, 10 * FOOT))
    return tuple(
        s.SpotHeight(id=f"h{n}", x_mm=x, y_mm=y, z_mm=-400 + rise * y) for n, (x, y) in enumerate(places)
    )


def test_a_quarter_inch_per_foot_reads_as_2_0833_per_cent_and_1_19_degrees() -> None:
    reading = read_roof(a_job(a_survey(spot_heights=a_roof(QUARTER_INCH_PER_FOOT)), a_plan(deck_fields=())))
    assert reading.fall_pct == pytest.approx(2.0833, abs=5e-5)
    assert math.degrees(math.atan(reading.fall_pct / 100)) == pytest.approx(1.19, abs=5e-3)


@pytest.mark.parametrize(("rise", "inches"), [(QUARTER_INCH_PER_FOOT, 5.00), (0.02, 4.80)])
def test_a_level_deck_needs_taller_pads_at_the_drain_end(rise: float, inches: float) -> None:
    height = read_roof(a_job(a_survey(spot_heights=a_roof(rise)), a_plan(deck_fields=()))).height_mm
    assert (height(0.0, 20 * FOOT) - height(0.0, 0.0)) / 25.4 == pytest.approx(inches, abs=5e-4)


@pytest.mark.parametrize(
    ("rise", "limit", "is_low"),
    [
        (0.02, 2.0, False),
        (0.02, 100 * QUARTER_INCH_PER_FOOT, True),
        (QUARTER_INCH_PER_FOOT, 100 * QUARTER_INCH_PER_FOOT, False),
        (0.125 / 12, 2.0, True),  # ⅛ in to the foot, allowed for coal tar only
    ],
)
def test_two_per_cent_is_not_a_quarter_inch_per_foot(rise: float, limit: float, is_low: bool) -> None:
    limits = choices().limits.model_copy(update={"least_fall_pct": limit})
    job = a_job(a_survey(spot_heights=a_roof(rise)), a_plan(deck_fields=()), choices(limits=limits))
    assert any(finding.code == "roof.low-fall" for finding in read_roof(job).findings) is is_low
