"""The layout room's answer, whole."""

import time
from typing import Any

import pytest

from app.job import plan as p
from app.job import survey as s
from app.takeoff.layout.lay_out import lay_out
from app.takeoff.layout.records import Layout
from app.takeoff.roof.read_roof import read_roof
from tests.builders import a_board, a_deck_field, a_job, a_plan, a_planter, a_section, a_survey, choices


def laid(plan: p.Plan | None = None, **job: Any) -> Layout:
    whole = a_job(plan=plan, **job)
    return lay_out(whole, read_roof(whole))


def codes(layout: Layout) -> dict[str, str]:
    return {finding.code: finding.grade for finding in layout.findings}


def test_places_come_in_the_order_of_the_plan() -> None:
    bench = p.Bench(
        id="bench",
        x_mm=3e3,
        y_mm=2e3,
        length_mm=1500,
        width_mm=430,
        height_mm=450,
        board="pine",
        frame="frame",
    )
    layout = laid(a_plan(planters=(a_planter(),), benches=(bench,)))
    assert list(dict.fromkeys(piece.place for piece in layout.pieces)) == ["deck", "planter", "bench"]
    assert [box.box for box in layout.boxes] == ["planter", "bench"]
    assert [field.field for field in layout.fields] == ["deck"]
    assert any("boards run on beneath" in a.text for a in layout.assumptions)


def test_an_empty_plan_gives_an_empty_layout() -> None:
    layout = laid(a_plan(deck_fields=()))
    assert layout == Layout((), (), (), (), (), (), ())


def test_boards_run_on_beneath_boxes() -> None:
    with_box = laid(a_plan(planters=(a_planter(x_mm=3000, y_mm=2000),)))
    without = laid(a_plan())
    deck = tuple(piece for piece in with_box.pieces if piece.place == "deck")
    assert deck == without.pieces


def test_two_separate_parts_of_a_field_share_one_end_gap() -> None:
    bar = s.Penetration(
        id="u", kind="unit", x_mm=3000, y_mm=2000, width_mm=400, depth_mm=5000, keep_clear_mm=50
    )
    layout = laid(a_plan(deck_fields=(a_deck_field(board="plastic"),)), survey=a_survey(penetrations=(bar,)))
    field = layout.fields[0]
    assert len(field.inner_mm) == 2
    assert field.end_gap_mm == pytest.approx(6.5e-5 * 45 * field.run_mm, rel=1e-3)
    assert not field.breaker_lines


def test_a_run_asked_for_that_needs_too_wide_a_gap_is_a_check() -> None:
    field = a_deck_field(board="plastic", longest_run_mm=3500.0)
    layout = laid(
        a_plan(
            deck_fields=(
                field.model_copy(update={"outline_mm": ((0, 0), (3400, 0), (3400, 3000), (0, 3000))}),
            )
        )
    )
    assert codes(layout)["layout.end-gap-wide"] == "check"
    assert layout.fields[0].end_gap_mm == pytest.approx(6.5e-5 * 45 * 3400)


def test_gaps_that_open_wide_in_winter_are_noted() -> None:
    layout = laid(a_plan(deck_fields=(a_deck_field(board="plastic"),)))
    assert codes(layout)["layout.winter-gap"] == "note"
    assert "layout.winter-gap" not in codes(laid())  # wood hardly moves along the grain


def test_a_run_hardly_longer_than_a_board_is_wide_stops() -> None:
    layout = laid(a_plan(deck_fields=(a_deck_field(longest_run_mm=100.0),)))
    assert codes(layout)["layout.run-short"] == "stop"
    assert layout.fields[0].run_mm <= 280.1


def test_where_no_stock_gets_up_whole_no_piece_is_longer_than_the_way_up() -> None:
    stair = a_survey().way_up.model_copy(update={"longest_piece_mm": 2000.0})
    layout = laid(survey=a_survey(way_up=stair))
    assert 1000.0 < max(piece.length_mm for piece in layout.pieces) <= 2000.0


def test_a_planter_over_a_drain_or_a_vents_clearance_is_a_check() -> None:
    drain = s.Drain(id="d", kind="drain", x_mm=900, y_mm=500)
    vent = s.Penetration(id="v", kind="vent", x_mm=900, y_mm=800, width_mm=60)
    found = codes(
        laid(a_plan(planters=(a_planter(),)), survey=a_survey(drains=(drain,), penetrations=(vent,)))
    )
    assert found["layout.drain-covered"] == "check"
    assert found["layout.clearance"] == "check"
    clear = codes(laid(a_plan(planters=(a_planter(x_mm=4000, y_mm=3000),))))
    assert not {"layout.drain-covered", "layout.clearance"} & set(clear)


def test_a_stone_bed_over_a_drain_is_a_check() -> None:
    bed = p.StoneBed(
        id="bed", outline_mm=((2800, 0), (3200, 0), (3200, 180), (2800, 180)), depth_mm=60, stone="gravel"
    )
    assert codes(laid(a_plan(stone_beds=(bed,))))["layout.drain-covered"] == "check"


def test_a_box_too_low_for_its_rails_stops() -> None:
    low = a_planter(height_mm=150, media_depth_mm=100)
    assert codes(laid(a_plan(planters=(low,))))["layout.box-low"] == "stop"


def test_a_field_wholly_taken_by_clearances_stops() -> None:
    unit = s.Penetration(id="u", kind="unit", x_mm=3000, y_mm=2000, width_mm=5900, depth_mm=3900)
    layout = laid(survey=a_survey(penetrations=(unit,)))
    assert codes(layout)["layout.no-boards"] == "stop"
    assert layout.fields[0].boards_m2 == 0.0


def test_turned_courses_turn_their_breakers() -> None:
    layout = laid(a_plan(deck_fields=(a_deck_field(angle_deg=90.0, longest_run_mm=2000.0),)))
    line = layout.fields[0].breaker_lines[0]
    assert line.start_mm[1] == pytest.approx(line.end_mm[1])
    breakers = [piece for piece in layout.pieces if piece.role == "breaker"]
    assert all(piece.width_mm == pytest.approx(140.0) for piece in breakers)


def test_every_piece_names_a_board_and_a_place_that_exist() -> None:
    layout = laid(a_plan(planters=(a_planter(),)))
    assert {piece.profile for piece in layout.pieces} == {"pine"}
    assert len({piece.id for piece in layout.pieces}) == len(layout.pieces)


def test_the_end_trim_shortens_what_a_stock_length_gives() -> None:
    trimmed = choices().cutting.model_copy(update={"end_trim_mm": 25.0})
    layout = laid(
        a_plan(deck_fields=(a_deck_field(outline_mm=((0, 0), (3590, 0), (3590, 800), (0, 800))),)),
        materials=choices(cutting=trimmed),
    )
    assert layout.fields[0].breaker_lines
    assert max(piece.length_mm for piece in layout.pieces) <= 3575.0


def test_a_hundred_square_metres_are_laid_in_a_fraction_of_a_second() -> None:
    field = a_deck_field(
        outline_mm=((0, 0), (12000, 0), (12000, 8500), (0, 8500)), border_courses=2, angle_deg=30
    )
    whole = a_job(
        plan=a_plan(deck_fields=(field,)), materials=choices(boards=(a_board(),), sections=(a_section(),))
    )
    lay_out(whole, read_roof(whole))
    best = 9.0
    for _ in range(3):
        begun = time.perf_counter()
        lay_out(whole, read_roof(whole))
        best = min(best, time.perf_counter() - begun)
    # About 0.03 s on one free core; the bound leaves room for a busy machine.
    assert best < 0.5


def test_each_field_states_its_runs_and_gaps_with_their_numbers() -> None:
    said = [a for a in laid().assumptions if a.code == "layout.end-gaps"]
    assert len(said) == 1
    assert "set by the stock" in said[0].text
    assert "3.0 mm when fitted at 15 °C" in said[0].text
    assert said[0].source.endswith("invented")


def test_every_finding_of_the_room_has_a_source_and_a_place() -> None:
    low = a_planter(height_mm=150, media_depth_mm=100)
    wall = p.FeatureWall(
        id="w", start_mm=(0, 0), end_mm=(3000, 0), height_mm=2000, cladding="pine", furring="furring"
    )
    layout = laid(
        a_plan(planters=(low,), feature_walls=(wall,), deck_fields=(a_deck_field(longest_run_mm=100),))
    )
    assert len(layout.findings) >= 3
    assert all(finding.source and finding.place and finding.text.endswith(".") for finding in layout.findings)
