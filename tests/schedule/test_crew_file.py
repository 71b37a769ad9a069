"""The crew file as records."""

import json
from datetime import date
from pathlib import Path
from typing import Any

import pytest

from app.job.errors import InputErrors
from app.schedule.calendars import calendar_for
from app.schedule.crew_file import read_calendar_rules, read_crews

FILE = Path(__file__).parents[2] / "seed_data" / "shop" / "crews.json"
CREW = {"code": "a", "name": "A", "people": 2, "day_h": 8}
RULES = {"region": "US-ME", "weekdays": [0, 1], "leave": [{"on": "2026-08-07", "name": "x"}]}


def test_the_demo_crews_and_their_calendar_read() -> None:
    document = json.loads(FILE.read_text(encoding="utf-8"))
    rules = read_calendar_rules(document)
    assert [crew.people for crew in read_crews(document)] == [2, 3]
    calendar = calendar_for(rules.region, [2026], rules.weekdays, rules.leave)
    assert date(2026, 8, 7) in dict(calendar.days_off)


@pytest.mark.parametrize(
    ("change", "path"),
    [
        ({"people": 0}, "crews[0].people"),
        ({"people": 1.5}, "crews[0].people"),
        ({"day_h": 25}, "crews[0].day_h"),
        ({"day_h": "long"}, "crews[0].day_h"),
        ({"name": ""}, "crews[0].name"),
        ({"van": "red"}, "crews[0].van"),
    ],
)
def test_a_fault_in_a_crew_names_its_place(change: dict[str, Any], path: str) -> None:
    with pytest.raises(InputErrors) as caught:
        read_crews({"crews": [CREW | change]})
    assert [error.path for error in caught.value.errors] == [path]


def test_a_code_used_twice_is_a_fault() -> None:
    with pytest.raises(InputErrors, match="another crew has it"):
        read_crews({"crews": [CREW, CREW]})


@pytest.mark.parametrize(
    ("change", "path"),
    [
        ({"weekdays": [7]}, "calendar.weekdays"),
        ({"weekdays": []}, "calendar.weekdays"),
        ({"region": ""}, "calendar.region"),
        ({"leave": [{"on": "soon", "name": "x"}]}, "calendar.leave[0].on"),
        ({"leave": [3]}, "calendar.leave[0]"),
    ],
)
def test_a_fault_in_the_calendar_names_its_place(change: dict[str, Any], path: str) -> None:
    with pytest.raises(InputErrors) as caught:
        read_calendar_rules({"calendar": RULES | change})
    assert path in [error.path for error in caught.value.errors]
