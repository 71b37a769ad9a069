"""The shop's wording."""

import json
from pathlib import Path
from typing import Any

import pytest

from app.agreement.records import Wording
from app.agreement.wording import NEEDED, blocks, gaps, printed_source, read_firm, read_wording
from app.job.errors import InputError

SHOP = Path(__file__).parents[2] / "seed_data" / "shop"
FILES = sorted((SHOP / "wording").glob("*.md"))


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.stem)
def test_the_demo_wording_reads_and_says_where_it_comes_from(path: Path) -> None:
    wording = read_wording(path.stem, path.read_text(encoding="utf-8"))
    assert wording.title
    assert blocks(wording.text)
    assert "invent" in wording.source
    assert printed_source(wording).count("check local law") == 1


def test_the_demo_wording_has_no_gaps() -> None:
    assert gaps(read_wording(path.stem, path.read_text(encoding="utf-8")) for path in FILES) == ()


def test_a_wording_that_is_missing_or_empty_is_a_gap() -> None:
    empty = Wording("terms", "Terms", "  ", "x")
    assert gaps([empty]) == NEEDED


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("", "first line must be the title"),
        ("Terms\nsource: x\n\nWords.", "first line must be the title"),
        ("# Terms\n\nWords.", "second line must say where"),
        ("# Terms\nsource:\n\nWords.", "second line must say where"),
        ("# Terms\nsource: x\n", "no words"),
    ],
)
def test_a_file_without_title_source_or_words_is_refused(text: str, said: str) -> None:
    with pytest.raises(InputError, match=said) as caught:
        read_wording("terms", text)
    assert caught.value.path == "wording.terms"


def test_lines_of_one_paragraph_are_joined_and_points_kept_apart() -> None:
    found = blocks("One\nline.\n\n- first\n- second\n\n- third\nTail.")
    assert [(b.kind, b.lines) for b in found] == [
        ("paragraph", ("One line.",)),
        ("list", ("first", "second")),
        ("list", ("third",)),
        ("paragraph", ("Tail.",)),
    ]


def test_the_caution_is_added_where_the_source_lacks_it() -> None:
    assert printed_source(Wording("x", "X", "x", "counsel 2026")) == "counsel 2026; check local law"
    assert printed_source(Wording("x", "X", "x", "")) == "check local law"


def test_the_demo_firm_reads() -> None:
    firm = read_firm(json.loads((SHOP / "firm.json").read_text(encoding="utf-8")))
    assert "(invented)" in firm.name
    assert firm.email.endswith(".example")


@pytest.mark.parametrize(
    ("document", "path"),
    [
        (None, "firm"),
        ({}, "firm"),
        ({"firm": {"name": "A"}}, "firm.address"),
        ({"firm": {"name": "A", "address": "B", "fax": "1"}}, "firm.fax"),
        ({"firm": {"name": 3, "address": "B"}}, "firm.name"),
    ],
)
def test_a_fault_in_the_firms_details_names_its_place(document: Any, path: str) -> None:
    with pytest.raises(InputError) as caught:
        read_firm(document)
    assert caught.value.path == path
