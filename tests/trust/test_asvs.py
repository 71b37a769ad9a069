"""The table of ASVS 5.0.0, levels 1 and 2: every item once, with its state; every test named is there."""

import re
from functools import cache
from pathlib import Path

import pytest

from app.actions import brake, passkeys, passwords, pictures, price_file, sign_code, sign_in
from app.drawings import dxf_in
from app.settings import ROOT
from app.web import security

TABLE = Path(__file__).with_name("ASVS.md")
STATES = ("met", "met by reading", "part", "not met", "n/a", "outside")
# How many items of levels 1 and 2 each chapter has. Source: OWASP ASVS 5.0.0, counted in its CSV edition.
ITEMS = {1: 27, 2: 11, 3: 19, 4: 10, 5: 9, 6: 35, 7: 18, 8: 7, 9: 7, 10: 29, 11: 14, 12: 9, 13: 13, 14: 9}
ITEMS |= {15: 13, 16: 16, 17: 7}
LEVELS = {"1": 70, "2": 183}


@cache
def rows() -> tuple[tuple[str, ...], ...]:
    found = []
    for line in TABLE.read_text(encoding="utf-8").splitlines():
        if re.match(r"\| \d+\.\d+\.\d+ \|", line):
            found.append(tuple(cell.strip() for cell in line.strip("|").split("|")))
    return tuple(found)


@cache
def names_in(path: str) -> frozenset[str]:
    return frozenset(re.findall(r"^def (test_\w+)", (ROOT / path).read_text(encoding="utf-8"), re.M))


def test_every_item_stands_in_the_table_once() -> None:
    ids = [row[0] for row in rows()]
    assert len(ids) == len(set(ids)) == 253
    counted = {chapter: sum(one.startswith(f"{chapter}.") for one in ids) for chapter in ITEMS}
    assert counted == ITEMS
    assert {level: sum(row[1] == level for row in rows()) for level in LEVELS} == LEVELS


@pytest.mark.parametrize("row", rows(), ids=lambda row: row[0])
def test_an_item_says_how_it_is_met_and_its_tests_are_there(row: tuple[str, ...]) -> None:
    assert len(row) == 6
    _, _, words, state, how, proof = row
    assert state in STATES
    assert words
    assert how
    named = re.findall(r"`(tests/[\w/.]+)::(test_\w+)`", proof)
    assert state != "met" or named, "what is met by a test names it"
    for path, name in named:
        assert name in names_in(path), f"{path} has no {name}"


def test_the_limits_written_down_are_those_of_the_program() -> None:
    text = TABLE.read_text(encoding="utf-8")
    for words in (
        f"{security.MOST_BYTES / 1e6:.0f} MB for a request",
        f"{pictures.MOST_BYTES / 1e6:.1f} MB and {pictures.MOST_PIXELS / 1e6:.0f} million pixels",
        f"{dxf_in.LONGEST / 1e6:.0f} million characters",
        f"{price_file.MOST_UNPACKED_BYTES / 1e6:.0f} MB unpacked, {price_file.MOST_PARTS} parts",
        f"{price_file.MOST_ROWS:,} rows",
        f"{brake.WINDOW.total_seconds() / 60:.0f} minutes",
        f"{sign_in.IDLE.total_seconds() / 3600:.0f} idle hours or {sign_in.LONGEST.days} days",
        f"{sign_code.HOLDS.total_seconds() / 60:.0f} minutes and {sign_code.MOST_TRIES} tries",
        f"{passwords.LEAST_LENGTH} to {passwords.MOST_LENGTH} signs",
        f"a first one holds {passwords.FIRST_HOLDS.days} days",
        f"{passkeys.HOLDS.total_seconds() / 60:.0f} minutes, for one answer",
        f"{passkeys.MOST} passkeys a person",
    ):
        assert words in text, words
    for heading in (
        "Limits",
        "Files",
        "Secrets",
        "What it talks to",
        "What is kept",
        "Parts",
        "Heavy work",
        "Logs",
    ):
        assert f"## {heading}\n" in text
