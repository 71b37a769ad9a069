"""Every public function of the pure rooms says what it gives, in which unit, and where it comes from."""

import ast
import re
from pathlib import Path

import pytest

APP = Path(__file__).parents[2] / "app"
PURE_ROOMS = (
    "measure",
    "job",
    "tables",
    "takeoff",
    "pricing",
    "agreement",
    "schedule",
    "build",
    "drawings",
    "whole_job.py",
)
# Longest first: `_kg_m3` must not be read as `_m3`, nor `_per_c` as `_c`.
UNITS = {
    "_kg_m3": "kg/m3",
    "_kg_m2": "kg/m2",
    "_kg_m": "kg/m",
    "_per_c": "1/°C",
    "_ohm_km": "ohm/km",
    "_ohm": "ohm",
    "_mm2": "mm2",
    "_mm3": "mm3",
    "_mm4": "mm4",
    "_kpa": "kPa",
    "_mpa": "MPa",
    "_kn": "kN",
    "_pct": "%",
    "_deg": "deg",
    "_days": "days",
    "_m2": "m2",
    "_m3": "m3",
    "_mm": "mm",
    "_kg": "kg",
    "_db": "dB",
    "_lx": "lx",
    "_lm": "lm",
    "_hz": "Hz",
    "_w": "W",
    "_v": "V",
    "_a": "A",
    "_c": "°C",
    "_h": "h",
    "_n": "N",
}


def unit_of(name: str) -> str | None:
    return next((unit for suffix, unit in UNITS.items() if name.endswith(suffix)), None)


def sections(docstring: str) -> dict[str, list[str]]:
    found: dict[str, list[str]] = {}
    lines = docstring.splitlines()
    current = ""
    for index, line in enumerate(lines):
        if index + 1 < len(lines) and re.fullmatch(r"-{3,}", lines[index + 1].strip()):
            current = line.strip()
            found[current] = []
        elif current and not re.fullmatch(r"-{3,}", line.strip()):
            found[current].append(line)
    return found


def documented_parameters(lines: list[str]) -> dict[str, str]:
    """Give each documented name with its text; `a, b : type` documents two."""
    found: dict[str, str] = {}
    names: list[str] = []
    for line in lines:
        if line and not line.startswith(" "):
            names = [name.strip().lstrip("*") for name in line.partition(" : ")[0].split(",")]
            found.update(dict.fromkeys(names, ""))
        else:
            for name in names:
                found[name] += f" {line.strip()}"
    return found


def faults(function: ast.FunctionDef) -> list[str]:
    docstring = ast.get_docstring(function)
    if not docstring:
        return ["no docstring"]
    parts = sections(docstring)
    arguments = [*function.args.posonlyargs, *function.args.args, *function.args.kwonlyargs]
    wanted = [a.arg for a in arguments if a.arg not in ("self", "cls")]
    said = documented_parameters(parts.get("Parameters", []))
    found = []
    if list(said) != wanted:
        found.append(f"documents {list(said)}, takes {wanted}")
    found += [
        f"{name}: unit [{unit_of(name)}] does not end its text"
        for name in wanted
        if unit_of(name) and name in said and f"[{unit_of(name)}]" not in said[name]
    ]
    if function.returns is not None and ast.unparse(function.returns) != "None" and "Returns" not in parts:
        found.append("no Returns")
    if "References" not in parts:
        found.append("no source under References")
    return found


def public_functions(path: Path) -> list[ast.FunctionDef]:
    tree = ast.parse(path.read_text(encoding="utf-8"))
    return [n for n in tree.body if isinstance(n, ast.FunctionDef) and not n.name.startswith("_")]


def pure_modules() -> list[Path]:
    found: list[Path] = []
    for room in PURE_ROOMS:
        place = APP / room
        found += [place] if place.suffix == ".py" else sorted(place.rglob("*.py"))
    return found


@pytest.mark.parametrize("path", pure_modules(), ids=lambda path: str(path.relative_to(APP)))
def test_public_functions_are_documented_with_units_and_source(path: Path) -> None:
    wrong = [
        f"{path.name}:{f.lineno} {f.name}: {fault}" for f in public_functions(path) for fault in faults(f)
    ]
    assert not wrong, "\n".join(wrong)


@pytest.mark.parametrize(
    ("source", "fault"),
    [
        ("def f(a_mm: float) -> float:\n    return a_mm", "no docstring"),
        (
            "def f(a_mm: float) -> float:\n    '''Give.\n\n    Parameters\n    ----------\n    b_mm : float\n"
            "        A. [mm]\n\n    Returns\n    -------\n    c : float\n\n    References\n    ----------\n"
            "    Definition.\n    '''",
            "documents",
        ),
        (
            "def f(a_per_c: float) -> float:\n    '''Give.\n\n"
            "    Parameters\n    ----------\n    a_per_c : float\n"
            "        A. [°C]\n\n    Returns\n    -------\n    c : float\n\n    References\n    ----------\n"
            "    Definition.\n    '''",
            "unit [1/°C]",
        ),
        (
            "def f(a: float) -> float:\n    '''Give.\n\n"
            "    Parameters\n    ----------\n    a : float\n        A.\n\n"
            "    Returns\n    -------\n    c : float\n    '''",
            "no source",
        ),
    ],
)
def test_the_docstring_rule_catches_planted_faults(source: str, fault: str) -> None:
    function = ast.parse(source).body[0]
    assert isinstance(function, ast.FunctionDef)
    assert any(fault in found for found in faults(function))
