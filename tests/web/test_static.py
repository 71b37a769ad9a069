"""What is served as files: vendored copies unchanged, colours readable, nothing from outside."""

import hashlib
import json
import re
from collections.abc import Iterator
from itertools import chain

import pytest

from app.settings import STATIC, TEMPLATES

VENDOR = json.loads((STATIC / "vendor" / "vendor.json").read_text(encoding="utf-8"))
OURS = ("base", "sheet", "forms", "tables", "offer")


@pytest.mark.parametrize("entry", VENDOR, ids=lambda entry: entry["name"])
def test_a_vendored_file_is_the_one_on_the_list(entry: dict[str, object]) -> None:
    files = entry["files"]
    assert isinstance(files, dict)
    assert entry["version"]
    assert entry["licence"]
    assert (STATIC / str(entry["licence_file"])).stat().st_size > 400
    for name, digest in files.items():
        assert hashlib.sha256((STATIC / name).read_bytes()).hexdigest() == digest, name


def test_every_vendored_or_font_file_is_on_the_list() -> None:
    listed = set(chain.from_iterable(entry["files"] for entry in VENDOR))
    found = chain(STATIC.glob("vendor/*.js"), STATIC.glob("fonts/*.woff2"), STATIC.glob("fonts/*.ttf"))
    assert {str(path.relative_to(STATIC)) for path in found} == listed


@pytest.mark.parametrize("name", OURS)
def test_colours_and_line_widths_are_set_in_one_place(name: str) -> None:
    text = (STATIC / "css" / f"{name}.css").read_text(encoding="utf-8")
    assert not re.findall(r"#[0-9a-fA-F]{3,8}\b|rgba?\(|hsla?\(", re.sub(r"url\([^)]*\)", "", text))


def test_no_file_of_ours_fetches_from_outside() -> None:
    for path in (*STATIC.glob("css/*.css"), *STATIC.glob("js/*.js"), *TEMPLATES.rglob("pages/*.html")):
        text = path.read_text(encoding="utf-8").replace("http://www.w3.org/2000/svg", "")
        assert not re.search(r"https?://", text), path


def test_every_page_and_part_is_used() -> None:
    sources = "".join(path.read_text(encoding="utf-8") for path in TEMPLATES.parent.glob("app/web/**/*.py"))
    pages = "".join(path.read_text(encoding="utf-8") for path in TEMPLATES.rglob("*.html"))
    for page in TEMPLATES.glob("pages/*.html"):
        known = f"pages/{page.name}" in sources or f'"{page.stem}"' in sources
        assert known, page.name
    for part in TEMPLATES.glob("parts/*.html"):
        assert f"parts/{part.name}" in pages, part.name


def _tokens(scheme: str) -> dict[str, str]:
    text = (STATIC / "css" / "tokens.css").read_text(encoding="utf-8")
    light = text[text.index(":root {") : text.index("@media (pointer")]
    dark = text[text.index("@media (prefers-color-scheme: dark)") : text.index("@media print")]
    found = dict(re.findall(r"--([\w-]+): (#[0-9a-f]{6});", light))
    return found | dict(re.findall(r"--([\w-]+): (#[0-9a-f]{6});", dark)) if scheme == "dark" else found


def _luminance(colour: str) -> float:
    """Relative luminance. Source: WCAG 2.2, definition of relative luminance."""
    channels = [int(colour[place : place + 2], 16) / 255 for place in (1, 3, 5)]
    linear = [c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in channels]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def _contrast(one: str, other: str) -> float:
    low, high = sorted((_luminance(one), _luminance(other)))
    return (high + 0.05) / (low + 0.05)


def _pairs() -> Iterator[tuple[str, str, str, float]]:
    for scheme in ("light", "dark"):
        for ground in ("paper", "paper-shade", "desk"):
            for ink in ("ink", "ink-soft", "accent"):
                yield scheme, ink, ground, 4.5  # WCAG 2.2, 1.4.3
        yield scheme, "accent-ink", "accent", 4.5
        yield scheme, "ink-soft", "paper", 3.0  # WCAG 2.2, 1.4.11: the border of a field


@pytest.mark.parametrize(("scheme", "ink", "ground", "least"), list(_pairs()))
def test_ink_can_be_read_on_its_ground(scheme: str, ink: str, ground: str, least: float) -> None:
    tokens = _tokens(scheme)
    assert _contrast(tokens[ink], tokens[ground]) >= least


def test_scripts_and_styles_of_a_page_stay_under_a_hundred_kilobytes() -> None:
    names = ("css/tokens.css", *(f"css/{name}.css" for name in OURS), "js/page.js", "vendor/htmx.min.js")
    assert sum((STATIC / name).stat().st_size for name in names) < 100_000


def test_what_is_hidden_in_a_button_stands_at_its_end() -> None:
    """A button is laid out in a row, which swallows the blank between hidden words and what follows."""
    for path in TEMPLATES.glob("**/*.html"):
        text = path.read_text(encoding="utf-8")
        for pressed in re.findall(r"<button[^>]*>(.*?)</button>", text, re.DOTALL):
            assert not re.search(r'hidden-words">.*</span>\s*[^\s<{]', pressed), f"{path.name}: {pressed}"
