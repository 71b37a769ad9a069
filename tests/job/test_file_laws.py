"""Laws of the job file: writing loses nothing, and the unit a length is typed in changes nothing."""

import json
from collections.abc import Callable
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from app.job.file import read_job, read_job_text, write_job
from app.job.job import Job
from app.job.survey import Survey
from tests.builders import a_deck_field, a_job, a_plan, a_planter, a_survey

coordinates = st.integers(min_value=1600, max_value=60_000).map(lambda tenth: tenth / 10)


@st.composite
def jobs(draw: st.DrawFn) -> Job:
    """Rectangular roofs of many sizes with a field drawn inside, and perhaps a planter."""
    width, depth = draw(coordinates) + 2500, draw(coordinates) + 2500
    outline = ((0, 0), (width, 0), (width, depth), (0, depth))
    field = a_deck_field(
        outline_mm=((200, 200), (width - 200, 200), (width - 200, depth - 200), (200, depth - 200)),
        angle_deg=draw(st.floats(-90, 90)),
        border_courses=draw(st.integers(0, 3)),
        longest_run_mm=draw(st.none() | st.floats(600, 6000)),
    )
    planters = (a_planter(x_mm=900, y_mm=500),) if draw(st.booleans()) else ()
    survey = a_survey(
        outline_mm=outline,
        spot_heights=a_survey().spot_heights[:1] + a_survey_heights(width, depth),
        drains=(),
        doors=(a_survey().doors[0].model_copy(update={"x_mm": width / 2, "y_mm": depth}),),
        live_load=draw(st.sampled_from([None, a_survey().live_load])),
    )
    return a_job(survey=survey, plan=a_plan(deck_fields=(field,), planters=planters))


def a_survey_heights(width: float, depth: float) -> tuple[Any, ...]:
    """Two more spot heights, at corners of the roof."""
    first = a_survey().spot_heights[0]
    return (
        first.model_copy(update={"id": "h2", "x_mm": width}),
        first.model_copy(update={"id": "h3", "y_mm": depth}),
    )


@settings(max_examples=40, deadline=None)
@given(jobs())
def test_reading_what_was_written_gives_the_same_job(job: Job) -> None:
    assert read_job(write_job(job)) == job
    assert read_job_text(json.dumps(write_job(job), ensure_ascii=False)) == job


def rewritten(value: Any, write: Callable[[float], Any], key: str = "") -> Any:
    """The same document with every plan length written another way."""
    if isinstance(value, dict):
        return {name: rewritten(item, write, name) for name, item in value.items()}
    if isinstance(value, list):
        return [rewritten(item, write, key) for item in value]
    is_length = key in ("x", "y", "z", "outline", "height", "drop", "diameter", "width", "threshold")
    return write(value) if is_length and isinstance(value, float) else value


@settings(max_examples=20, deadline=None)
@given(jobs())
@pytest.mark.parametrize(
    "write",
    [lambda mm: f"{mm!r} mm", lambda mm: f"{mm / 1000:.10f} m", lambda mm: f"{mm / 25.4:.10f} in"],
    ids=["mm", "m", "in"],
)
def test_the_unit_in_which_lengths_are_typed_changes_nothing(write: Callable[[float], str], job: Job) -> None:
    document = write_job(job)
    document["survey"] = rewritten(document["survey"], write)
    read = read_job(document)
    for one, other in zip(lengths(read.survey), lengths(job.survey), strict=True):
        assert one == pytest.approx(other, abs=1e-6)


def lengths(survey: Survey) -> list[float]:
    """Every number that `rewritten` touches, in order."""
    found = [number for corner in survey.outline_mm for number in corner]
    found += [number for height in survey.spot_heights for number in (height.x_mm, height.y_mm, height.z_mm)]
    return found + [
        number for door in survey.doors for number in (door.x_mm, door.width_mm, door.threshold_mm)
    ]
