"""Laws of the job file: writing loses nothing, units change nothing, and nothing breaks the reader."""

import json
from collections.abc import Callable, Iterator
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from app.job.errors import InputError, InputErrors
from app.job.file import read_job, read_job_text, write_job
from app.job.job import Job
from app.job.record import Record, key_in_job_file
from tests.builders import a_deck_field, a_job, a_plan, a_planter, a_survey, spot_heights
from tests.job.documents import at, demo

sizes = st.integers(min_value=25_000, max_value=600_000).map(lambda tenths: tenths / 10)


@st.composite
def jobs(draw: st.DrawFn) -> Job:
    """Rectangular roofs of many sizes with a field drawn inside, and perhaps a planter."""
    width, depth = draw(sizes), draw(sizes)
    field = a_deck_field(
        outline_mm=((200, 200), (width - 200, 200), (width - 200, depth - 200), (200, depth - 200)),
        angle_deg=draw(st.floats(-90, 90)),
        border_courses=draw(st.integers(0, 3)),
        longest_run_mm=draw(st.none() | st.floats(600, 6000)),
    )
    survey = a_survey(
        outline_mm=((0, 0), (width, 0), (width, depth), (0, depth)),
        spot_heights=spot_heights((0, 0), (width, 0), (0, depth)),
        drains=(),
        doors=(a_survey().doors[0].model_copy(update={"x_mm": width / 2, "y_mm": depth}),),
        live_load=draw(st.sampled_from([None, a_survey().live_load])),
    )
    planters = (a_planter(),) if draw(st.booleans()) else ()
    return a_job(survey=survey, plan=a_plan(deck_fields=(field,), planters=planters))


@settings(max_examples=40, deadline=None)
@given(jobs())
def test_reading_what_was_written_gives_the_same_job(job: Job) -> None:
    assert read_job(write_job(job)) == job
    assert read_job_text(json.dumps(write_job(job), ensure_ascii=False)) == job


def records(kind: type[Record] = Record) -> Iterator[type[Record]]:
    """All kinds of record in the job file."""
    yield kind
    for below in kind.__subclasses__():
        yield from records(below)


FIELDS = {name for record in records() for name in record.model_fields}
LENGTH_KEYS = {key_in_job_file(name) for name in FIELDS if name.endswith("_mm")}
# A key that is a length in one record and something else in another is left as it is.
OTHER_KEYS = {key_in_job_file(name) for name in FIELDS if not name.endswith("_mm")}


def rewritten(value: Any, write: Callable[[float], Any], key: str = "") -> Any:
    """The same document with every length written another way."""
    if isinstance(value, dict):
        return {name: rewritten(item, write, name) for name, item in value.items()}
    if isinstance(value, list):
        return [rewritten(item, write, key) for item in value]
    is_length = key in LENGTH_KEYS - OTHER_KEYS and isinstance(value, (int, float))
    return write(value) if is_length else value


def leaves(value: Any) -> Iterator[Any]:
    """All values of a document that hold no others, in order."""
    inner = value.values() if isinstance(value, dict) else value if isinstance(value, list) else None
    if inner is None:
        yield value
    for item in inner or ():
        yield from leaves(item)


def primes(length_mm: float) -> str:
    """Feet and decimal inches, the inches kept under twelve."""
    feet = (abs(length_mm) + 1e-6) // 304.8
    inches = max(0.0, abs(length_mm) - feet * 304.8) / 25.4
    return f"{'-' if length_mm < 0 else ''}{feet:.0f}′ {inches:.12f}″"


UNITS = {
    "mm": lambda mm: f"{mm!r} mm",
    "cm": lambda mm: f"{mm / 10:.12f}cm",
    "m": lambda mm: f"{mm / 1000:.12f} m",
    "in": lambda mm: f'{mm / 25.4:.12f}"',
    "ft": lambda mm: f"{mm / 304.8:.12f} ft",
    "primes": primes,
}


@pytest.mark.parametrize("unit", UNITS)
@settings(max_examples=15, deadline=None)
@given(job=jobs())
def test_the_unit_in_which_lengths_are_typed_changes_nothing(unit: str, job: Job) -> None:
    document = write_job(job)
    typed = rewritten(document, UNITS[unit])
    assert sum(isinstance(leaf, str) for leaf in leaves(typed)) > 40
    for read, built in zip(leaves(write_job(read_job(typed))), leaves(document), strict=True):
        assert read == (pytest.approx(built, abs=1e-6) if isinstance(built, float) else built)


def test_the_demo_typed_in_inches_is_the_same_demo() -> None:
    document = demo()
    read = read_job(rewritten(document, UNITS["in"]))
    for one, other in zip(leaves(write_job(read)), leaves(write_job(read_job(document))), strict=True):
        assert one == (pytest.approx(other, abs=1e-6) if isinstance(other, float) else other)


def places(value: Any, path: str = "") -> Iterator[str]:
    """Every path in a document."""
    if isinstance(value, dict):
        for key, item in value.items():
            yield f"{path}.{key}".removeprefix(".")
            yield from places(item, f"{path}.{key}".removeprefix("."))
    elif isinstance(value, list):
        for number, item in enumerate(value):
            yield f"{path}[{number}]"
            yield from places(item, f"{path}[{number}]")


texts = st.sampled_from(["", "3 m", "5 psf", "12' 6\"", "1/0", "tmp-140", "panel", "x" * 500]) | st.text(
    max_size=9
)
scalars = st.none() | st.booleans() | st.integers() | st.floats() | texts
values = st.recursive(
    scalars, lambda inner: st.lists(inner, max_size=4) | st.dictionaries(texts, inner, max_size=3)
)


@settings(max_examples=50, deadline=None)
@given(path=st.sampled_from(sorted(places(demo()))), value=values)
def test_whatever_is_put_anywhere_is_read_or_refused_with_its_place(path: str, value: Any) -> None:
    document = demo()
    *_, last = path.replace("[", ".").replace("]", "").split(".")
    holder = at(document, path.rpartition("[")[0] if path.endswith("]") else path.rpartition(".")[0])
    holder[int(last) if isinstance(holder, list) else last] = value
    faults: tuple[InputError, ...] = ()
    try:
        job = read_job(document)
    except InputErrors as caught:
        faults = caught.errors
    else:
        assert read_job(write_job(job)) == job
    assert all(fault.path and fault.wanted.endswith((".", "?")) for fault in faults)
