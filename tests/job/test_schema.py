"""The published schema is the one the records give, and it agrees with the reader about examples."""

import json
from pathlib import Path
from typing import Any

import pytest
from jsonschema import Draft202012Validator

from app.job.file import read_job
from app.job.record import Record, key_in_job_file
from app.job.schema import schema
from tests.job.documents import JOBS
from tests.job.test_faults import CASES, changed

SHARED = Path(__file__).parents[2] / "shared" / "schema"
EXAMPLES = sorted((SHARED / "examples").glob("*.json")) + sorted(JOBS.glob("*.json"))
VALIDATOR = Draft202012Validator(schema())
# The faults that are of form alone: what values say about each other, a schema cannot see.
FORM_WORDS = (
    "There is no key",
    "the job needs it",
    "A list is wanted",
    "'imperial'",
    "'parapet'",
    "'14 AWG'",
)


def read(path: Path) -> dict[str, Any]:
    return dict(json.loads(path.read_text(encoding="utf-8")))


def test_the_schema_is_itself_sound() -> None:
    Draft202012Validator.check_schema(schema())


def test_the_published_schema_is_what_the_records_give() -> None:
    assert read(SHARED / "job-file-v1.schema.json") == json.loads(json.dumps(schema()))


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.stem)
def test_schema_and_reader_both_take_every_example(path: Path) -> None:
    VALIDATOR.validate(read(path))
    read_job(read(path))


FORM_CASES = [case for case in CASES if any(words in case[3] for words in FORM_WORDS)]


@pytest.mark.parametrize("case", FORM_CASES, ids=[f"{n}-{case[2]}" for n, case in enumerate(FORM_CASES)])
def test_what_is_wrong_in_form_is_refused_by_the_schema_too(case: tuple[str, Any, str, str]) -> None:
    assert not VALIDATOR.is_valid(changed(case[0], case[1]))


def keys_of(value: Any) -> set[str]:
    if isinstance(value, dict):
        return set(value) | {key for item in value.values() for key in keys_of(item)}
    return {key for item in value for key in keys_of(item)} if isinstance(value, list) else set()


def records(kind: type[Record] = Record) -> set[type[Record]]:
    return {kind} | {deeper for below in kind.__subclasses__() for deeper in records(below)}


def test_the_full_example_shows_every_key_there_is() -> None:
    every = {key_in_job_file(name) for record in records() for name in record.model_fields}
    assert every - keys_of(read(SHARED / "examples" / "full.json")) == set()


def test_the_guide_names_every_part_of_the_file() -> None:
    guide = (SHARED / "README.md").read_text(encoding="utf-8")
    for record in records():
        if record.__name__ in ("Survey", "Plan", "Choices"):
            for name in record.model_fields:
                assert f"`{key_in_job_file(name)}`" in guide, name
