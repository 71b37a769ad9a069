"""Zones, folds, steps and screens that contradict the rest of the job file are refused at their place."""

from typing import Any

import pytest

from app.job.errors import InputErrors
from app.job.file import read_job
from tests.job.documents import changed, demo

_ZONE = {"id": "upper", "outline": [[500, 500], [4500, 500], [4500, 3500], [500, 3500]]}
_STEPS = {"id": "st", "x": 3000, "y": 4160, "width": 1000, "upper": "lounge", "lower": "main"}
_STEPS |= {"board": "tmp-140", "frame": "sp-64"}
_FOLD = {"id": "f", "kind": "ridge", "start": [100, 100], "start_z": 0, "end": [2000, 100], "end_z": 0}
_WALL = "plan.feature_walls[0].openings"
_NICHE = {"id": "n", "kind": "niche", "x": 200, "z": 900, "width": 900, "height": 600}


def _line(y: float) -> list[dict[str, Any]]:
    return [{"id": f"z{n}", "x": 600 + 1000 * n, "y": y, "z": -100, "zone": "upper"} for n in range(3)]


def _screen(**changes: Any) -> list[dict[str, Any]]:
    return [_NICHE | {"screen_width": 700, "screen_height": 400} | changes]


_CROSSED = [[0, 0], [9e3, 5e3], [9e3, 0], [0, 5e3]]
_BEYOND = [[8e3, 0], [12e3, 0], [12e3, 3e3]]
ZONE_RING = "survey.zones[0].outline"
CASES: list[tuple[str, Any, str, str]] = [
    ("survey.zones", [_ZONE | {"outline": _CROSSED}], ZONE_RING, "crosses"),
    ("survey.zones", [_ZONE | {"outline": _BEYOND}], ZONE_RING, "beyond the roof"),
    ("survey.zones", [_ZONE, _ZONE | {"id": "two"}], "survey.zones[1].outline", "overlaps upper"),
    (
        "survey.zones",
        [_ZONE | {"outline": [[500, 500], [900, 500], [900, 900], [500, 900]]}],
        "survey.zones[0]",
        "Measure at least three in it",
    ),
    ("survey.spot_heights[0].zone", "attic", "survey.spot_heights[0].zone", "There is no zone called attic"),
    ("survey.folds", [_FOLD | {"end": [120, 100]}], "survey.folds[0].end", "at least 100 mm apart"),
    ("survey.folds", [_FOLD | {"start": [-3000, 100]}], "survey.folds[0].start", "outside the roof"),
    ("survey.folds", [_FOLD | {"kind": "bump"}], "survey.folds[0].kind", "'ridge', 'valley'"),
    ("plan.steps", [_STEPS], "plan.steps[0].upper", "does not go up"),
    ("plan.steps", [_STEPS | {"lower": "lounge"}], "plan.steps[0].lower", "to itself"),
    ("plan.steps", [_STEPS | {"upper": "attic"}], "plan.steps[0].upper", "no deck field called attic"),
    ("plan.steps", [_STEPS | {"lower": None, "x": 20e3}], "plan.steps[0]", "outside the roof"),
    ("plan.steps", [_STEPS | {"width": 0}], "plan.steps[0].width", "above 0"),
    ("plan.deck_fields[0].joints", "random", "plan.deck_fields[0].joints", "'staggered'"),
    ("plan.deck_fields[0].fascia", "oak", "plan.deck_fields[0].fascia", "no board called oak"),
    ("plan.feature_walls[0].cap_slope_pct", -5, "plan.feature_walls[0].cap_slope_pct", "below 0"),
    ("plan.feature_walls[0].start_return", "-2 in", "plan.feature_walls[0].start_return", "below 0"),
    (_WALL, _screen(kind="window"), f"{_WALL}[0].screen_width", "a screen hangs in a niche"),
    (_WALL, _screen(screen_height=None), f"{_WALL}[0].screen_height", "Give its width and its height"),
    (_WALL, _screen(screen_width=1200), f"{_WALL}[0].screen_width", "does not fit a niche of 900 mm"),
    ("choices.stones[0].bag", 0, "choices.stones[0].bag", "above 0"),
]  # fmt: skip


@pytest.mark.parametrize(
    ("where", "value", "path", "words"), CASES, ids=[f"{n}-{case[2]}" for n, case in enumerate(CASES)]
)
def test_a_fault_is_told_at_its_place_in_words_that_help(
    where: str, value: Any, path: str, words: str
) -> None:
    with pytest.raises(InputErrors) as caught:
        read_job(changed(where, value))
    told = {error.path: error.wanted for error in caught.value.errors}
    assert path in told, told
    assert words in told[path]


def test_a_sound_zone_with_heights_on_both_sides_of_its_step_is_read() -> None:
    document = demo()
    document["survey"]["zones"] = [_ZONE]
    taken = document["survey"]["spot_heights"][0]
    inside = {"id": "same", "x": taken["x"], "y": taken["y"], "z": taken["z"] + 300, "zone": "upper"}
    document["survey"]["spot_heights"] += [*_line(700), inside]
    assert read_job(document).survey.zones[0].id == "upper"


def test_heights_of_one_zone_on_one_line_give_no_surface() -> None:
    document = demo()
    narrow = {"id": "upper", "outline": [[600, 550], [900, 550], [900, 900], [600, 900]]}
    document["survey"]["zones"] = [narrow]
    document["survey"]["spot_heights"] += _line(700)
    with pytest.raises(InputErrors) as caught:
        read_job(document)
    assert "stand in one line" in caught.value.errors[0].wanted


def test_steps_between_two_levels_are_read() -> None:
    document = demo()
    document["plan"]["deck_fields"][1]["level_offset"] = "12 in"
    document["plan"]["steps"] = [_STEPS]
    job = read_job(document)
    assert job.plan.steps[0].going_mm == 280.0
    assert job.plan.deck_fields[1].level_offset_mm == pytest.approx(304.8)
