"""Malformed and impossible job files: each is refused at its place, in words that say what would do."""

import copy
import re
from typing import Any

import pytest

from app.job.errors import InputErrors
from app.job.file import read_job
from tests.job.documents import LEAVE_OUT, at, changed, demo
from tests.job.test_roof_and_step_faults import CASES as ROOF_AND_STEP_CASES

_PLANTER = demo()["plan"]["planters"][0]
_BED = demo()["plan"]["stone_beds"][0]
_FIELD = demo()["plan"]["deck_fields"][1]
_ROOF = demo()["survey"]["outline"]
_BOW_TIE = [[0, 0], [9000, 7000], [9000, 0], [0, 7000]]


def _scaled(ratio: float) -> list[list[float]]:
    return [[x * ratio, y * ratio] for x, y in _ROOF]


def _with(record: dict[str, Any], **changes: Any) -> dict[str, Any]:
    return copy.deepcopy(record) | changes


# where, what is put there, the path of the fault, words that must stand in it
AREA: dict[str, Any] = {
    "id": "strong",
    "outline": [[0, 0], [2000, 0], [2000, 2000]],
    "dead": 5,
    "live": 5,
    "given_by": "L. Sund (invented)",
    "given_on": "2026-02-20",
}
SNOW: dict[str, Any] = {"ground_snow": 1.4, "edition": "ASCE 7-16", "source": "asked"}
WIND: dict[str, Any] = {
    "wind_speed_m_s": 45,
    "edition": "ASCE 7-16",
    "exposure": "C",
    "roof_height": 9000,
    "source": "asked",
}
CASES: list[tuple[str, Any, str, str]] = [
    # the file
    ("schema_version", 2, "schema_version", "reads version 1"),
    ("schema_version", LEAVE_OUT, "schema_version", "has no schema_version"),
    ("schema_version", True, "schema_version", "reads version 1"),
    ("survey", LEAVE_OUT, "survey", "the job needs it"),
    ("survey", [], "survey", "object with keys"),
    ("plan.deck_fields", {}, "plan.deck_fields", "A list is wanted"),
    ("colour", "blue", "colour", "There is no key colour here"),
    ("plan.deck_fields[0].bord", "tmp-140", "plan.deck_fields[0].bord", "Did you mean board?"),
    ("survey.edges[0].height_mm", 900, "survey.edges[0].height_mm", "write height"),
    ("currency", "usd", "currency", "three capital letters"),
    ("currency", "QQQ", "currency", "no currency"),
    ("units", "nautical", "units", "'imperial', 'metric'"),
    ("title", "", "title", "at least 1 character"),
    ("notes", "x" * 401, "notes", "at most 400 characters"),
    ("id", "harbour workshop", "id", "letters, digits"),
    # values by themselves
    ("survey.outline[3][0]", "5 parsecs", "survey.outline[3][0]", "parsecs is not a unit known here"),
    ("survey.outline[3]", [1, 2, 3], "survey.outline[3]", "at most 2"),
    ("survey.outline", [[0, 0], [1, 1]], "survey.outline", "at least 3"),
    ("survey.outline[1][0]", 2e6, "survey.outline[1][0]", "more than 1 km"),
    ("survey.outline[1][0]", True, "survey.outline[1][0]", "A length is wanted"),
    ("survey.outline[1][0]", None, "survey.outline[1][0]", "A length is wanted"),
    ("survey.outline[1][0]", "", "survey.outline[1][0]", "Nothing is written here"),
    ("survey.outline[1][0]", float("nan"), "survey.outline[1][0]", "has no end or is none"),
    ("survey.edges[0].height", -1, "survey.edges[0].height", "below 0"),
    ("survey.edges[0].from_corner", 1.5, "survey.edges[0].from_corner", "A whole number"),
    ("survey.edges[0].kind", "fence", "survey.edges[0].kind", "'parapet', 'wall'"),
    ("survey.surveyed_on", "9 March", "survey.surveyed_on", "year-month-day"),
    ("survey.way_up.trip_mass", 0, "survey.way_up.trip_mass", "above 0"),
    ("survey.way_up.trip_mass", "25 mm", "survey.way_up.trip_mass", "25 mm is a length. A mass is wanted"),
    ("survey.way_up.longest_piece", "3,600", "survey.way_up.longest_piece", "Write 3600 or 3.600"),
    ("survey.allowable_load.dead", "2.4 kg", "survey.allowable_load.dead", "2.4 kg is a mass"),
    ("survey.doors[0].is_required_exit", "perhaps", "survey.doors[0].is_required_exit", "true or false"),
    ("survey.live_load.source", 7, "survey.live_load.source", "A text is wanted"),
    ("survey.temperatures.lowest", "-18 V", "survey.temperatures.lowest", "-18 V is a voltage"),
    ("survey.temperatures.highest", 300, "survey.temperatures.highest", "above 150"),
    ("plan.deck_fields[0].sleeper_spacing", "16 psf", "plan.deck_fields[0].sleeper_spacing", "A length is"),
    ("plan.deck_fields[0].board", LEAVE_OUT, "plan.deck_fields[0].board", "the job needs it"),
    ("plan.deck_fields[1].angle", "steep", "plan.deck_fields[1].angle", "does not start with a number"),
    ("choices.boards[0].stock", [], "choices.boards[0].stock", "at least 1"),
    ("choices.boards[0].expansion", "36 °F", "choices.boards[0].expansion", "36 °F is a temperature"),
    ("choices.cables[0].size", "13 AWG", "choices.cables[0].size", "'14 AWG'"),
    ("choices.limits.deflection_ratio", 50, "choices.limits.deflection_ratio", "below 100"),
    # the roof
    ("survey.outline", _BOW_TIE, "survey.outline", "crosses or touches itself near"),
    ("survey.outline", [[0, 0], [9000, 0], [4500, 0.1]], "survey.outline", "encloses no area"),
    ("survey.outline", [*_ROOF, [0, 0]], "survey.outline[6]", "the outline closes itself"),
    ("survey.outline", _scaled(100), "survey.outline", "900 m across"),
    ("survey.outline", _scaled(1e-3), "survey.outline", "Likely metres or feet were meant"),
    ("survey.outline", _scaled(1 / 25.4), "survey.outline", "Likely inches or centimetres were meant"),
    (
        "survey.outline",
        _scaled(25.4),
        "survey.outline[1]",
        "Likely inches or centimetres were written where mm",
    ),
    ("survey.holes", [[[8000, 1000], [9500, 1000], [9500, 2000]]], "survey.holes[0]", "over the outline"),
    ("survey.edges[5].from_corner", 6, "survey.edges[5].from_corner", "corners 0 to 5"),
    ("survey.edges[5].from_corner", 4, "survey.edges[5].from_corner", "already described by yard-side"),
    ("survey.spot_heights[3].x", 12000, "survey.spot_heights[3]", "3,000 mm outside the roof"),
    (
        "survey.spot_heights[+]",
        {"id": "h99", "x": 100, "y": 100, "z": 0},
        "survey.spot_heights[27]",
        "as h01",
    ),
    (
        "survey.spot_heights",
        [{"id": f"h{n}", "x": 1000 * n, "y": 500 * n, "z": n} for n in range(1, 6)],
        "survey.spot_heights",
        "on one line",
    ),
    ("survey.drains[0].x", 9800, "survey.drains[0]", "drain lies 800 mm outside"),
    ("survey.penetrations[0].y", -400, "survey.penetrations[0]", "vent lies 400 mm outside"),
    ("survey.doors[0].y", 3900, "survey.doors[0]", "door stands 300 mm from the outline"),
    ("survey.temperatures.lowest", 70, "survey.temperatures.lowest", "is above the highest"),
    ("survey.temperatures.fitting", -30, "survey.temperatures.fitting", "outside their range"),
    # ids and references
    ("plan.benches[0].id", "herbs-1", "plan.benches[0].id", "already used at plan.planters[0].id"),
    ("choices.pads[0].id", "sp-38", "choices.pads[0].id", "already used at choices.sections[2].id"),
    ("plan.deck_fields[0].board", "oak", "plan.deck_fields[0].board", "Those there are: tmp-140, wpc-140"),
    ("plan.deck_fields[0].sleeper", "tmp-140", "plan.deck_fields[0].sleeper", "no section called tmp-140"),
    ("plan.deck_fields[0].pad", "cork", "plan.deck_fields[0].pad", "no pad called cork"),
    ("plan.stone_beds[0].stone", "slate", "plan.stone_beds[0].stone", "no stone called slate"),
    ("plan.planters[0].medium", "peat", "plan.planters[0].medium", "no medium called peat"),
    ("plan.counters[0].top", "zinc", "plan.counters[0].top", "no top called zinc"),
    ("plan.feature_walls[0].furring", "batten", "plan.feature_walls[0].furring", "no section called batten"),
    ("plan.circuits[2].cable", "rope", "plan.circuits[2].cable", "no cable called rope"),
    ("plan.circuits[2].cable", "lv-14", "plan.circuits[2].cable", "a cable for lighting. Name one for power"),
    ("plan.circuits[0].source", "panel", "plan.circuits[0].source", "no transformer called panel"),
    ("plan.circuits[3].source", "panel", "plan.circuits[3].source", "Those there are: amplifier"),
    ("plan.transformers[0].fed_from", "mast", "plan.transformers[0].fed_from", "no power point called mast"),
    ("plan.fixtures[0].circuit", "attic", "plan.fixtures[0].circuit", "no circuit called attic"),
    ("plan.fixtures[0].circuit", "sound", "plan.fixtures[0].circuit", "Name a lighting circuit"),
    ("plan.gas_stubs[0].source", "bottle", "plan.gas_stubs[0].source", "no gas point called bottle"),
    # the plan
    ("plan.deck_fields[0].outline", _BOW_TIE, "plan.deck_fields[0].outline", "crosses or touches itself"),
    ("plan.deck_fields[0].outline[1][0]", 9400, "plan.deck_fields[0].outline", "400 mm over the edge"),
    (
        "plan.deck_fields[+]",
        _with(_FIELD, id="again"),
        "plan.deck_fields[2].outline",
        "again overlaps lounge",
    ),
    (
        "plan.deck_fields[0].holes",
        [[[1000, 1000], [2000, 1000], [2000, 2000]], [[1500, 1200], [2500, 1200], [2500, 1900]]],
        "plan.deck_fields[0].holes[1]",
        "meets hole 0",
    ),
    ("plan.stone_beds[0].outline[2][0]", 6300, "plan.stone_beds[0].outline", "over the edge of the roof"),
    ("plan.stone_beds[0].outline[0][1]", 6200, "plan.stone_beds[0].outline", "overlaps lounge"),
    ("plan.stone_beds[+]", _with(_BED, id="bed-2"), "plan.stone_beds[1].outline", "bed-2 overlaps north-bed"),
    ("plan.planters[0].x", 300, "plan.planters[0]", "herbs-1 reaches 300 mm over the edge"),
    ("plan.planters[+]", _with(_PLANTER, id="h-3"), "plan.planters[2]", "h-3 overlaps herbs-1"),
    ("plan.furniture[1].x", 3000, "plan.furniture[1]", "table overlaps vent"),
    ("plan.planters[0].media_depth", 500, "plan.planters[0].media_depth", "do not fit a planter 450 mm high"),
    ("plan.planters[0].wall", 230, "plan.planters[0].wall", "leave no room for media"),
    ("plan.feature_walls[0].end", [5380, 6300], "plan.feature_walls[0].end", "0 mm long"),
    ("plan.feature_walls[0].end[1]", -900, "plan.feature_walls[0].end", "900 mm outside the roof"),
    ("plan.feature_walls[0].openings[0].z", 2000, "plan.feature_walls[0].openings[0]", "Keep it inside"),
    ("plan.feature_walls[0].openings[0].x", 1800, "plan.feature_walls[0].openings[0]", "2,100 mm along"),
    ("plan.level.least_pad", 200, "plan.level.least_pad", "is above the greatest, 175 mm"),
    ("plan.fixtures[0].least", 16, "plan.fixtures[0].least", "at least 16 V and at most 15 V"),
    ("plan.outlets[0].y", -900, "plan.outlets[0]", "outlet-kitchen lies 900 mm outside"),
    ("plan.speakers[1].x", 6000, "plan.speakers[1]", "speaker-right lies 600 mm outside"),
    # the choices
    ("choices.boards[1].least_gap", 9, "choices.boards[1].least_gap", "is above the greatest, 8 mm"),
    ("choices.stones[0].wet", 1400, "choices.stones[0].wet", "is lighter than dry"),
    # loads by area, snow, wind, offcuts, packs and packers
    (
        "survey.allowable_areas",
        [AREA | {"outline": [[0, 0], [9, 0]]}],
        "survey.allowable_areas[0].outline",
        "3",
    ),
    (
        "survey.allowable_areas",
        [AREA | {"outline": [[0, 0], [2000, 2000], [2000, 0], [0, 2000]]}],
        "survey.allowable_areas[0].outline",
        "crosses or touches itself",
    ),
    (
        "survey.allowable_areas",
        [AREA | {"outline": [[90000, 0], [92000, 0], [92000, 2000]]}],
        "survey.allowable_areas[0].outline",
        "lies outside the roof",
    ),
    ("survey.allowable_areas", [AREA, AREA], "survey.allowable_areas[1].id", "already used"),
    ("survey.snow", SNOW | {"edition": "ASCE 7-05"}, "survey.snow.edition", "'ASCE 7-16', 'ASCE 7-22'"),
    ("survey.snow", SNOW | {"exposure_factor": 9}, "survey.snow.exposure_factor", "2"),
    ("survey.wind", WIND | {"wind_speed_m_s": 0}, "survey.wind.wind_speed_m_s", "0"),
    ("survey.wind", WIND | {"exposure": "E"}, "survey.wind.exposure", "'B', 'C', 'D'"),
    ("plan.furniture[0].water", -1, "plan.furniture[0].water", "0"),
    ("choices.boards[0].stock[0].pack", 0, "choices.boards[0].stock[0].pack", "1"),
    ("choices.cutting.offcut_value_pct", 120, "choices.cutting.offcut_value_pct", "90"),
    (
        "choices.cutting.kept_offcuts",
        [{"profile": "oak", "length": 900}],
        "choices.cutting.kept_offcuts[0].profile",
        "There is no board or section called oak",
    ),
    (
        "choices.cutting.kept_offcuts",
        [{"profile": "tmp-140", "length": 0}],
        "choices.cutting.kept_offcuts[0].length",
        "0",
    ),
    (
        "choices.pads[0].packers",
        [{"item": "A", "height": 10}, {"item": "B", "height": 10}],
        "choices.pads[0].packers[1].height",
        "already has a packer of 10 mm",
    ),
]


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


@pytest.mark.parametrize("case", CASES, ids=[f"{n}-{case[2]}" for n, case in enumerate(CASES)])
def test_no_fault_is_told_in_words_of_the_machine(case: tuple[str, Any, str, str]) -> None:
    with pytest.raises(InputErrors) as caught:
        read_job(changed(case[0], case[1]))
    for error in caught.value.errors:
        for word in (
            "invalid",
            "Invalid",
            "Input should",
            "validator",
            "please",
            "None",
            "NoneType",
            "float",
        ):
            assert word not in error.wanted


def test_every_case_spoils_a_document_that_is_sound() -> None:
    assert read_job(demo()).id == "harbour-workshop"


def test_all_faults_are_told_and_not_the_first_alone() -> None:
    document = demo()
    at(document, "plan.deck_fields[0]")["board"] = "oak"
    at(document, "survey.doors[0]")["y"] = 2000
    at(document, "plan.fixtures[2]")["least"] = 16
    with pytest.raises(InputErrors) as caught:
        read_job(document)
    assert [error.path for error in caught.value.errors] == [
        "survey.doors[0]",
        "plan.fixtures[2].least",
        "plan.deck_fields[0].board",
    ]


def test_an_error_carries_the_value_that_was_typed() -> None:
    with pytest.raises(InputErrors) as caught:
        read_job(changed("survey.way_up.trip_mass", "25 mm"))
    assert [error.value for error in caught.value.errors] == ["25 mm"]


def test_what_is_no_object_is_refused() -> None:
    with pytest.raises(InputErrors, match="one JSON object"):
        read_job([demo()])


def test_an_outline_may_turn_either_way() -> None:
    document = demo()
    document["survey"]["outline"] = _ROOF[::-1]
    assert read_job(document).survey.outline_mm[0] == (0, 7000)


def test_more_than_forty_impossible_inputs_are_refused_each_with_its_own_message() -> None:
    told: dict[str, str] = {}
    for where, value, path, _ in (*CASES, *ROOF_AND_STEP_CASES):
        with pytest.raises(InputErrors) as caught:
            read_job(changed(where, value))
        told |= {error.wanted: path for error in caught.value.errors}
    assert len(told) >= 40
    assert all(words.endswith((".", "?")) for words in told)


def test_contradictions_are_told_in_the_jobs_own_units() -> None:
    told = []
    for where, value, _, _ in CASES:
        document = changed(where, value)
        if document.get("units") != "metric":
            continue
        with pytest.raises(InputErrors) as caught:
            read_job(document)
        metric = {error.wanted for error in caught.value.errors}
        with pytest.raises(InputErrors) as caught:
            read_job(document | {"units": "imperial"})
        told += [error.wanted for error in caught.value.errors if error.wanted not in metric]
    assert "table overlaps vent by" in " ".join(told)
    assert len(told) >= 20
    assert [words for words in told if re.search(r"\d (mm|m²|kg/m³|°C)\b", words)] == []
