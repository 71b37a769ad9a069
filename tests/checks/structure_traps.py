"""Traps of deck structure that no other check holds, each so that it cannot come back.

Sources: IPC chapter 11 by its own dimensions; ASCE 7-10, 7-16 and 7-22 as quoted in two trade magazines;
three-moment equation; one national evaluation report (40e-6 per °C printed as 22.2e-6 per °F).

The others stand elsewhere: wet service by Fb·CF, southern pine without CF, factors on E, sizes of before
the 1960s and values of before 2012 in nds_2018_lumber; the worst species in awc_dca6_deck_joists; a quarter
inch in a foot in ibc_1507_roof_slope; contact area in astm_c578_foam; exact fits in counting_boards_across.
"""

import json
from fractions import Fraction
from pathlib import Path

import pint
import pytest

from app.job.survey import Snow, Wind
from app.measure.services import read_per_c
from app.tables.materials import densities
from app.takeoff.framing.beams import reactions, span_moments, support_moments
from app.takeoff.framing.bearing import LEAST_SHARE, as_laid
from app.takeoff.framing.span_check import Case, Screen, allowed_spans_mm
from app.takeoff.framing.strength import member_of
from app.takeoff.totals.weather import KPA_PER_PSF, roof_snow, wind_pressure
from tests.builders import a_pad, a_section, a_survey, choices
from tests.demo import demo_job

ROOT = Path(__file__).resolve().parents[2]


def test_an_expansion_per_degree_fahrenheit_is_a_difference_and_never_meets_32() -> None:
    assert read_per_c("1.0e-6 /°F") == pytest.approx(1.8e-6)
    assert read_per_c("22.2e-6 /°F") == pytest.approx(40e-6, rel=2e-3)
    assert read_per_c("1.0e-6 /°C") == pytest.approx(1.0e-6)


def test_the_dimensions_give_0_0104_gallons_a_minute_for_an_inch_an_hour_and_not_0_014() -> None:
    units = pint.UnitRegistry()
    flow = (1.0 * units.foot**2 * units.inch / units.hour).to("gallon / minute").magnitude
    assert flow == pytest.approx(0.0104, abs=5e-5)
    assert flow * 1000 * 3 == pytest.approx(31.2, abs=0.05)  # 1000 ft² at 3 in/h
    assert flow != pytest.approx(0.014, rel=0.2)


def test_deflection_is_of_live_load_alone_whatever_lies_there_already() -> None:
    member = member_of(a_section(width_mm=38, depth_mm=140), is_repetitive=False)
    assert member is not None
    screen = Screen(
        member=member,
        pad=a_pad(),
        limits=choices().limits,
        membrane=a_survey().membrane,
        as_laid=as_laid([(600.0, 600.0)], 0.2),
    )
    light, heavy = (
        allowed_spans_mm(screen, Case("deck", total_kn_m=total, live_kn_m=1.0, duration=1.0))
        for total in (1.2, 5.0)
    )
    assert heavy["deflection"] == light["deflection"]
    assert heavy["bending"] < light["bending"]


def test_sagging_and_upward_are_positive_and_a_pattern_may_lift_a_sleeper() -> None:
    ones = [Fraction(1)] * 3
    assert all(moment < 0 for moment in support_moments(ones, ones)[1:-1])
    assert all(moment > 0 for moment in span_moments(ones, ones))
    assert all(force > 0 for force in reactions(ones, ones))
    middle_bare = [Fraction(1), Fraction(0), Fraction(0)]
    assert min(reactions(ones, middle_bare)) < 0


@pytest.mark.parametrize(
    ("every_span", "worst_pattern", "screened"),
    [
        pytest.param(0.080, 0.1013, 1 / 8, id="three spans, moment in a span"),
        pytest.param(1.10, 1.200, LEAST_SHARE, id="three spans, reaction"),
        pytest.param(0.00688, 0.00992, 5 / 384, id="three spans, deflection"),
    ],
)
def test_load_on_all_spans_understates_and_is_not_what_is_screened_with(
    every_span: float, worst_pattern: float, screened: float
) -> None:
    assert every_span < worst_pattern <= screened


def test_one_edition_of_wind_never_takes_the_factors_of_another() -> None:
    def pressure(edition: str, **changes) -> float:
        wind = {
            "wind_speed_m_s": 50.0,
            "edition": edition,
            "exposure": "C",
            "roof_height_mm": 9144.0,
            "source": "trap",
            **changes,
        }
        return wind_pressure(Wind(**wind)).kpa

    assert pressure("ASCE 7-16", directionality_factor=0.5) == pytest.approx(
        pressure("ASCE 7-16", directionality_factor=1.0) / 2
    )
    assert pressure("ASCE 7-22", directionality_factor=0.5) == pressure("ASCE 7-22")
    assert pressure("ASCE 7-10", ground_elevation_factor=0.8) == pressure("ASCE 7-10")
    assert pressure("ASCE 7-16", ground_elevation_factor=0.8) < pressure("ASCE 7-16")


def test_one_edition_of_snow_never_takes_the_factors_of_another() -> None:
    def load(edition: str, importance: float) -> float:
        ground_kpa = 40 * KPA_PER_PSF
        snow = Snow(ground_snow_kpa=ground_kpa, edition=edition, importance_factor=importance, source="trap")
        return roof_snow(snow).kpa

    assert load("ASCE 7-16", 1.2) == pytest.approx(1.2 * load("ASCE 7-16", 1.0))
    assert load("ASCE 7-22", 1.2) == load("ASCE 7-22", 1.0)


def test_no_published_value_stands_without_edition_table_and_how_far_it_was_read() -> None:
    def sources(value) -> list[dict[str, str]]:
        if isinstance(value, dict):
            mine = [value] if "status" in value else []
            return mine + [one for inner in value.values() for one in sources(inner)]
        return [one for inner in value for one in sources(inner)] if isinstance(value, list) else []

    for path in sorted((ROOT / "shared" / "reference").glob("*.json")):
        found = sources(json.loads(path.read_text(encoding="utf-8")))
        assert found, path.name
        for source in found:
            assert source["status"] in ("read", "secondary", "computed", "memory"), path.name
            assert source["edition"], path.name
            assert source["table"], path.name


def test_how_long_a_load_lasts_counts_in_bending_and_shear_and_never_on_stiffness_or_bearing() -> None:
    member = member_of(a_section(width_mm=38, depth_mm=140), is_repetitive=False)
    assert member is not None
    screen = Screen(
        member=member,
        pad=a_pad(),
        limits=choices().limits,
        membrane=a_survey().membrane,
        as_laid=as_laid([(600.0, 600.0)], 0.2),
    )
    years, days = (
        allowed_spans_mm(screen, Case("deck", total_kn_m=3.0, live_kn_m=2.0, duration=duration))
        for duration in (0.9, 1.25)
    )
    assert days["bending"] == pytest.approx(years["bending"] * (1.25 / 0.9) ** 0.5)  # L = √(8 Fb' S / w)
    assert days["shear"] > years["shear"]
    assert days["deflection"] == years["deflection"]
    assert days["pad"] == years["pad"]


def test_solid_stone_is_never_as_light_as_broken_stone() -> None:
    broken_kg_m3 = 96 * 16.0185  # the "granite, 96 lb/ft³" of bulk lists
    known = {row.material: row.density_kg_m3 for row in densities()}
    tops = [top for top in demo_job().choices.tops if "granite" in top.name.lower()]
    assert tops
    assert all(top.mass_kg_m2 / (top.thickness_mm / 1000) > 1.5 * broken_kg_m3 for top in tops)
    assert known["porcelain"] > 1.5 * broken_kg_m3
