"""Decks at two levels: the window, the steps between them, and what each leaves of the guards."""

from typing import Any

import pytest

from app.job import plan as p
from app.job.job import Job
from app.job.spoken import Spoken
from app.takeoff.roof.level import level_window
from app.takeoff.roof.read_roof import read_roof
from app.takeoff.roof.surface import fit_surface
from tests.builders import a_deck_field, a_job, a_plan, a_planter, a_survey

LEFT = ((200.0, 200.0), (2900.0, 200.0), (2900.0, 3900.0), (200.0, 3900.0))
RIGHT = ((2910.0, 200.0), (5800.0, 200.0), (5800.0, 3900.0), (2910.0, 3900.0))


def two_decks(offset_mm: float, **plan: Any) -> Job:
    low = a_deck_field(id="low", outline_mm=LEFT)
    high = a_deck_field(id="high", outline_mm=RIGHT, level_offset_mm=offset_mm)
    return a_job(plan=a_plan(deck_fields=(low, high), **plan))


def test_each_field_lies_at_the_level_and_its_own_offset() -> None:
    reading = read_roof(two_decks(150.0))
    assert reading.level is not None
    assert reading.level_of("high") - reading.level_of("low") == pytest.approx(150.0)
    assert reading.level_of("low") == reading.level.chosen_mm


def test_a_door_holds_down_the_field_it_opens_onto() -> None:
    # The door stands at x = 3000, over the right field.
    level = read_roof(two_decks(20.0)).level
    assert level is not None
    assert level.highest_mm == pytest.approx(-20.0 - 20.0)
    assert level.chosen_mm + 20.0 == pytest.approx(-20.0)


def test_a_lower_field_needs_the_deck_to_lie_higher() -> None:
    plain, lowered = two_decks(0.0), two_decks(-30.0)
    surface = fit_surface(plain.survey.spot_heights)
    first, _ = level_window(plain, surface)
    second, _ = level_window(lowered, surface)
    assert first is not None
    assert second is not None
    assert second.lowest_mm - first.lowest_mm == pytest.approx(30.0)


@pytest.mark.parametrize(
    ("offset", "grade", "words"),
    [
        (40.0, "check", "easily missed"),
        (150.0, "note", "1 riser of 150 mm"),
        (300.0, "check", "Draw steps"),
        (800.0, "check", "guard"),
    ],
)
def test_a_step_between_two_decks_is_told(offset: float, grade: str, words: str) -> None:
    reading = read_roof(two_decks(offset))
    assert [(step.lower, step.upper) for step in reading.steps] == [("low", "high")]
    assert reading.steps[0].length_mm == pytest.approx(3700.0, abs=130.0)
    found = next(f for f in reading.findings if f.code == "roof.level-step")
    assert found.grade == grade
    assert words in found.text


def test_steps_drawn_between_two_decks_settle_a_rise_of_several_risers() -> None:
    steps = p.Steps(
        id="st", x_mm=2900, y_mm=2000, angle_deg=180, width_mm=1000, upper="high", lower="low", board="pine",
        frame="frame",
    )  # fmt: skip
    found = next(
        f for f in read_roof(two_decks(300.0, steps=(steps,))).findings if f.code == "roof.level-step"
    )
    assert found.grade == "note"


def test_decks_level_with_each_other_or_far_apart_make_no_step() -> None:
    assert read_roof(two_decks(0.0)).steps == ()
    far = a_deck_field(id="far", outline_mm=((3100, 200), (5800, 200), (5800, 3900)), level_offset_mm=200)
    near = a_deck_field(id="near", outline_mm=LEFT)
    assert read_roof(a_job(plan=a_plan(deck_fields=(near, far)))).steps == ()


def test_a_guard_beside_two_levels_is_read_from_each() -> None:
    readings = [g for g in read_roof(two_decks(150.0)).guards if g.edge == "south"]
    assert [g.fields for g in readings] == [("low",), ("high",)]
    assert readings[0].remaining_mm - readings[1].remaining_mm == pytest.approx(150.0)
    assert {g.fields for g in read_roof(two_decks(150.0)).guards if g.edge == "east"} == {("high",)}


def test_what_stands_on_the_lower_deck_is_measured_from_the_lower_deck() -> None:
    on_low = a_planter(x_mm=900, y_mm=500)
    found = [
        next(
            f
            for f in read_roof(two_decks(offset, planters=(on_low,))).findings
            if f.code == "roof.guard-climb"
        )
        for offset in (0.0, 19.0)
    ]
    reading = read_roof(two_decks(19.0, planters=(on_low,)))
    south = next(g for g in reading.guards if g.edge == "south" and g.fields == ("low",))
    west = next(g for g in reading.guards if g.edge == "west")
    assert found[1].value == pytest.approx(min(south.remaining_mm, west.remaining_mm) - 450, abs=0.1)


def test_findings_speak_the_units_of_the_job() -> None:
    metric, imperial = two_decks(300.0), two_decks(300.0).model_copy(update={"units": "imperial"})
    one = next(f for f in read_roof(metric).findings if f.code == "roof.level-step")
    other = next(f for f in read_roof(imperial).findings if f.code == "roof.level-step")
    assert "300 mm" in one.text
    assert " mm" not in other.text
    assert Spoken("imperial").length(300.0) in other.text
    assert one.value == other.value


def test_no_finding_of_roof_or_layout_says_millimetres_in_an_imperial_job() -> None:
    survey = a_survey(drains=(), edges=())
    job = a_job(survey, units="imperial")
    reading = read_roof(job)
    assert reading.findings
    assert not [f.text for f in (*reading.findings, *reading.assumptions) if " mm" in f.text]
