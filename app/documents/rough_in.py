"""The rough-in sheet for the site: drawings by layer, places by tape, the pull list to tick, materials."""

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date

from app.agreement.records import Party
from app.build.run_checks import ALL_CHECKS, RunCheck
from app.documents.render import pdf
from app.documents.scale import scale_that_fits
from app.drawings.ground import MARGIN_MM
from app.drawings.night import night_svg
from app.drawings.rough_in import LAYERS, rough_in_svg
from app.job.job import Job
from app.measure.show import format_length
from app.takeoff.chain import Takeoff

_WIDE_MM, _HIGH_MM = 176.0, 190.0
LAYER_NAMES = {
    "lighting": "Lighting, low voltage",
    "power": "Line voltage",
    "sound": "Sound",
    "gas": "Gas",
}


@dataclass(frozen=True)
class RoughInInputs:
    """All that a rough-in sheet is printed from."""

    firm: Party
    job: Job
    job_number: str
    takeoff: Takeoff
    checks: tuple[RunCheck, ...]
    printed_on: date
    site_address: str = ""
    built: Mapping[str, tuple[tuple[float, float], ...]] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Material:
    """One thing to bring for the runs, and how much of it."""

    name: str
    amount: str


def rough_in_pdf(inputs: RoughInInputs) -> bytes:
    """Print the sheet; the same inputs give the same bytes."""
    job, takeoff, system = inputs.job, inputs.takeoff, inputs.job.units
    runs = takeoff.rough_in.runs
    scale = scale_of(job)
    kinds = [kind for kind in LAYERS if any(run.kind == kind for run in runs)]
    context = {
        **vars(inputs),
        "roughin": takeoff.rough_in,
        "scale": scale,
        "whole": rough_in_svg(job, takeoff, system, scale, built=inputs.built),
        "layers": tuple(
            (LAYER_NAMES[kind], rough_in_svg(job, takeoff, system, scale, (kind,), inputs.built))
            for kind in kinds
        ),
        "night": night_svg(job, takeoff, system, scale) if takeoff.rough_in.night else "",
        "materials": materials_of(job, takeoff),
        "all_checks": ALL_CHECKS,
        "ticks": {one.run: dict(one.checks) for one in inputs.checks},
        "length": lambda length_mm: format_length(length_mm, system),
        "cautions": tuple(f for f in takeoff.findings if f.grade != "note" and f.code.startswith("roughin.")),
    }
    return pdf("rough_in.html", context)


def scale_of(job: Job) -> float:
    """Give the scale that the drawings of the sheet are printed at."""
    return scale_that_fits(job, _WIDE_MM, _HIGH_MM, MARGIN_MM)


def materials_of(job: Job, takeoff: Takeoff) -> tuple[Material, ...]:
    """List what the runs take: cable and pipe by length, conduit, boxes, sources."""
    roughin, system = takeoff.rough_in, job.units
    names = {cable.id: cable.name for cable in job.choices.cables}
    found: list[Material] = []
    found += _lengths([(names.get(p.cable, ""), p.length_mm) for p in roughin.pulls if p.cable], system)
    gas = [run for run in roughin.runs if run.kind == "gas"]
    found += _lengths([(f"Gas pipe {run.size}, to be confirmed", run.length_mm) for run in gas], system)
    kinds = {circuit.id: circuit.conduit for circuit in job.plan.circuits}
    of_run = {run.id: run for run in roughin.runs}
    in_conduit = [(p.conduit, of_run[p.run]) for p in roughin.pulls if p.conduit]
    cased = [(f"{kinds[run.circuit]} conduit {size}", run.level_mm + run.drop_mm) for size, run in in_conduit]
    found += _lengths(cased, system)
    if roughin.joints:
        found.append(Material("Boxes for joints", str(len(roughin.joints))))
    sources = Counter(f"Transformer {one.item}, {one.rating_w:g} W" for one in roughin.transformers)
    found += [Material(name, str(count)) for name, count in sources.items()]
    return tuple(found)


def _lengths(rows: Sequence[tuple[str, float]], system: str) -> list[Material]:
    """Add lengths up by name."""
    total: Counter[str] = Counter()
    for name, length_mm in rows:
        total[name] += length_mm  # type: ignore[assignment]
    return [Material(name, _long(length_mm, system)) for name, length_mm in total.items()]


def _long(length_mm: float, system: str) -> str:
    """Write a length of cable as it is bought: in metres, or in feet."""
    return f"{length_mm / 1000:.1f} m" if system == "metric" else format_length(length_mm, system)
