"""Drawing a part of a job file and reading it back gives the same job."""

import json
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from starlette.datastructures import FormData

from app.job.file import read_job
from app.settings import SEED_DATA
from app.web.forms.drawn import Box, Drawn, Field, Table
from app.web.forms.read import add_row, find, read_asks, remove_row, steps
from app.web.parts import CHOICES, PLAN, SURVEY, draw_part

JOBS = sorted(path.stem for path in (SEED_DATA / "jobs").glob("*.json"))


def _document(name: str) -> dict[str, Any]:
    found: dict[str, Any] = json.loads((SEED_DATA / "jobs" / f"{name}.json").read_text(encoding="utf-8"))
    return found


def _sent(drawn: tuple[Drawn, ...]) -> list[tuple[str, str]]:
    """What a browser would send of a drawn form."""
    sent: list[tuple[str, str]] = []
    for node in drawn:
        if isinstance(node, Table):
            sent += [pair for row in node.rows for pair in _sent(row.fields)]
        elif isinstance(node, Box):
            sent += _sent(node.fields)
        else:
            sent += _field(node)
    return sent


def _field(field: Field) -> list[tuple[str, str]]:
    if field.shape == "tick":
        return [(field.name, "yes")] if field.value else []
    if field.shape == "ticks":
        return [(field.name, value) for value in field.value]
    return [(field.name, field.value)]


@pytest.mark.parametrize("name", JOBS)
def test_every_part_of_every_demo_job_reads_back_as_the_same_job(name: str) -> None:
    document = _document(name)
    for part in (*SURVEY, *PLAN, *CHOICES):
        form = FormData(_sent(draw_part(part, document, {})))
        values = read_asks(part.asks, form, part.stem)
        kept = {key: value for key, value in document[part.stem].items() if key not in part.keys}
        assert read_job({**document, part.stem: {**kept, **values}}) == read_job(document), part.title


@pytest.mark.parametrize("name", JOBS)
def test_every_field_of_a_form_has_its_own_id_and_name(name: str) -> None:
    document = _document(name)
    for part in (*SURVEY, *PLAN, *CHOICES):
        names = [field for field, _ in _sent(draw_part(part, document, {})) if "clad_faces" not in field]
        assert len(names) == len(set(names)), part.title


@settings(max_examples=50, deadline=None)
@given(st.lists(st.one_of(st.from_regex(r"[a-z_]{1,8}", fullmatch=True), st.integers(0, 999)), min_size=1))
def test_a_path_splits_into_the_steps_it_was_made_of(way: list[str | int]) -> None:
    name = "".join(f"[{step}]" if isinstance(step, int) else f".{step}" for step in way).removeprefix(".")
    assert steps(name) == way


@settings(max_examples=50, deadline=None)
@given(st.integers(0, 6), st.integers(0, 9))
def test_adding_a_row_and_taking_it_out_leaves_the_list_as_it_was(rows: int, other: int) -> None:
    tree: dict[str, Any] = {"survey": {"drains": [{"id": f"R{number + other}"} for number in range(rows)]}}
    before = json.dumps(tree)
    add_row(tree, "survey.drains")
    marks = [row["id"] for row in tree["survey"]["drains"]]
    assert len(marks) == len(set(marks)) == rows + 1
    remove_row(tree, f"survey.drains[{rows}]")
    assert json.dumps(tree) == before


@given(st.text(max_size=30))
@settings(max_examples=50, deadline=None)
def test_a_path_that_leads_nowhere_finds_nothing(name: str) -> None:
    assert find({}, f"x{name}") is None
