"""Everything the engine says is said in the job's own units, whatever it was given in."""

import re
from datetime import date

import pytest

from app.job import plan as p
from app.job import survey as s
from app.takeoff.chain import Takeoff, take_off
from tests.builders import a_deck_field, a_job, a_plan, a_planter, a_survey, choices

METRIC = re.compile(r"\d (mm2?|m2?|m²|m³|cm²|kg|kPa|kN|MPa|m/s|kg/m³|°C)(?![\w/])")
IMPERIAL = re.compile(r"\d (psf|psi|pcf|lbf?|ft²|ft³|in(?=[,.;)])|in²|mph|°F)(?![\w.])|\d['\"]")


def a_heavy_job(units: str) -> Takeoff:
    """A job that has something to say of nearly everything: spa, snow, wind, low figures, a short way up."""
    size = {"length_mm": 1800.0, "width_mm": 1800.0, "height_mm": 800.0}
    spa = p.Furniture(id="spa", x_mm=4000, y_mm=2000, mass_kg=200, water_m3=1.0, **size)
    strong = s.AllowableArea(
        id="strong",
        outline_mm=((0, 0), (1500, 0), (1500, 4000), (0, 4000)),
        dead_kpa=9.0,
        live_kpa=4.0,
        given_by="L. Sund",
        given_on=date(2026, 2, 20),
    )
    given = a_survey().allowable_load
    assert given is not None
    survey = a_survey(
        allowable_load=given.model_copy(update={"dead_kpa": 1.5, "live_kpa": 4.0, "point_kn": 0.5}),
        allowable_areas=(strong,),
        snow=s.Snow(ground_snow_kpa=1.9, edition="ASCE 7-16", source="letter"),
        wind=s.Wind(
            wind_speed_m_s=51, edition="ASCE 7-16", exposure="C", roof_height_mm=9000, source="letter"
        ),
        way_up=a_survey().way_up.model_copy(update={"longest_piece_mm": 1600.0}),
    )
    wall = p.FeatureWall(
        id="wall",
        start_mm=(300, 3800),
        end_mm=(2300, 3800),
        height_mm=2000,
        cladding="pine",
        furring="sleeper",
    )
    base = choices()
    limits = base.limits.model_copy(update={"point_load_kn": 1.3})
    job = a_job(
        survey=survey,
        plan=a_plan(
            deck_fields=(a_deck_field(angle_deg=37.0),),
            planters=(a_planter(x_mm=1300),),
            furniture=(spa,),
            feature_walls=(wall,),
        ),
        materials=base.model_copy(update={"limits": limits}),
    )
    return take_off(job.model_copy(update={"units": units}), {})


@pytest.mark.parametrize(("units", "foreign"), [("imperial", METRIC), ("metric", IMPERIAL)])
def test_findings_rules_and_methods_keep_to_the_jobs_own_units(units: str, foreign: re.Pattern[str]) -> None:
    takeoff = a_heavy_job(units)
    told = [finding.text for finding in takeoff.findings]
    told += [taken.text for taken in takeoff.assumptions]
    told += [plan.method for plan in takeoff.totals.cut_plans]
    told += [load.why for load in takeoff.totals.load_map.weather]
    told += [quantity.why for quantity in takeoff.totals.quantities]
    assert [text for text in told if foreign.search(text)] == []
    codes = {finding.code for finding in takeoff.findings}
    assert {
        "totals.worst-place",
        "totals.point-load-over",
        "totals.live-load-over",
        "totals.snow-load",
        "totals.wind-pressure",
        "totals.timber-wet",
        "totals.too-heavy-for-a-trip",
        "totals.stock-not-carried",
        "framing.concentrated-load",
    } <= codes
