"""The roof room's answer, whole."""

import pytest

from app.job import survey as s
from app.takeoff.roof.read_roof import read_roof
from app.takeoff.roof.way_up import longest_usable_mm
from tests.builders import (
    a_board,
    a_deck_field,
    a_job,
    a_plan,
    a_survey,
    choices,
    roof_height_mm,
    spot_heights,
)


def codes(job: object) -> set[str]:
    return {f"{f.grade} {f.code}" for f in read_roof(job).findings}  # type: ignore[arg-type]


def test_the_builders_roof_is_read_as_an_exact_plane() -> None:
    reading = read_roof(a_job())
    assert reading.method == "plane"
    assert reading.fall_pct == pytest.approx(2.0)
    assert reading.fall_deg == pytest.approx(270.0)
    assert reading.height_mm(1234.0, 2000.0) == pytest.approx(roof_height_mm(1234.0, 2000.0))


def test_no_allowable_load_and_no_live_load_stop_whatever_is_drawn() -> None:
    bare = a_survey(allowable_load=None, live_load=None)
    for plan in (a_plan(), a_plan(deck_fields=())):
        found = codes(a_job(survey=bare, plan=plan))
        assert {"stop roof.no-allowable-load", "stop roof.no-live-load"} <= found
    assert not {c for c in codes(a_job()) if c.startswith("stop")}


@pytest.mark.parametrize(("y", "is_noted"), [(2000.0, True), (55.0, True), (45.0, False)])
def test_a_drain_under_the_boards_or_within_its_clearance_is_noted(y: float, is_noted: bool) -> None:
    drain = s.Drain(id="mid", kind="drain", x_mm=3000, y_mm=y)  # 150 mm to keep clear, boards from 200
    assert ("note roof.drain-under-deck" in codes(a_job(survey=a_survey(drains=(drain,))))) is is_noted


def test_spot_heights_that_miss_part_of_a_field_are_a_check() -> None:
    narrow = spot_heights((0, 0), (2000, 0), (2000, 4000), (0, 4000))
    assert "check roof.spots-short" in codes(a_job(survey=a_survey(spot_heights=narrow)))
    assert "check roof.spots-short" not in codes(a_job())


def test_spot_heights_in_one_line_stop() -> None:
    line = spot_heights((0, 0), (2000, 0), (4000, 0))
    assert "stop roof.spots-in-line" in codes(a_job(survey=a_survey(spot_heights=line)))


@pytest.mark.parametrize(
    ("swing", "is_exit", "step", "complains"),
    [
        ("out", True, 38.0, False),
        ("out", True, 39.0, True),
        ("in", True, 196.0, False),
        ("in", True, 198.0, True),
        ("out", False, 196.0, False),
        ("out", False, 198.0, True),
    ],
)
def test_the_step_at_a_door_is_held_against_the_code(
    swing: str, is_exit: bool, step: float, complains: bool
) -> None:
    door = s.Door(
        id="door",
        x_mm=3000,
        y_mm=4000,
        width_mm=900,
        threshold_mm=80.0,
        swing=swing,
        is_required_exit=is_exit,
    )
    plan = a_plan(level=a_plan().level.model_copy(update={"level_mm": 80.0 - step}))
    assert ("check roof.door-step" in codes(a_job(survey=a_survey(doors=(door,)), plan=plan))) is complains


def test_a_deck_above_the_threshold_is_a_check_as_well_as_a_stop() -> None:
    plan = a_plan(level=a_plan().level.model_copy(update={"level_mm": 15.0}))
    assert {"check roof.door-step", "stop roof.level-outside-window"} <= codes(a_job(plan=plan))


def test_every_finding_has_a_source_and_never_promises() -> None:
    worst = a_survey(
        allowable_load=None,
        live_load=None,
        drains=(),
        edges=(s.Edge(id="south", from_corner=0, kind="open"),),
        spot_heights=spot_heights((0, 0), (500, 0), (500, 500)),
    )
    findings = read_roof(a_job(survey=worst, plan=a_plan(deck_fields=(a_deck_field(),)))).findings
    assert len(findings) >= 6
    for finding in findings:
        assert finding.source
        assert "safe" not in finding.text
        assert "complian" not in finding.text


def test_the_longest_usable_piece_is_the_longest_stock_that_turns_less_the_trim() -> None:
    board, way_up = a_board(), a_survey().way_up  # stock 2400 to 4800, 3600 turns
    cutting = choices().cutting.model_copy(update={"end_trim_mm": 10.0})
    assert longest_usable_mm(board.stock, way_up, cutting) == 3590.0
    narrow = way_up.model_copy(update={"longest_piece_mm": 2000.0})
    assert longest_usable_mm(board.stock, narrow, cutting) == 1990.0
