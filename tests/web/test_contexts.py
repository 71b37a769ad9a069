"""Every page's context is a frozen record that says what each of its fields holds."""

import dataclasses
import importlib
import pkgutil
import re

import pytest

import app.web

_MODULES = [
    importlib.import_module(f"app.web.{found.name}") for found in pkgutil.iter_modules(app.web.__path__)
]
_SHEETS = [
    value
    for module in _MODULES
    for name, value in vars(module).items()
    if name.endswith("Sheet") and dataclasses.is_dataclass(value) and value.__module__ == module.__name__
]


def test_there_is_a_context_for_each_kind_of_page() -> None:
    assert len(_SHEETS) >= 25


@pytest.mark.parametrize("sheet", _SHEETS, ids=lambda sheet: sheet.__name__)
def test_a_context_documents_each_field_and_no_other(sheet: type) -> None:
    heads = re.findall(r"^    (\w[\w, ]*) : \S", sheet.__doc__ or "", re.MULTILINE)
    documented = [name.strip() for head in heads for name in head.split(",")]
    assert documented == [field.name for field in dataclasses.fields(sheet)]
    assert sheet.__dataclass_params__.frozen  # type: ignore[attr-defined]
