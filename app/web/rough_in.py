"""Sheet 4, Rough-in: everything that runs hidden, what arrives at its end, and what was seen of it."""

from collections.abc import Iterable
from dataclasses import dataclass

from fastapi import APIRouter, Response
from markupsafe import Markup

from app.actions.as_built import note_deviation
from app.actions.built_ways import deviations_of, drawn_ways, ways_of
from app.actions.errors import Refused
from app.actions.rough_in import Cell, run_checks_of, sheet_pdf, tick_runs
from app.actions.takeoff import work_out
from app.build.by_tape import BuiltWay
from app.build.deviations import Deviation
from app.build.run_checks import ALL_CHECKS, RunCheck, open_runs
from app.documents.rough_in import LAYER_NAMES, Material, materials_of
from app.drawings.night import night_svg, night_wall_svgs
from app.drawings.rough_in import LAYERS, rough_in_svg
from app.job.findings import Finding
from app.takeoff.roughin.records import RoughIn
from app.web import drawings
from app.web.findings import Fault, of_rooms
from app.web.forms.drawn import field_id
from app.web.page import go, render
from app.web.proposal import pdf_answer
from app.web.sheets import Frame, job_frame
from app.web.visit import AtDesk, Desk, Posted, text

router = APIRouter()
MOST_SPOTS = 6


@dataclass(frozen=True, slots=True)
class Typed:
    """A run that lies elsewhere, as typed: its tag, spots by tape, and words."""

    run: str = ""
    spots: tuple[tuple[str, str], ...] = (("", ""),) * MOST_SPOTS
    words: str = ""


@dataclass(frozen=True, slots=True)
class RoughInSheet:
    """Runs, circuits, light, sound, gas, and the checks before anything is covered.

    Attributes
    ----------
    frame : Frame
        What stands round the page.
    job_id : int
        The job.
    svg : Markup
        The runs on plan, one layer or all.
    layer : str
        The layer shown; empty for all.
    layers : tuple of (str, str)
        Layers there are, with their names.
    night : Markup or None
        Light on the deck.
    night_walls : tuple of (str, Markup)
        Light on the walls.
    units : str
        imperial or metric.
    currency : str
        Of the job.
    roughin : RoughIn
        All readings.
    windows : dict of str to (float, float)
        The voltage window of each fixture.
    materials : tuple of Material
        What the runs take.
    checks : tuple of RunCheck
        Every run with what was ticked off.
    all_checks : tuple of str
        Columns of that table.
    elsewhere : dict of str to Deviation
        Runs that lie elsewhere than drawn.
    ways : dict of str to BuiltWay
        Ways measured by tape of runs that lie elsewhere.
    typed : Typed
        What was typed of such a run and could not be taken.
    open_runs : tuple of str
        Runs that still lack something.
    findings : tuple of Finding
        Of the rough-in.
    faults : tuple of Fault
        What must be mended.
    """

    frame: Frame
    job_id: int
    svg: Markup
    layer: str
    layers: tuple[tuple[str, str], ...]
    night: Markup | None
    night_walls: tuple[tuple[str, Markup], ...]
    units: str
    currency: str
    roughin: RoughIn
    windows: dict[str, tuple[float, float]]
    materials: tuple[Material, ...]
    checks: tuple[RunCheck, ...]
    all_checks: tuple[str, ...]
    elsewhere: dict[str, Deviation]
    ways: dict[str, BuiltWay]
    typed: Typed
    open_runs: tuple[str, ...]
    findings: tuple[Finding, ...]
    faults: tuple[Fault, ...]


@router.get("/jobs/{job_id}/rough-in")
def show_rough_in(desk: AtDesk, job_id: int, layer: str = "") -> Response:
    """Sheet 4; one layer when asked for."""
    return _page(desk, job_id, layer if layer in LAYERS else "")


@router.get("/jobs/{job_id}/rough-in.pdf")
def show_rough_in_pdf(desk: AtDesk, job_id: int) -> Response:
    """The sheet for the site."""
    name, content = sheet_pdf(desk.db, job_id, desk.today)
    return pdf_answer(content, name)


@router.post("/jobs/{job_id}/rough-in/checks")
def save_run_checks(desk: AtDesk, form: Posted, job_id: int) -> Response:
    """Tick checks off, and take back those whose tick was removed on this page."""
    ticked = _cells(form.getlist("tick"))
    before = _cells(form.getlist("was"))
    try:
        tick_runs(
            desk.db, desk.staff, job_id, ticked, [cell for cell in before if cell not in ticked], desk.now
        )
    except Refused as refusal:
        return _page(desk, job_id, "", (Fault(refusal.reason),))
    return go(f"/jobs/{job_id}/rough-in?said=saved#checks")


@router.post("/jobs/{job_id}/rough-in/elsewhere")
def save_deviation(desk: AtDesk, form: Posted, job_id: int) -> Response:
    """Note where a run lies that was laid elsewhere than drawn."""
    rows = range(1, MOST_SPOTS + 1)
    spots = tuple((text(form, f"a-{row}", 40), text(form, f"b-{row}", 40)) for row in rows)
    typed = Typed(text(form, "run", 60), spots, text(form, "where", 400))
    measured = [spot for spot in spots if any(spot)]
    try:
        note_deviation(desk.db, desk.staff, job_id, typed.run, typed.words, desk.now, measured)
    except Refused as refusal:
        return _page(desk, job_id, "", (Fault(refusal.reason, field_id("a-1")),), typed)
    return go(f"/jobs/{job_id}/rough-in?said=saved#checks")


def _cells(values: Iterable[object]) -> list[Cell]:
    """Read run and check from what a box is worth; what is neither is passed over."""
    found = []
    for value in values:
        run, _, what = str(value).rpartition(":")
        if run and what in ALL_CHECKS:
            found.append((run, what))
    return found


def _page(
    desk: Desk, job_id: int, layer: str, faults: tuple[Fault, ...] = (), typed: Typed | None = None
) -> Response:
    worked = work_out(desk.db, job_id, desk.today)
    job, takeoff = worked.sheet.job, worked.answer.takeoff
    roughin, checks = takeoff.rough_in, run_checks_of(desk.db, worked)
    kinds = (layer,) if layer else LAYERS
    noted = deviations_of(desk.db, worked)
    ways = ways_of(worked, noted)
    svg = rough_in_svg(job, takeoff, job.units, kinds=kinds, built=drawn_ways(ways))
    walls = night_wall_svgs(job, takeoff) if roughin.night else ()
    sheet = RoughInSheet(
        frame=job_frame(desk, worked.sheet, 4, is_wrong=bool(faults)),
        job_id=job_id,
        svg=drawings.on_page(svg, "rough"),
        layer=layer,
        layers=tuple((k, LAYER_NAMES[k]) for k in LAYERS if any(run.kind == k for run in roughin.runs)),
        night=drawings.on_page(drawings.drawn(night_svg, worked), "night") if roughin.night else None,
        night_walls=tuple((wall, drawings.on_page(svg, f"dark{n}")) for n, (wall, svg) in enumerate(walls)),
        units=job.units,
        currency=job.currency,
        roughin=roughin,
        windows={fixture.id: (fixture.least_v, fixture.greatest_v) for fixture in job.plan.fixtures},
        materials=materials_of(job, takeoff),
        checks=checks,
        all_checks=ALL_CHECKS,
        elsewhere=noted,
        ways=ways,
        typed=typed or Typed(),
        open_runs=open_runs(checks),
        findings=of_rooms(takeoff.findings, "roughin", "rough-in"),
        faults=faults,
    )
    return render(desk.request, "pages/rough_in.html", sheet, 422 if faults else 200)
