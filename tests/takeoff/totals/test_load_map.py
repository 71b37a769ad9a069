"""The dead load square by square: nothing lost, figures by area, the worst place named."""

import re
from datetime import date
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from app.job import plan as p
from app.job import survey as s
from app.job.findings import Finding
from app.job.job import Job
from app.takeoff.totals.load_map import load_map, map_findings
from app.takeoff.totals.loads import dead_loads
from app.takeoff.totals.records import LoadCell, LoadMap
from app.takeoff.totals.weather import weather_loads
from app.takeoff.totals.weather_findings import weather_findings
from tests.builders import a_job, a_plan, a_planter, a_survey
from tests.takeoff.totals.by_hand import a_bed, a_box, a_field, a_framing, a_layout, a_piece, ring

G = 9.80665e-3
GIVEN: dict[str, Any] = {"live_kpa": 4.8, "given_by": "L. Sund", "given_on": date(2026, 2, 20)}
BOARDS = tuple(a_piece(f"deck-{n}", 4000) for n in range(10))
BED = p.StoneBed(id="bed", outline_mm=ring(0, 3000, 2000, 1000), depth_mm=50, stone="gravel")


def an_area(name: str, dead_kpa: float, outline: tuple[tuple[float, float], ...]) -> s.AllowableArea:
    return s.AllowableArea(id=name, name=name, outline_mm=outline, dead_kpa=dead_kpa, **GIVEN)


def a_loaded_job(dead_kpa: float | None = 4.0, areas: tuple[s.AllowableArea, ...] = (), **plan: Any) -> Job:
    allowable = None if dead_kpa is None else s.AllowableLoad(dead_kpa=dead_kpa, **GIVEN)
    return a_job(survey=a_survey(allowable_load=allowable, allowable_areas=areas), plan=a_plan(**plan))


def a_tub(**changes: Any) -> p.Furniture:
    fields: dict[str, Any] = {"id": "tub", "x_mm": 3000, "y_mm": 2000, "length_mm": 1200, "width_mm": 900}
    return p.Furniture(**(fields | {"height_mm": 700, "mass_kg": 60.0} | changes))


def at(made: LoadMap, x_mm: float, y_mm: float) -> LoadCell:
    half = made.cell_mm / 2
    return next(c for c in made.cells if abs(c.x_mm - x_mm) <= half and abs(c.y_mm - y_mm) <= half)


def found(job: Job, **layout: Any) -> tuple[LoadMap, tuple[Finding, ...]]:
    made = load_map(job, a_layout(**layout), a_framing())
    return made, map_findings(job, made)


@settings(max_examples=25, deadline=None)
@given(
    x_mm=st.floats(800, 5200),
    y_mm=st.floats(800, 3200),
    angle_deg=st.floats(0, 180),
    length_mm=st.floats(50, 1500),
    mass_kg=st.floats(1, 2000),
    water_m3=st.floats(0, 2),
)
def test_the_squares_weigh_what_stands_on_the_roof(
    x_mm: float, y_mm: float, angle_deg: float, length_mm: float, mass_kg: float, water_m3: float
) -> None:
    tub = a_tub(
        x_mm=x_mm, y_mm=y_mm, angle_deg=angle_deg, length_mm=length_mm, mass_kg=mass_kg, water_m3=water_m3
    )
    job = a_loaded_job(furniture=(tub,), stone_beds=(BED,))
    layout = a_layout(fields=(a_field(),), pieces=BOARDS, beds=(a_bed(),))
    made = load_map(job, layout, a_framing())
    on_squares_kg = sum(cell.dead_kpa * cell.area_m2 for cell in made.cells) / G
    assert on_squares_kg == pytest.approx(dead_loads(job, layout, a_framing()).dead_kg, rel=1e-6)


def test_water_in_a_basin_counts_a_tonne_a_cubic_metre() -> None:
    made, _ = found(a_loaded_job(furniture=(a_tub(water_m3=0.54),)))
    assert at(made, 3000, 2000).dead_kpa == pytest.approx((60 + 540) / 1.08 * G)


def test_an_area_with_its_own_figure_is_held_against_that() -> None:
    areas = (an_area("strong", 9.0, ring(0, 0, 3000, 4000)), an_area("weak", 0.4, ring(3000, 0, 3000, 4000)))
    for x_mm, grade in ((1500.0, "note"), (4500.0, "stop")):
        made, (said,) = found(a_loaded_job(areas=areas, furniture=(a_tub(x_mm=x_mm),)))
        assert said.grade == grade
        assert at(made, x_mm, 2000).allowable_kpa == (9.0 if grade == "note" else 0.4)
    assert "In “strong” 9.00 kPa is allowed" in said.text
    assert "figure" not in said.source
    assert "weak" in said.source


def test_without_any_figure_the_heaviest_square_is_known_and_nothing_is_said() -> None:
    made, said = found(a_loaded_job(None, furniture=(a_tub(),)))
    assert made.worst is not None
    assert made.worst.dead_kpa == pytest.approx(60 / 1.08 * G)
    assert said == ()


def test_two_things_that_share_squares_add_up_though_each_alone_is_within_its_figure() -> None:
    tubs = (a_tub(mass_kg=200.0), a_tub(id="chest", mass_kg=200.0))
    job = a_loaded_job(3.0, furniture=tubs)
    assert [f.code for f in dead_loads(job, a_layout(), a_framing()).findings] == [
        "totals.dead-load-near"
    ] * 0
    _, (said,) = found(job)
    assert (said.code, said.grade) == ("totals.worst-place", "stop")
    assert said.value == pytest.approx(400 / 1.08 * G)


def test_a_planter_over_its_figure_is_told_how_deep_it_may_be() -> None:
    # 0.3 m3 at 950 kg/m3 on 1 m2 are 2.79 kPa; each mm of depth is 0.00932 kPa where it is filled.
    _, (said,) = found(a_loaded_job(2.0, planters=(a_planter(),)), boxes=(a_box(),))
    assert said.grade == "stop"
    assert "Filled to 210 mm it would come down to that figure." in said.text


def test_what_hangs_on_an_existing_wall_alone_is_a_check() -> None:
    wall = p.FeatureWall(
        id="wall",
        start_mm=(1000, 2000),
        end_mm=(3000, 2000),
        height_mm=2400,
        cladding="pine",
        furring="furring",
    )
    pieces = (a_piece("W-1", 100000, place="wall", role="cladding"),)
    _, (said,) = found(a_loaded_job(0.3, feature_walls=(wall,)), pieces=pieces)
    assert said.grade == "check"


@settings(max_examples=25, deadline=None)
@given(masses=st.lists(st.floats(10, 1500), min_size=1, max_size=4), more_kg=st.floats(1, 900))
def test_adding_load_never_removes_a_stop(masses: list[float], more_kg: float) -> None:
    def stops(kilos: list[float]) -> set[tuple[str, str]]:
        tubs = tuple(
            a_tub(id=f"tub{n}", x_mm=900 + 900 * n, mass_kg=kg, width_mm=600.0) for n, kg in enumerate(kilos)
        )
        job = a_loaded_job(2.0, furniture=tubs)
        graded = (*dead_loads(job, a_layout(), a_framing()).findings, *found(job)[1])
        # The worst place is one stop, wherever it is.
        return {(f.code, f.place if "worst" not in f.code else "") for f in graded if f.grade == "stop"}

    before = stops(masses)
    assert before <= stops([masses[0] + more_kg, *masses[1:]])
    assert before <= stops([*masses, more_kg])


def test_legs_stand_at_the_corners_and_share_the_mass() -> None:
    made, _ = found(a_loaded_job(furniture=(a_tub(mass_kg=100.0, water_m3=0.3),)))
    assert [(round(leg.x_mm), round(leg.y_mm)) for leg in made.points] == [
        (2400, 1550),
        (3600, 1550),
        (3600, 2450),
        (2400, 2450),
    ]
    assert sum(leg.dead_kn for leg in made.points) == pytest.approx(400 * 9.80665 / 1000)


def test_a_large_roof_gets_larger_squares() -> None:
    survey = a_survey(outline_mm=((0, 0), (60000, 0), (60000, 40000), (0, 40000)))
    made = load_map(a_job(survey=survey, plan=a_plan(furniture=(a_tub(),))), a_layout(), a_framing())
    assert made.cell_mm == pytest.approx(825.0)


def test_more_people_than_the_engineer_allows_is_a_stop() -> None:
    live = s.LiveLoad(live_kpa=4.9, source="asked")
    job = a_job(survey=a_survey(live_load=live), plan=a_plan())
    codes = [f.code for f in dead_loads(job, a_layout(), a_framing()).findings if f.grade == "stop"]
    assert codes == ["totals.live-load-over"]


def test_snow_and_wind_are_said_only_when_given_and_never_marked() -> None:
    assert weather_loads(a_job()) == ()
    survey = a_survey(
        snow=s.Snow(ground_snow_kpa=1.5, edition="ASCE 7-16", source="asked"),
        wind=s.Wind(
            wind_speed_m_s=50, edition="ASCE 7-16", exposure="C", roof_height_mm=9000, source="asked"
        ),
    )
    job = a_job(survey=survey, plan=a_plan(planters=(a_planter(name="Herbs"),)))
    said = weather_findings(job, weather_loads(job))
    assert [(f.code, f.grade, f.limit) for f in said] == [
        ("totals.snow-load", "check", None),
        ("totals.wind-pressure", "check", None),
    ]
    assert "Herbs" in said[0].text
    assert not any("safe" in f.text or "compl" in f.text for f in said)


def test_the_worst_place_is_told_in_the_jobs_own_units() -> None:
    job = a_loaded_job(2.0, planters=(a_planter(),)).model_copy(update={"units": "imperial"})
    _, (said,) = found(job, boxes=(a_box(),))
    assert "psf" in said.text
    assert not re.search(r"\d (mm|kPa|kg)\b", said.text), said.text
