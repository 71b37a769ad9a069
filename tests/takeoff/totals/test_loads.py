"""Dead loads, added up by hand: decks, beds, boxes on decks, walls, legs."""

from datetime import date
from typing import Any

import pytest

from app.job import plan as p
from app.job import survey as s
from app.job.job import Job
from app.takeoff.totals.loads import Loads, dead_loads
from app.takeoff.totals.records import LoadSpot
from tests.builders import a_job, a_plan, a_planter, a_survey
from tests.takeoff.totals.by_hand import (
    a_bed,
    a_box,
    a_field,
    a_framing,
    a_layout,
    a_pad_spot,
    a_piece,
    a_stick,
    ring,
)

G = 9.80665e-3
# 40 m of board at 1.26 kg/m, 20 m of sleeper at 2.2 kg/m, 10 pads at 0.01 kg, over 10 m².
DECK_KG = 40 * 1.26 + 20 * 2.2 + 10 * 0.01
BOARDS = tuple(a_piece(f"deck-{n}", 4000) for n in range(10))
FRAME = a_framing(
    sticks=tuple(a_stick(f"S{n}", 4000) for n in range(5)), pads=tuple(a_pad_spot(f"P{n}") for n in range(10))
)


def allowing(dead_kpa: float, point_kn: float | None = None) -> s.AllowableLoad:
    return s.AllowableLoad(
        dead_kpa=dead_kpa, live_kpa=4.8, point_kn=point_kn, given_by="L. Sund", given_on=date(2026, 2, 20)
    )


def a_loaded_job(allowable: s.AllowableLoad | None, **plan: Any) -> Job:
    return a_job(survey=a_survey(allowable_load=allowable), plan=a_plan(**plan))


def spot_of(loads: Loads, place: str) -> LoadSpot:
    return next(spot for spot in loads.spots if spot.place == place)


def graded(loads: Loads, grade: str) -> list[str]:
    return [finding.code for finding in loads.findings if finding.grade == grade]


def test_a_deck_weighs_its_boards_sleepers_and_pads_over_its_area() -> None:
    loads = dead_loads(a_loaded_job(allowing(4)), a_layout(fields=(a_field(),), pieces=BOARDS), FRAME)
    deck = spot_of(loads, "deck")
    assert deck.dead_kpa == pytest.approx(DECK_KG / 10 * G)
    assert deck.mass_kg == pytest.approx(DECK_KG)
    assert loads.dead_kg == pytest.approx(DECK_KG)
    assert [label for label, _ in deck.parts] == ["boards", "frame", "pads"]


def test_a_ripped_board_weighs_what_is_left_of_it() -> None:
    piece = a_piece("deck-1", 1000, width_mm=70.0, is_ripped=True)
    loads = dead_loads(a_loaded_job(None), a_layout(fields=(a_field(),), pieces=(piece,)), a_framing())
    assert loads.dead_kg == pytest.approx(0.63)


def test_a_planter_bears_its_media_saturated_and_the_deck_beneath_it() -> None:
    layout = a_layout(fields=(a_field(),), pieces=BOARDS, boxes=(a_box(),))
    loads = dead_loads(a_loaded_job(allowing(9), planters=(a_planter(),)), layout, FRAME)
    planter = spot_of(loads, "planter")
    assert planter.area_m2 == pytest.approx(1.0)
    assert dict(planter.parts)["saturated media"] == pytest.approx(0.3 * 950 * G)
    assert dict(planter.parts)["deck beneath"] == pytest.approx(DECK_KG / 10 * G)
    # Each thing once in the whole, though the deck stands in two places' loads.
    assert loads.dead_kg == pytest.approx(DECK_KG + 0.3 * 950)


def test_a_box_half_off_the_deck_bears_half_of_it() -> None:
    box = a_box(outline_mm=ring(4000, 0, 2000, 500))
    layout = a_layout(fields=(a_field(),), pieces=BOARDS, boxes=(box,))
    loads = dead_loads(a_loaded_job(None, planters=(a_planter(),)), layout, FRAME)
    assert dict(spot_of(loads, "planter").parts)["deck beneath"] == pytest.approx(DECK_KG / 10 * G / 2)


def test_stone_is_weighed_wet() -> None:
    bed = p.StoneBed(id="bed", outline_mm=ring(0, 3000, 2000, 1000), depth_mm=50, stone="gravel")
    loads = dead_loads(a_loaded_job(None, stone_beds=(bed,)), a_layout(beds=(a_bed(),)), a_framing())
    assert spot_of(loads, "bed").dead_kpa == pytest.approx(0.1 * 1700 / 2 * G)


def test_a_wall_is_read_over_a_strip_of_300_mm() -> None:
    wall = p.FeatureWall(
        id="wall", start_mm=(0, 0), end_mm=(2000, 0), height_mm=2400, cladding="pine", furring="furring"
    )
    pieces = (a_piece("W-1", 10000, place="wall", role="cladding"),)
    loads = dead_loads(a_loaded_job(None, feature_walls=(wall,)), a_layout(pieces=pieces), a_framing())
    assert spot_of(loads, "wall").area_m2 == pytest.approx(0.6)
    assert spot_of(loads, "wall").dead_kpa == pytest.approx(12.6 / 0.6 * G)
    assert any(said.code == "totals.wall-strip" and "300 mm" in said.text for said in loads.assumptions)


def test_over_the_allowable_load_is_a_stop_that_says_what_would_help() -> None:
    loads = dead_loads(
        a_loaded_job(allowing(2.0), planters=(a_planter(),)), a_layout(boxes=(a_box(),)), a_framing()
    )
    (stop,) = loads.findings
    assert (stop.code, stop.grade, stop.place) == ("totals.dead-load-over", "stop", "planter")
    assert stop.value == pytest.approx(0.3 * 950 * G)
    assert (stop.limit, stop.unit) == (2.0, "kPa")
    assert "lighter medium, a shallower fill" in stop.text
    assert "L. Sund" in stop.source


@pytest.mark.parametrize(
    ("allowable_kpa", "grade"), [(2.794, "stop"), (2.796, "note"), (3.49, "note"), (3.50, None)]
)
def test_the_grade_turns_at_the_allowable_load_and_at_80_percent_of_it(
    allowable_kpa: float, grade: str | None
) -> None:
    loads = dead_loads(
        a_loaded_job(allowing(allowable_kpa), planters=(a_planter(),)),
        a_layout(boxes=(a_box(),)),
        a_framing(),
    )
    assert [finding.grade for finding in loads.findings] == ([grade] if grade else [])


def test_exactly_the_allowable_load_is_no_stop() -> None:
    exact = 0.3 * 950 * G
    loads = dead_loads(
        a_loaded_job(allowing(exact), planters=(a_planter(),)), a_layout(boxes=(a_box(),)), a_framing()
    )
    assert graded(loads, "stop") == []


def test_an_allowable_load_of_nothing_stops_everything() -> None:
    loads = dead_loads(
        a_loaded_job(allowing(0.0), planters=(a_planter(),)), a_layout(boxes=(a_box(),)), a_framing()
    )
    assert graded(loads, "stop") == ["totals.dead-load-over"]


def test_without_an_allowable_load_nothing_is_held_against_one() -> None:
    loads = dead_loads(a_loaded_job(None, planters=(a_planter(),)), a_layout(boxes=(a_box(),)), a_framing())
    assert spot_of(loads, "planter").allowable_kpa is None
    assert loads.findings == ()


def test_a_wall_hung_on_an_existing_wall_asks_for_a_check_and_a_free_standing_one_stops() -> None:
    for fixing, grade in (("existing wall", "check"), ("free-standing", "stop")):
        wall = p.FeatureWall(
            id="wall",
            start_mm=(0, 0),
            end_mm=(2000, 0),
            height_mm=2400,
            cladding="pine",
            furring="furring",
            fixing=fixing,
        )
        pieces = (a_piece("W-1", 10000, place="wall", role="cladding"),)
        loads = dead_loads(
            a_loaded_job(allowing(0.2), feature_walls=(wall,)), a_layout(pieces=pieces), a_framing()
        )
        assert [finding.grade for finding in loads.findings] == [grade]


def test_legs_are_held_against_the_point_load_only_when_one_is_given() -> None:
    tub = p.Furniture(id="tub", x_mm=0, y_mm=0, length_mm=3000, width_mm=3000, height_mm=800, mass_kg=900)
    for point_kn, codes in ((2.0, ["totals.point-load-over"]), (2.3, []), (None, [])):
        loads = dead_loads(a_loaded_job(allowing(9, point_kn), furniture=(tub,)), a_layout(), a_framing())
        assert graded(loads, "stop") == codes
        assert any(said.code == "totals.four-legs" for said in loads.assumptions) is (point_kn is not None)


def test_wet_timber_is_told_with_its_numbers() -> None:
    loads = dead_loads(a_loaded_job(None), a_layout(fields=(a_field(),)), FRAME)
    (note,) = loads.findings
    assert (note.code, note.grade) == ("totals.timber-wet", "note")
    assert note.value == pytest.approx(44.0)


def test_no_finding_calls_anything_safe() -> None:
    loads = dead_loads(
        a_loaded_job(allowing(2.0), planters=(a_planter(),)),
        a_layout(fields=(a_field(),), pieces=BOARDS, boxes=(a_box(),)),
        FRAME,
    )
    for text in [finding.text for finding in loads.findings]:
        assert "safe" not in text
        assert "compl" not in text
