"""Assemblies: read, changed without any formula, copied, tried on a job before they are saved."""

from dataclasses import dataclass
from http import HTTPStatus
from typing import Any

from fastapi import APIRouter, Response
from starlette.datastructures import FormData

from app.actions.assemblies import (
    AssemblyVersion,
    LearnedRate,
    TryOut,
    UsedIn,
    assembly,
    assembly_versions,
    leave_rate,
    rates_learned,
    save_new_version,
    take_over_rate,
    try_on,
    where_used,
)
from app.actions.errors import Refused
from app.actions.jobs import list_jobs
from app.actions.price import assemblies
from app.job.errors import InputErrors
from app.pricing.book_file import read_assemblies
from app.pricing.conditions import in_words
from app.pricing.records import EDGES, FASTENINGS, KINDS, PHASES, Assembly
from app.takeoff.totals.bases import BASES
from app.web.findings import Fault
from app.web.page import go, render
from app.web.sheets import Frame, desk_frame
from app.web.visit import AtDesk, Desk, Posted, number, text

router = APIRouter()
_BLANK_ROWS = 3
_MOST_ROWS = 60
_PART_KEYS = ("kind", "text", "rate", "item", "waste_pct", "people", "output")
_BASES = tuple((basis.code, f"{basis.text}, in {basis.unit}") for basis in BASES)


@dataclass(frozen=True, slots=True)
class AssembliesSheet:
    """All assemblies.

    Attributes
    ----------
    frame : Frame
        What stands round the page.
    rows : tuple of (Assembly, str)
        Each with its conditions in words.
    learned : tuple of LearnedRate
        Rates that logs of jobs handed over speak for.
    """

    frame: Frame
    rows: tuple[tuple[Assembly, str], ...]
    learned: tuple[LearnedRate, ...]


@dataclass(frozen=True, slots=True)
class AssemblySheet:
    """One assembly, being changed.

    Attributes
    ----------
    frame : Frame
        What stands round the page.
    values : dict of str to str
        What stands in the fields.
    rows : tuple of dict of str to str
        What stands in the rows of parts, blank ones at the end.
    version : int
        Version the form started from; 0 for a new one.
    bases : tuple of (str, str)
        Code and words of everything measured.
    phases, kinds, edges, fastenings : tuple of str
        What can be chosen.
    versions : tuple of AssemblyVersion
        All of them, newest first.
    used : tuple of UsedIn or None
        Jobs at work that it brings lines to; None until somebody asks, since each is worked out for it.
    jobs : tuple of (int, str)
        Jobs it can be tried on.
    tried : TryOut or None
        What it would do to the job chosen.
    faults : tuple of Fault
        What must be mended.
    """

    frame: Frame
    values: dict[str, str]
    rows: tuple[dict[str, str], ...]
    version: int
    bases: tuple[tuple[str, str], ...]
    phases: tuple[str, ...]
    kinds: tuple[str, ...]
    edges: tuple[str, ...]
    fastenings: tuple[str, ...]
    versions: tuple[AssemblyVersion, ...]
    used: tuple[UsedIn, ...] | None
    jobs: tuple[tuple[int, str], ...]
    tried: TryOut | None
    faults: tuple[Fault, ...]


@router.get("/shop/assemblies")
def show_assemblies(desk: AtDesk) -> Response:
    """What it takes to make one unit of each thing measured."""
    kept = assemblies(desk.db)
    sheet = AssembliesSheet(
        frame=desk_frame(desk, "Assemblies", at="/shop"),
        rows=tuple((one, ", ".join(in_words(condition) for condition in one.when)) for one in kept),
        learned=rates_learned(desk.db, desk.today),
    )
    return render(desk.request, "pages/assemblies.html", sheet)


@router.post("/shop/assemblies")
def save_learned_rate(desk: AtDesk, form: Posted) -> Response:
    """Take a learned rate over, or leave the old one as it is."""
    is_left = bool(form.get("leave"))
    code, _, part = text(form, "leave" if is_left else "rate").rpartition("/")
    settle = leave_rate if is_left else take_over_rate
    settle(desk.db, desk.staff, code, int(part) if part.isdecimal() else 0, desk.today, desk.now)
    return go("/shop/assemblies?said=saved")


@router.get("/shop/assembly")
def show_assembly(desk: AtDesk, code: str = "", copy: str = "", jobs: str = "") -> Response:
    """One assembly, a copy of one, or a blank one, in a form; with `jobs` also those that use it."""
    source = code or copy
    if not source:
        return _page(desk, {"phase": "boards"}, [], 0)
    found = assembly(desk.db, source)
    values, rows = _as_typed(found)
    if copy:
        return _page(desk, values | {"code": f"{copy}-2"}, rows, 0)
    newest = assembly_versions(desk.db, code)[0].version
    return _page(desk, values, rows, newest, with_jobs=bool(jobs))


@router.post("/shop/assembly")
def save_assembly_form(desk: AtDesk, form: Posted) -> Response:
    """Save an assembly as its next version, or try it on a job."""
    values = {name: text(form, name) for name in ("code", "name", "basis", "phase", "source", "job")}
    values |= {name: text(form, name) for name in ("edge", "fastening", "low_mm", "high_mm")}
    rows, version = _rows(form), number(form, "version")
    try:
        changed = read_assemblies({"assemblies": [_document(values, rows)]})[0]
    except InputErrors as wrong:
        faults = tuple(_fault(error.path, error.wanted, rows) for error in wrong.errors)
        return _page(desk, values, rows, version, faults=faults)
    if text(form, "do") == "try":
        job = values["job"]
        if not job.isdecimal():
            return _page(desk, values, rows, version, faults=(Fault("Choose a job to try it on", "job"),))
        tried = try_on(desk.db, changed, int(job), desk.today)
        return _page(desk, values, rows, version, tried=tried)
    try:
        save_new_version(desk.db, desk.staff, version, changed, desk.now)
    except Refused as refusal:
        return _page(desk, values, rows, version, faults=(Fault(refusal.reason, "code"),))
    return go("/shop/assemblies?said=saved")


def _rows(form: FormData) -> list[dict[str, str]]:
    """The parts as typed; rows without a text are left out, which is how one is taken away."""
    rows = [{key: text(form, f"{key}-{n}", 200) for key in _PART_KEYS} for n in range(_MOST_ROWS)]
    return [row for row in rows if row["text"]]


def _document(values: dict[str, str], rows: list[dict[str, str]]) -> dict[str, Any]:
    """What was typed, as the shop's file has it: one reader for both."""
    when: list[dict[str, str]] = [
        {"kind": kind, "value": values[kind]} for kind in ("edge", "fastening") if values[kind]
    ]
    if values["low_mm"] or values["high_mm"]:
        limits = {key: values[key] for key in ("low_mm", "high_mm") if values[key]}
        when.append({"kind": "wall height", **limits})
    keys = ("code", "name", "basis", "phase", "source")
    parts = [{key: value for key, value in row.items() if value} for row in rows]
    return {**{key: values[key] for key in keys}, "parts": parts, "when": when}


def _as_typed(found: Assembly) -> tuple[dict[str, str], list[dict[str, str]]]:
    """What stands in the form for a stored assembly."""
    values = {key: str(getattr(found, key)) for key in ("code", "name", "basis", "phase", "source")}
    for condition in found.when:
        if condition.kind == "wall height":
            values["low_mm"] = "" if condition.low_mm is None else f"{condition.low_mm:g}"
            values["high_mm"] = "" if condition.high_mm is None else f"{condition.high_mm:g}"
        else:
            values[condition.kind] = condition.value
    rows = [
        {
            "kind": part.kind,
            "text": part.text,
            "rate": f"{part.rate:f}",
            "item": part.item,
            "waste_pct": f"{part.waste_pct:f}" if part.waste_pct else "",
            "people": f"{part.people:f}" if part.people else "",
            "output": f"{part.output:f}" if part.output else "",
        }
        for part in found.parts
    ]
    return values, rows


def _fault(path: str, wanted: str, rows: list[dict[str, str]]) -> Fault:
    """A fault of the file's reader, said of the form's field."""
    place = path.removeprefix("assemblies[0].")
    if place.startswith("parts["):
        index, _, key = place.removeprefix("parts[").partition("].")
        row = int(index)
        return Fault(f"Row {row + 1}, {rows[row]['text']}, {key}: {wanted}", f"{key}-{row}")
    if place.startswith("when["):
        return Fault(f"Where it holds: {wanted}", place.rpartition(".")[2].replace("value", "edge"))
    return Fault(f"{place.capitalize()}: {wanted}", place)


def _page(
    desk: Desk,
    values: dict[str, str],
    rows: list[dict[str, str]],
    version: int,
    *,
    tried: TryOut | None = None,
    with_jobs: bool = False,
    faults: tuple[Fault, ...] = (),
) -> Response:
    blank = dict.fromkeys(_PART_KEYS, "") | {"kind": "material"}
    code = values.get("code", "") if version else ""
    title = values.get("name") or "New assembly"
    sheet = AssemblySheet(
        frame=desk_frame(desk, title, at="/shop", is_wrong=bool(faults)),
        values=values,
        rows=(*rows, *(blank for _ in range(min(_BLANK_ROWS, _MOST_ROWS - len(rows))))),
        version=version,
        bases=_BASES,
        phases=PHASES,
        kinds=KINDS,
        edges=EDGES,
        fastenings=FASTENINGS,
        versions=assembly_versions(desk.db, code) if code else (),
        used=where_used(desk.db, code, desk.today) if code and with_jobs else None,
        jobs=tuple((card.id, f"{card.number} {card.title}") for card in list_jobs(desk.db)),
        tried=tried,
        faults=faults,
    )
    status = HTTPStatus.UNPROCESSABLE_ENTITY if faults else HTTPStatus.OK
    return render(desk.request, "pages/assembly.html", sheet, status)
