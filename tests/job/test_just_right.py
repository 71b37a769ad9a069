"""What lies at a limit is still read: a check that refuses good work is as bad as one that misses a slip."""

import copy
from typing import Any

import pytest

from app.job.file import read_job
from tests.job.documents import changed, demo

_FIELD = demo()["plan"]["deck_fields"][1]
_WALL = demo()["plan"]["feature_walls"][0]


def _with(record: dict[str, Any], **changes: Any) -> dict[str, Any]:
    return copy.deepcopy(record) | changes


CASES: list[tuple[str, Any]] = [
    ("survey.doors[0].y", 4101),
    ("survey.drains[0].x", -99),
    ("survey.spot_heights[0].x", -499),
    ("survey.temperatures.fitting", -18),
    ("survey.edges", []),
    ("survey.holes", [[[1000, 6860], [2000, 6860], [2000, 6990]]]),
    ("survey.penetrations[0].depth", 200),
    ("survey.allowable_load", None),
    ("plan.deck_fields[0].outline", [[0, 0], [9000, 0], [9000, 4160], [0, 4160]]),
    (
        "plan.deck_fields[0].holes",
        [[[7000, 1000], [7500, 1000], [7500, 1500]], [[1000, 1500], [1500, 1500], [1000, 2000]]],
    ),
    ("plan.deck_fields[1].outline", [[150, 4150], [5340, 4150], [5340, 6340], [150, 6340]]),
    ("plan.deck_fields[1].outline", _FIELD["outline"][::-1]),
    ("plan.planters[0].x", 600),
    ("plan.planters[0].media_depth", 450),
    ("plan.furniture[1].x", 7300),
    ("plan.furniture[1].y", 3600),
    ("plan.feature_walls[0].openings", [_with(_WALL["openings"][0], x=0, z=0, width=2000, height=2400)]),
    (
        "plan.feature_walls[0].openings",
        [
            _with(_WALL["openings"][0], x=0, width=300),
            _with(_WALL["openings"][0], id="next", x=300, width=300),
        ],
    ),
    ("plan.level.least_pad", 175),
    ("plan.fixtures[0].least", 15),
    ("plan.fixtures[0].x", 9300),
    ("plan.circuits[0].cable", "lv-10"),
    ("plan.transformers[0].x", 12_000),
    ("choices.boards[0].least_gap", 8),
    ("choices.stones[0].wet", 1500),
    ("choices.tops[0].id", "x" * 40),
]


@pytest.mark.parametrize(("where", "value"), CASES, ids=[f"{n}-{case[0]}" for n, case in enumerate(CASES)])
def test_what_just_fits_is_read(where: str, value: Any) -> None:
    document = changed(where, value)
    if where == "choices.tops[0].id":
        document["plan"]["counters"][0]["top"] = value
    assert read_job(document).id == "harbour-workshop"


@pytest.mark.parametrize("angle", [0, 30, 45, 90, 180, 270, -90])
def test_a_box_is_turned_about_its_centre(angle: float) -> None:
    document = changed("plan.furniture[0].angle", angle)
    document["plan"]["furniture"][0] |= {"x": 1150, "y": 5200, "length": 2000, "width": 900}
    assert read_job(document).plan.furniture[0].angle_deg == angle
