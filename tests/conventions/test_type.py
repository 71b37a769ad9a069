"""Every sign that a document can print is in the bundled type.

A missing one would be taken from whatever type the machine has; the same offer would print other bytes.
"""

import ast
from pathlib import Path

import pytest
from fontTools.ttLib import TTFont

ROOT = Path(__file__).parents[2]
FACE = ROOT / "static" / "fonts" / "archivo-narrow-latin-400-normal.woff2"
# `measure` reads signs that people paste; it does not print them.
ROOMS = ("job", "takeoff", "pricing", "agreement", "schedule", "build", "drawings", "documents", "tables")
PRINTED = [
    *(path for room in ROOMS for path in sorted((ROOT / "app" / room).rglob("*.py"))),
    *sorted((ROOT / "templates" / "documents").rglob("*.html")),
    *sorted((ROOT / "seed_data" / "shop").rglob("*.*")),
    *sorted((ROOT / "shared" / "reference").rglob("*.*")),
]


def spoken(path: Path) -> str:
    """Give what a file can print: of a module its strings without docstrings, of any other file all of it."""
    text = path.read_text(encoding="utf-8")
    if path.suffix != ".py":
        return text
    tree = ast.parse(text)
    owners = (ast.Module, ast.ClassDef, ast.FunctionDef)
    said = {
        id(node.body[0].value)
        for node in ast.walk(tree)
        if isinstance(node, owners) and node.body and isinstance(node.body[0], ast.Expr)
    }
    strings = (n for n in ast.walk(tree) if isinstance(n, ast.Constant) and isinstance(n.value, str))
    return "".join(str(n.value) for n in strings if id(n) not in said)


@pytest.fixture(scope="module")
def signs() -> set[int]:
    found = TTFont(FACE).getBestCmap()
    return set(found) | {ord("\n"), ord("\t"), ord("\r"), 0xFEFF}


@pytest.mark.parametrize("path", PRINTED, ids=lambda path: str(path.relative_to(ROOT)))
def test_every_printed_sign_is_in_the_bundled_type(path: Path, signs: set[int]) -> None:
    missing = {sign for sign in spoken(path) if ord(sign) not in signs}
    assert not missing
