"""The house stays as it is drawn: module length, the map, the versions, no outside hosts."""

import re
import tomllib
from pathlib import Path

import pytest

import app.takeoff
from app.settings import Settings

ROOT = Path(__file__).parents[2]
LONGEST_MODULE = 400
MODULES = sorted([*(ROOT / "app").rglob("*.py"), *(ROOT / "tests").rglob("*.py")])
PYPROJECT = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))


def layers(contract: str) -> list[str]:
    contracts = PYPROJECT["tool"]["importlinter"]["contracts"]
    found = next(c for c in contracts if c["id"] == contract)
    return [room.strip() for layer in found["layers"] for room in layer.split("|")]


def rooms_on_disk(place: Path) -> set[str]:
    packages = {p.name for p in place.iterdir() if p.is_dir() and (p / "__init__.py").exists()}
    return packages | {p.stem for p in place.glob("*.py") if not p.stem.startswith("__")}


def rooms_in_text(text: str) -> list[str]:
    return re.findall(r"^- `?(\w+)`?: ", text, flags=re.MULTILINE)


@pytest.mark.parametrize("path", MODULES, ids=lambda path: str(path.relative_to(ROOT)))
def test_a_module_has_at_most_400_lines(path: Path) -> None:
    assert len(path.read_text(encoding="utf-8").splitlines()) <= LONGEST_MODULE


def test_the_map_names_every_room_once_in_the_order_of_the_job() -> None:
    guide = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
    section = guide.split("## The map")[1].split("\n## ")[0]
    assert rooms_in_text(section.split("### The engine")[0]) == rooms_in_text(app.__doc__ or "")
    assert rooms_in_text(section.split("### The engine")[1]) == rooms_in_text(app.takeoff.__doc__ or "")


def test_the_rooms_on_disk_are_the_rooms_in_the_import_contracts() -> None:
    assert rooms_on_disk(ROOT / "app") == set(layers("rooms")) == set(rooms_in_text(app.__doc__ or ""))
    assert rooms_on_disk(ROOT / "app" / "takeoff") == set(layers("engine"))


def test_the_newest_changelog_entry_is_the_package_version() -> None:
    changelog = (ROOT / "CHANGELOG.md").read_text(encoding="utf-8")
    newest = re.search(r"^## \[?(\d+\.\d+\.\d+)", changelog, flags=re.MULTILINE)
    assert newest is not None
    assert newest.group(1) == PYPROJECT["project"]["version"]


def test_every_direct_dependency_earns_its_place_in_one_line() -> None:
    guide = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
    named = [*PYPROJECT["project"]["dependencies"], *PYPROJECT["project"]["optional-dependencies"]["dev"]]
    names = [re.split(r"[\[;<>=! ]", line)[0] for line in named]
    missing = [name for name in names if f"| {name} |" not in guide]
    assert not missing


def test_every_setting_is_documented() -> None:
    guide = (ROOT / "README.md").read_text(encoding="utf-8") + (ROOT / "DEVELOPERS.md").read_text(
        encoding="utf-8"
    )
    missing = [
        f"UPSTAND_{name.upper()}" for name in Settings.model_fields if f"UPSTAND_{name.upper()}" not in guide
    ]
    assert not missing


def test_no_page_or_style_loads_from_outside() -> None:
    files = [*(ROOT / "templates").rglob("*.html"), *(ROOT / "static" / "css").rglob("*.css")]
    pattern = re.compile(r"""(?:src|href|url\()\s*=?\s*["']?(?:https?:)?//""")
    assert not [str(f.relative_to(ROOT)) for f in files if pattern.search(f.read_text(encoding="utf-8"))]


def test_the_locks_name_no_host() -> None:
    for name in ("requirements.txt", "requirements-dev.txt"):
        assert "://" not in (ROOT / name).read_text(encoding="utf-8")
