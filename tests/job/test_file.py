"""The job file as text: syntax, repeated keys, what is no number; and writing it again."""

import json

import pytest

from app.job.errors import InputErrors
from app.job.file import LONGEST_TEXT, read_job, read_job_text, write_job
from tests.builders import a_deck_field, a_job, a_plan
from tests.job.documents import JOBS, demo


def faults_of(text: str) -> list[tuple[str, str]]:
    with pytest.raises(InputErrors) as caught:
        read_job_text(text)
    return [(error.path, error.wanted) for error in caught.value.errors]


def demo_text(old: str = "", new: str = "") -> str:
    text = (JOBS / "harbour-workshop.json").read_text(encoding="utf-8")
    assert old in text
    return text.replace(old, new, 1)


@pytest.mark.parametrize("path", sorted(JOBS.glob("*.json")), ids=lambda path: path.stem)
def test_every_job_of_the_demo_reads_and_writes_back_the_same(path) -> None:  # type: ignore[no-untyped-def]
    job = read_job_text(path.read_text(encoding="utf-8"))
    assert job.id == path.stem
    assert read_job(write_job(job)) == job
    assert read_job_text(json.dumps(write_job(job))) == job


@pytest.mark.parametrize(
    ("text", "where"),
    [
        ("", "line 1, column 1"),
        ("{", "line 1, column 2"),
        ('{"schema_version": 1,}', "line 1, column 22"),
        ('{\n  "schema_version": 1\n  "id": "a"\n}', "line 3, column 3"),
        ('{"title": "no end', "line 1, column 11"),
        ("{'title': 1}", "line 1, column 2"),
        ("[1] [2]", "line 1, column 5"),
    ],
    ids=[
        "nothing",
        "no-end",
        "trailing-comma",
        "missing-comma",
        "open-string",
        "wrong-marks",
        "two-documents",
    ],
)
def test_a_fault_of_syntax_has_its_line_and_column(text: str, where: str) -> None:
    ((path, wanted),) = faults_of(text)
    assert path == where
    assert where in wanted


def test_a_key_that_stands_twice_is_told_with_its_path() -> None:
    text = demo_text('"board": "tmp-140"', '"board": "tmp-140", "board": "wpc-140"')
    ((path, wanted),) = faults_of(text)
    assert path == "plan.deck_fields[0].board"
    assert "stands here twice" in wanted


def test_a_repeated_top_key_hides_nothing() -> None:
    assert faults_of('{"schema_version": 1, "id": "a", "id": "b"}')[0][0] == "id"


@pytest.mark.parametrize("literal", ["NaN", "Infinity", "-Infinity"])
def test_literals_that_json_does_not_know_are_refused(literal: str) -> None:
    assert faults_of(demo_text('"north": 20', f'"north": {literal}')) == [
        ("survey.north", f"{literal} is no number. Write one, or leave the key out.")
    ]


def test_a_number_too_large_for_a_float_is_refused_at_its_place() -> None:
    assert faults_of(demo_text('"longest_piece": 3600', '"longest_piece": 1e999'))[0][0] == (
        "survey.way_up.longest_piece"
    )


def test_a_number_of_thousands_of_digits_is_refused() -> None:
    ((_, wanted),) = faults_of('{"schema_version": ' + "9" * 5000 + "}")
    assert "too many digits" in wanted


def test_lists_without_end_are_refused() -> None:
    ((_, wanted),) = faults_of("[" * 200_000)
    assert "too deep" in wanted


def test_a_huge_text_is_refused_before_it_is_read() -> None:
    ((_, wanted),) = faults_of(" " * (LONGEST_TEXT + 1))
    assert "at most 5,000,000 are read" in wanted


def test_a_byte_order_mark_does_no_harm() -> None:
    assert read_job_text("\ufeff" + demo_text()).id == "harbour-workshop"


def test_a_key_with_its_unit_is_not_read_beside_the_true_one() -> None:
    document = demo()
    document["survey"]["drains"][0] |= {"x_mm": 4500}
    with pytest.raises(InputErrors, match="Keys carry no unit: write x"):
        read_job(document)


def test_what_is_left_out_takes_its_default() -> None:
    document = demo()
    for key in ("plan", "choices", "notes", "currency", "units"):
        del document[key]
    job = read_job(document)
    assert (job.plan.deck_fields, job.currency, job.units) == ((), "USD", "metric")


def test_a_built_job_passes_the_same_checks() -> None:
    job = a_job(plan=a_plan(deck_fields=(a_deck_field(border_courses=2, angle_deg=30),)))
    assert read_job(write_job(job)) == job


def test_the_written_document_has_no_units_in_its_keys() -> None:
    document = write_job(a_job())
    assert document["survey"]["way_up"]["longest_piece"] == 3600
    assert document["plan"]["deck_fields"][0]["sleeper_spacing"] == 400
    assert document["choices"]["boards"][0]["expansion"] == 4e-6
