"""Snow and wind: ASCE 7-10, 7-16 and 7-22, by published worked values (secondary sources) and by hand.

Snow: ASCE 7-16 §7.3, pf = 0.7 Ce Ct Is pg with the low-slope least pm; a published example (pg 30: 21 psf).
Wind: 0.00256 Kz Kzt Kd V² psf; the published 24.46 psf (1170.5 Pa) at 115 mph, 15 ft, exposure C, Kz rounded
to 0.85, and 19.58 psf at 100 mph, Kz 0.90; Kz by its formula at 15 and 30 ft.
"""

import pytest

from app.job.survey import Snow, Wind
from app.takeoff.totals.weather import KPA_PER_PSF, roof_snow, wind_pressure

MPH = 0.44704


@pytest.mark.parametrize(
    ("ground_psf", "exposure", "thermal", "roof_psf"),
    [
        pytest.param(30, 1.0, 1.0, 21.0, id="ASCE 7-16 published example: pg 30 gives 21 psf"),
        pytest.param(40, 1.0, 1.0, 28.0, id="ASCE 7-16 §7.3: pg 40 gives 28 psf"),
        pytest.param(30, 0.9, 1.1, 20.79, id="ASCE 7-16 §7.3: pg 30, Ce 0.9, Ct 1.1 gives 20.79 psf"),
        pytest.param(25, 1.0, 1.2, 21.0, id="ASCE 7-16 §7.3: pg 25, Ct 1.2 gives 21 psf"),
        pytest.param(15, 1.0, 1.0, 15.0, id="ASCE 7-16 §7.3.4: pg 15 gives the least, 15 psf"),
        pytest.param(20, 1.0, 1.0, 20.0, id="ASCE 7-16 §7.3.4: pg 20 gives the least, 20 psf"),
        pytest.param(25, 1.0, 1.0, 20.0, id="ASCE 7-16 §7.3.4: pg 25 gives the least, 20 psf"),
    ],
)
def test_roof_snow_by_the_older_edition(
    ground_psf: float, exposure: float, thermal: float, roof_psf: float
) -> None:
    snow = Snow(
        ground_snow_kpa=ground_psf * KPA_PER_PSF,
        edition="ASCE 7-16",
        exposure_factor=exposure,
        thermal_factor=thermal,
        source="check",
    )
    assert roof_snow(snow).kpa / KPA_PER_PSF == pytest.approx(roof_psf, abs=0.005)


def test_the_newer_edition_takes_no_importance_factor_and_editions_are_named() -> None:
    snow = Snow(ground_snow_kpa=2.0, edition="ASCE 7-22", importance_factor=1.2, source="check")
    load = roof_snow(snow)
    assert load.kpa == pytest.approx(1.4)
    assert "ASCE 7-22" in load.source
    older = roof_snow(snow.model_copy(update={"edition": "ASCE 7-16"}))
    assert older.kpa == pytest.approx(1.68)


@pytest.mark.parametrize(
    ("exposure", "height_ft", "factor"),
    [
        pytest.param("C", 30, 0.982, id="ASCE 7-16 table 26.10-1: C at 30 ft, 0.98"),
        pytest.param("C", 15, 0.849, id="ASCE 7-16 table 26.10-1: C at 15 ft, 0.85"),
        pytest.param("C", 5, 0.849, id="ASCE 7-16: never below 15 ft"),
        pytest.param("B", 30, 0.701, id="ASCE 7-16 table 26.10-1: B at 30 ft, 0.70"),
        pytest.param("D", 30, 1.162, id="ASCE 7-16 table 26.10-1: D at 30 ft, 1.16"),
    ],
)
def test_the_height_factor(exposure: str, height_ft: float, factor: float) -> None:
    wind = Wind(
        wind_speed_m_s=40,
        edition="ASCE 7-16",
        exposure=exposure,
        roof_height_mm=height_ft * 304.8,
        directionality_factor=1.0,
        source="check",
    )
    assert wind_pressure(wind).kpa * 1000 / (0.613 * 40**2) == pytest.approx(factor, abs=0.0006)


@pytest.mark.parametrize(
    ("mph", "factor", "pressure_psf"),
    [
        pytest.param(115, 0.85, 24.46, id="published: 115 mph, Kz 0.85, Kd 0.85: 24.46 psf"),
        pytest.param(100, 0.90, 19.58, id="published: 100 mph, Kz 0.90, Kd 0.85: 19.58 psf"),
        pytest.param(115, 1.16, 33.38, id="published: 115 mph, Kz 1.16, Kd 0.85: 33.38 psf"),
    ],
)
def test_the_published_pressures(mph: float, factor: float, pressure_psf: float) -> None:
    wind = Wind(
        wind_speed_m_s=mph * MPH, edition="ASCE 7-16", exposure="C", roof_height_mm=4572, source="check"
    )
    own_factor = 2.01 * (15 / 900) ** (2 / 9.5)
    scaled = wind_pressure(wind).kpa / KPA_PER_PSF * factor / own_factor
    assert scaled == pytest.approx(pressure_psf, rel=0.002)


def test_the_newest_edition_leaves_the_directionality_factor_to_the_pressures() -> None:
    wind = Wind(wind_speed_m_s=50, edition="ASCE 7-22", exposure="C", roof_height_mm=9144, source="check")
    load = wind_pressure(wind)
    assert load.kpa == pytest.approx(0.613 * 0.98 * 2.5, rel=0.002)
    assert "Kd belongs to the pressures" in load.why
    without = wind_pressure(wind.model_copy(update={"directionality_factor": 0.5}))
    assert without.kpa == load.kpa


def test_an_older_edition_has_no_ground_elevation_factor() -> None:
    wind = Wind(
        wind_speed_m_s=50,
        edition="ASCE 7-10",
        exposure="C",
        roof_height_mm=9144,
        ground_elevation_factor=0.9,
        source="check",
    )
    newer = wind.model_copy(update={"edition": "ASCE 7-16"})
    assert wind_pressure(newer).kpa == pytest.approx(0.9 * wind_pressure(wind).kpa)
