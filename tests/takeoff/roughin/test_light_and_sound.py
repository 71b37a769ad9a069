"""Light and sound over the roof: screens, shadows, ways, glare, levels, limits, better places."""

import math
from decimal import Decimal
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from app.job import choices as c
from app.job import plan as p
from app.job import survey as s
from app.job.job import Job
from app.job.photometry import Photometry
from app.takeoff.roughin.beams import greatest_cd, intensity_cd, lamp_at
from app.takeoff.roughin.dusk import evenings_h, yearly_energy
from app.takeoff.roughin.levels import (
    directivity_db,
    level_at_db,
    neighbour_findings,
    sound_levels,
)
from app.takeoff.roughin.night import night_of
from app.takeoff.roughin.placement import suggest_places
from app.takeoff.roughin.records import CircuitReading
from app.takeoff.roughin.screens import Screens, is_hidden, own_boxes, screens_of
from tests import builders as b
from tests.takeoff.roughin.site import a_fixture

LAMP = c.FixtureKind(id="lamp", name="Lamp", power_w=5, least_v=10.8, greatest_v=15, output_lm=300)
PLACE = s.SitePlace(latitude_deg=43.1, longitude_deg=-70.7, time_zone="America/New_York")
wall = Screens(("W",), np.array([[1000.0, -1000.0, 1000.0, 1000.0]]), np.array([1800.0]), np.array([True]))


def a_lit_roof(*fixtures: p.Fixture, survey: dict[str, Any] | None = None, **plan: Any) -> Job:
    job = b.a_job(
        survey=b.a_survey(**(survey or {})), plan=b.a_plan(fixtures=fixtures, **({"planters": ()} | plan))
    )
    choices = job.choices.model_copy(update={"fixture_kinds": (LAMP,)})
    return job.model_copy(update={"choices": choices})


def a_speaker(**changes: Any) -> p.Speaker:
    return p.Speaker(**({"id": "K", "circuit": "S", "x_mm": 1000, "y_mm": 2000, "power_w": 1} | changes))


def a_loud_job(**speaker: Any) -> Job:
    """A speaker at the quay side of the small roof, a seat, and a neighbour behind the parapet."""
    seat = p.Furniture(
        id="sofa",
        x_mm=3000,
        y_mm=2000,
        length_mm=1800,
        width_mm=800,
        height_mm=700,
        mass_kg=30,
        is_seat=True,
    )
    near = s.Neighbour(id="N", kind="window", x_mm=-6000, y_mm=2000, z_mm=1000, limit_db=45)
    plan = b.a_plan(planters=(), speakers=(a_speaker(**speaker),), furniture=(seat,))
    return b.a_job(survey=b.a_survey(neighbours=(near,)), plan=plan)


@settings(max_examples=50, deadline=None)
@given(st.floats(5, 360), st.floats(0, 180), st.floats(-180, 180))
def test_a_beam_adds_up_to_its_lumens_wherever_it_looks(beam: float, tilt: float, aim: float) -> None:
    lamp = lamp_at("lamp", (0, 0, 0), tilt, aim, output_lm=500, beam_deg=beam)
    cosine = (np.arange(200) + 0.5) / 100 - 1
    turn = (np.arange(40) + 0.5) / 20 * math.pi
    around = np.sqrt(1 - cosine**2)[:, None] * np.array([np.cos(turn), np.sin(turn)])[:, None, :]
    across = np.cross(lamp.axis, lamp.side)
    toward = (
        cosine[:, None, None] * lamp.axis + around[0][..., None] * lamp.side + around[1][..., None] * across
    ).reshape(-1, 3)
    light = intensity_cd(lamp, toward)
    total = light.mean() * 4 * math.pi
    assert light.max() <= greatest_cd(lamp) * (1 + 1e-9)
    if beam > 40:  # a narrow beam falls between the samples
        assert total == pytest.approx(500, rel=0.03)


def test_half_the_beam_angle_has_half_the_intensity() -> None:
    lamp = lamp_at("lamp", (0, 0, 0), output_lm=100, beam_deg=36)
    edge = np.array([[math.sin(math.radians(18)), 0, -math.cos(math.radians(18))]])
    assert intensity_cd(lamp, edge)[0] == pytest.approx(greatest_cd(lamp) / 2)


@pytest.mark.parametrize("horizontal", [(0.0, 90.0), (0.0, 90.0, 180.0), (0.0, 90.0, 180.0, 270.0, 360.0)])
def test_the_planes_of_a_file_are_mirrored_as_they_are_printed(horizontal: tuple[float, ...]) -> None:
    rows = tuple((10.0 + h, 10.0 + h) for h in horizontal)
    file = Photometry("2019", (), "C", -1, 5, (0.0, 90.0), horizontal, rows)
    lamp = lamp_at("lamp", (0, 0, 0), file=file)
    level = np.array([[1.0, 0, 0], [0, 1.0, 0], [-1.0, 0, 0], [0, -1.0, 0]])
    found = intensity_cd(lamp, level)
    expected = {90.0: [10, 100, 10, 100], 180.0: [10, 100, 190, 100], 360.0: [10, 100, 190, 280]}
    if horizontal[-1] == 90.0:
        expected[90.0] = [10, 100, 10, 100]
    assert found == pytest.approx(expected[horizontal[-1]])


def test_a_screen_hides_what_lies_behind_and_below_its_top() -> None:
    points = np.array(
        [[2000.0, 0, 0], [2000.0, 0, 4000.0], [500.0, 0, 0], [2000.0, 5000.0, 0], [1005.0, 0, 0]]
    )
    assert is_hidden(wall, (0.0, 0.0, 500.0), points).tolist() == [True, False, False, False, False]


def test_a_lamp_built_into_a_box_is_not_hidden_by_it() -> None:
    job = a_lit_roof(planters=(b.a_planter(x_mm=3000, y_mm=2000),))
    assert own_boxes(job, (3000.0, 2000.0, 300.0)) == {"planter"}
    assert own_boxes(job, (3000.0, 2000.0, 450.0)) == frozenset()
    assert own_boxes(job, (4000.0, 2000.0, 300.0)) == frozenset()


def test_parapets_are_counted_from_the_deck() -> None:
    screens = screens_of(a_lit_roof(), deck_mm=100.0)
    tops = dict(zip(screens.owners, screens.tops_mm, strict=True))
    assert tops["south"] == pytest.approx(-200 + 1400 - 100)
    assert tops["north"] == pytest.approx(-200 + 0.02 * 4000 + 3000 - 100)


def test_a_box_throws_a_shadow() -> None:
    lamp = a_fixture("F", 2000, 2000, z_mm=300, model="lamp", tilt_deg=60)
    walk = p.Walk(id="way", line_mm=((4500, 2000), (5000, 2000)))
    planter = b.a_planter(x_mm=3500, y_mm=2000, width_mm=450, length_mm=450)
    free, _ = night_of(a_lit_roof(lamp, walks=(walk,)), 0.0)
    shaded, _ = night_of(a_lit_roof(lamp, walks=(walk,), planters=(planter,)), 0.0)
    assert free is not None
    assert shaded is not None
    assert free.walks[0].least_lx > 0
    assert shaded.walks[0].least_lx == 0


def test_a_dark_way_is_a_note_at_its_darkest_spot() -> None:
    walk = p.Walk(id="way", line_mm=((1000, 2000), (5000, 2000)))
    lamp = a_fixture("F", 1000, 2000, z_mm=2000, model="lamp")
    night, found = night_of(a_lit_roof(lamp, walks=(walk,)), 0.0)
    assert night is not None
    (note,) = [f for f in found if f.code == "roughin.dark-way"]
    assert (note.grade, note.place, note.at_mm) == ("note", "way", (5000.0, 2000.0))
    assert night.walks[0].least_lx == pytest.approx(300 / math.pi * 2 * 2 / (2**2 + 4**2) ** 2, rel=1e-6)


def test_without_ways_drawn_the_line_from_door_to_seat_is_looked_at() -> None:
    seat = p.Bench(
        id="bench",
        x_mm=3000,
        y_mm=1000,
        length_mm=1500,
        width_mm=450,
        height_mm=450,
        board="pine",
        frame="frame",
    )
    night, _ = night_of(a_lit_roof(a_fixture("F", 3000, 3000, z_mm=2000, model="lamp"), benches=(seat,)), 0.0)
    assert night is not None
    assert [walk.walk for walk in night.walks] == ["door to bench"]


def test_a_lamp_above_the_eye_that_shines_down_dazzles_and_one_turned_away_does_not() -> None:
    down = a_fixture("F", 3000, 2000, z_mm=2500, model="lamp")
    night, found = night_of(a_lit_roof(down), 0.0)
    assert night is not None
    assert {one.eye for one in night.glare} == {"door"}
    assert [f.code for f in found if f.place == "F"] == ["roughin.glare"]
    away = down.model_copy(update={"tilt_deg": 90.0, "aim_deg": 270.0})
    turned, _ = night_of(a_lit_roof(away), 0.0)
    assert turned is not None
    assert turned.glare == ()


def test_no_data_sheet_means_no_night() -> None:
    assert night_of(a_lit_roof(a_fixture("F", 3000, 2000)), 0.0) == (None, ())


def test_the_evenings_follow_the_sun_and_the_clock() -> None:
    evenings = evenings_h(PLACE, 2026, 23.0)
    assert len(evenings) == 365
    assert max(evenings) == evenings[341] or abs(evenings.index(max(evenings)) - 341) < 10
    later = evenings_h(PLACE, 2026, 1.0)
    assert sum(later) == pytest.approx(sum(evenings) + 2 * 365)
    arctic = s.SitePlace(latitude_deg=78.2, longitude_deg=15.6, time_zone="Europe/Oslo")
    polar = evenings_h(arctic, 2026, 23.0)
    assert polar[170] == 0.0
    assert polar[0] == 11.0


def test_energy_is_power_by_hours_and_costs_what_the_tariff_says() -> None:
    reading = CircuitReading("L1", "lighting", "lv", 40, 4.0, 3.0, (), 12.5)
    energy = yearly_energy(PLACE, 2026, c.Evening(tariff=Decimal("0.30")), [reading])
    assert energy is not None
    assert energy.power_w == 50.0
    assert energy.energy_kwh == pytest.approx(0.05 * sum(evenings_h(PLACE, 2026, 23.0)))
    assert energy.cost == (Decimal(str(energy.energy_kwh)) * Decimal("0.30")).quantize(Decimal("0.01"))
    assert yearly_energy(PLACE, 2026, c.Evening(), [reading]).cost is None  # type: ignore[union-attr]
    assert yearly_energy(PLACE, 2026, c.Evening(), []) is None


def test_a_neighbour_behind_the_parapet_hears_less_than_in_free_field() -> None:
    job = a_loud_job(z_mm=300)
    seat, window = sound_levels(job, 0.0)
    assert (seat.kind, seat.screen_db, seat.limit_db) == ("seat", 0.0, None)
    assert seat.level_db == pytest.approx(seat.free_db + 3.0103, abs=1e-4)
    assert 4.7 < window.screen_db <= 20
    assert window.level_db == pytest.approx(window.free_db + 3.0103 - window.screen_db, abs=1e-4)
    (told,) = neighbour_findings(job, (seat, window))
    assert (told.grade, told.limit) == ("check", 45.0)
    assert "turn down by" in told.text


def test_without_a_limit_the_guideline_is_a_note() -> None:
    job = a_loud_job()
    survey = job.survey.model_copy(
        update={"neighbours": (s.Neighbour(id="N", kind="window", x_mm=-6000, y_mm=2000),)}
    )
    told = neighbour_findings(
        job.model_copy(update={"survey": survey}),
        sound_levels(job.model_copy(update={"survey": survey}), 0.0),
    )
    assert [(f.grade, f.limit) for f in told] == [("note", 50.0)]


def test_nothing_that_plays_makes_no_level() -> None:
    assert sound_levels(a_loud_job(power_w=0), 0.0) == ()


def test_a_speaker_loses_behind_what_its_sheet_says() -> None:
    speaker = a_speaker(aim_deg=90, back_drop_db=8)
    assert directivity_db(speaker, (1000, 9000, 0)) == pytest.approx(0)
    assert directivity_db(speaker, (9000, 2000, 0)) == pytest.approx(-4)
    assert directivity_db(speaker, (1000, -9000, 0)) == pytest.approx(-8)
    ahead = level_at_db([speaker], (1000, 9000, 300))
    assert level_at_db([speaker], (1000, -5000, 300)) == pytest.approx(ahead - 8)


def test_a_speaker_that_plays_to_the_neighbour_is_better_turned_to_the_seats() -> None:
    (note,) = suggest_places(a_loud_job(aim_deg=180, back_drop_db=12, z_mm=2000), 0.0)
    assert (note.code, note.grade, note.place) == ("roughin.speaker-place", "note", "K")
    assert "aimed at 0°" in note.text
    assert suggest_places(a_loud_job(aim_deg=0, back_drop_db=12, z_mm=2000), 0.0) == ()
