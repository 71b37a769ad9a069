"""The demo jobs and the list of items they need."""

import json
from collections import Counter
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from shapely import Point, Polygon

from app.job.choices import Fastening
from app.job.file import read_job_text, write_job
from app.takeoff.chain import take_off
from tests.job.documents import JOBS

ITEM_KEYS = (
    "item",
    "fastener",
    "plug",
    "shim_item",
    *(set(Fastening.model_fields) - {"joist_tape_width_mm"}),
)


def items_of(value: Any, key: str = "") -> Iterator[str]:
    """Item codes anywhere in a document of choices and plan."""
    if isinstance(value, dict):
        for name, item in value.items():
            yield from items_of(item, name)
    elif isinstance(value, list):
        for item in value:
            yield from items_of(item, key)
    elif isinstance(value, str) and key in ITEM_KEYS:
        yield value


def documents() -> dict[str, dict[str, Any]]:
    return {
        p.stem: write_job(read_job_text(p.read_text(encoding="utf-8"))) for p in sorted(JOBS.glob("*.json"))
    }


def test_the_list_of_items_is_exactly_what_the_jobs_can_ask_for() -> None:
    asked = set[str]()
    for document in documents().values():
        asked |= set(items_of({"choices": document["choices"], "plan": {"f": document["plan"]["fixtures"]}}))
    listed = (Path(__file__).parents[2] / "seed_data" / "ITEMS.md").read_text(encoding="utf-8").split()
    assert listed == sorted(asked)


def test_there_are_three_different_jobs() -> None:
    jobs = documents()
    assert sorted(jobs) == ["harbour-workshop", "net-store", "quay-loft"]
    assert {len(job["survey"]["outline"]) for job in jobs.values()} == {4, 6}
    assert {job["units"] for job in jobs.values()} == {"imperial", "metric"}


@pytest.mark.parametrize("name", ["harbour-workshop", "quay-loft", "net-store"])
def test_the_deck_fits_between_the_roof_and_the_threshold(name: str) -> None:
    job = read_job_text((JOBS / f"{name}.json").read_text(encoding="utf-8"))
    level_mm = min(door.threshold_mm for door in job.survey.doors) - job.plan.level.step_below_threshold_mm
    boards = {board.id: board for board in job.choices.boards}
    sections = {section.id: section for section in job.choices.sections}
    for field in job.plan.deck_fields:
        build_mm = boards[field.board].thickness_mm + sections[field.sleeper].depth_mm
        around = Polygon(field.outline_mm)
        stacks_mm = [
            level_mm - build_mm - height.z_mm
            for height in job.survey.spot_heights
            if around.contains(Point(height.x_mm, height.y_mm))
        ]
        assert job.plan.level.least_pad_mm <= min(stacks_mm)
        assert max(stacks_mm) <= job.plan.level.greatest_pad_mm


def test_the_file_is_written_with_numbers_that_a_person_can_read() -> None:
    for path in JOBS.glob("*.json"):
        text = path.read_text(encoding="utf-8")
        assert max(map(len, text.splitlines())) <= 120
        assert json.loads(text)["notes"].startswith("Invented job")


@pytest.mark.parametrize("name", ["harbour-workshop", "quay-loft", "net-store"])
def test_the_engine_has_nothing_to_stop_and_something_to_ask(name: str) -> None:
    job = read_job_text((JOBS / f"{name}.json").read_text(encoding="utf-8"))
    grades = Counter(finding.grade for finding in take_off(job, {}).findings)
    assert grades["stop"] == 0
    assert grades["check"] >= 1
    assert grades["note"] >= 1
