"""What the source may not do, read from its tree: no dangerous call comes in unseen."""

import ast
import re
from collections.abc import Iterator
from functools import cache
from pathlib import Path

import pytest

from app.settings import ROOT, STATIC, TEMPLATES

MODULES = sorted((ROOT / "app").rglob("*.py"))
# The one process that is started: our own module, with a whole number, to draw a page of a PDF within limits.
STARTS_A_PROCESS = {"app/documents/page_picture.py"}


@cache
def tree(path: Path) -> ast.Module:
    return ast.parse(path.read_text(encoding="utf-8"))


def named(path: Path) -> str:
    return path.relative_to(ROOT).as_posix()


def imports(path: Path) -> Iterator[str]:
    for node in ast.walk(tree(path)):
        if isinstance(node, ast.Import):
            yield from (alias.name.partition(".")[0] for alias in node.names)
        elif isinstance(node, ast.ImportFrom) and node.module:
            yield node.module.partition(".")[0]


def calls(path: Path) -> Iterator[tuple[str, ast.Call]]:
    for node in ast.walk(tree(path)):
        if isinstance(node, ast.Call):
            yield ast.unparse(node.func), node


def test_nothing_unpacks_objects_or_rolls_dice_that_can_be_foreseen() -> None:
    wrong = {"pickle", "marshal", "shelve", "dill", "yaml", "random", "telnetlib", "ftplib"}
    assert not {named(path): found for path in MODULES if (found := wrong & set(imports(path)))}


def test_no_process_is_started_but_the_one_that_draws_pages() -> None:
    starters = {named(path) for path in MODULES if {"subprocess", "pty"} & set(imports(path))}
    assert starters == STARTS_A_PROCESS
    shells = re.compile(r"os\.(system|popen|exec\w*|spawn\w*|posix_spawn\w*)")
    assert not [named(path) for path in MODULES for name, _ in calls(path) if shells.fullmatch(name)]
    for place in STARTS_A_PROCESS:
        started = [node for name, node in calls(ROOT / place) if name.startswith("subprocess.")]
        assert started
        assert all(word.arg != "shell" for node in started for word in node.keywords)


def test_no_text_is_run_as_a_program() -> None:
    run = {"eval", "exec", "compile", "__import__", "importlib.import_module"}
    assert not [named(path) for path in MODULES for name, _ in calls(path) if name in run]


@pytest.mark.parametrize("path", sorted((STATIC / "js").rglob("*.js")), ids=lambda path: path.name)
def test_scripts_write_text_as_text_and_run_none(path: Path) -> None:
    script = re.sub(r"//[^\n]*|/\*.*?\*/", "", path.read_text(encoding="utf-8"), flags=re.DOTALL)
    wrong = (
        r"\b(innerHTML|outerHTML|insertAdjacentHTML|document\.write|eval\(|new Function|srcdoc|javascript:)"
    )
    assert re.findall(wrong, script) == []


def test_certificates_are_never_left_unchecked() -> None:
    wrong = re.compile(r"CERT_NONE|_create_unverified|verify\s*=\s*False|check_hostname\s*=\s*False")
    assert not [named(path) for path in MODULES if wrong.search(path.read_text(encoding="utf-8"))]


def test_every_password_is_masked_and_left_to_the_browsers_manager() -> None:
    asked = 0
    for path in sorted(TEMPLATES.rglob("*.html")):
        page = path.read_text(encoding="utf-8")
        assert not re.search(r"\bon(paste|copy|cut|drop)\s*=", page), path.name
        for field in re.findall(r"<input\b[^>]*>", page):
            if "password" in field:
                asked += 1
                assert 'type="password"' in field, field
                assert re.search(r'autocomplete="(current-password|new-password|\{\{)', field), field
    assert asked >= 3
    paste = re.compile(r"[\"'](paste|beforeinput)[\"']")
    assert not [path for path in (STATIC / "js").rglob("*.js") if paste.search(path.read_text("utf-8"))]
