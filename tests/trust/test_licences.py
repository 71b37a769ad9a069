"""Every part has a licence that lets it be passed on, and the list of parts is a valid one."""

import json
import re
from importlib.metadata import files

import pytest
from cyclonedx.schema import SchemaVersion
from cyclonedx.validation.json import JsonStrictValidator

from app.settings import ROOT
from tests.trust.licences import ALLOWED, PDFIUM, TABLE, bill, bundled, packages, table


@pytest.mark.parametrize("part", [*packages(), *bundled()], ids=lambda part: part.name)
def test_a_part_may_be_passed_on_with_the_program(part: object) -> None:
    licence = part.licence  # type: ignore[attr-defined]
    ways = [way.strip("() ") for way in licence.split(" OR ")]
    assert any(set(way.split(" AND ")) <= ALLOWED for way in ways), licence


def test_every_part_built_into_pdfium_is_one_whose_licence_was_read() -> None:
    """A wheel that brings one more part fails here; parts of other systems and of what is left out do not."""
    found = {
        str(path).partition("BUILD_LICENSES/")[2]
        for path in files("pypdfium2") or ()
        if "BUILD_LICENSES/" in str(path)
    }
    elsewhere = ("SHARED/", "android/", "cibw_musl/", "pbin_musl/", "v8_xfa/")
    assert {name for name in found if not name.startswith(elsewhere)} == set(PDFIUM)


def test_the_table_of_licences_is_the_one_of_what_is_installed() -> None:
    assert TABLE.read_text(encoding="utf-8") == table(), (
        "run python -m tests.trust.licences and read what differs"
    )


def test_the_list_of_parts_is_valid_cyclonedx_and_names_every_pin() -> None:
    made = bill()
    assert JsonStrictValidator(SchemaVersion.V1_6).validate_str(made) is None
    components = json.loads(made)["components"]
    named = {row["name"] for row in components}
    pins = re.findall(r"^([a-z0-9_.-]+)==[^ ]+ \\$", (ROOT / "requirements.txt").read_text(), re.M)
    assert {name for name in pins if "_" not in name} - named <= {"numpy", "pint"}
    assert all(row["licenses"] for row in components)


def test_the_list_of_parts_names_no_address() -> None:
    assert not re.search(r"https?://(?!cyclonedx\.org/schema)", bill())
