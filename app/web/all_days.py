"""Days of all jobs: what is proposed, what would change, what cannot be kept; look, suppose, accept."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, timedelta
from typing import cast
from urllib.parse import urlencode

from fastapi import APIRouter, Response
from fastapi.responses import JSONResponse

from app.actions.accepting import accept, forget, take_in
from app.actions.by_hand import work_rules
from app.actions.days import crews
from app.actions.errors import Refused
from app.actions.improver import (
    SearchState,
    improved_view,
    is_installed,
    search_state,
    start_search,
    stop_search,
)
from app.actions.plans import PlanView, look_for_better, plan_view, suppose
from app.actions.telling import can_tell, tell_of_change
from app.schedule.joint_records import JobOutlook, JointTask
from app.schedule.records import Crew
from app.schedule.supposed import Supposed, SupposedKind
from app.schedule.work_rules import UNITS
from app.web.api import plain
from app.web.findings import Fault
from app.web.forms.drawn import field_id
from app.web.forms.plain import as_day, as_decimal
from app.web.page import day as day_words
from app.web.page import go, render
from app.web.rights import may
from app.web.sheets import Frame, desk_frame
from app.web.visit import AtDesk, Desk, Posted, number, text

router = APIRouter()
_SPAN_DAYS = 21
_KINDS = (
    ("rain", "it rains"),
    ("cold", "it is cold"),
    ("wind", "it is windy"),
    ("away", "a crew is away"),
    ("goods", "goods come"),
)


@dataclass(frozen=True, slots=True)
class DayCell:
    """A day of a crew: why it is not worked, or its tasks, and the hold points and visits at its jobs."""

    off: str
    tasks: tuple[tuple[JobOutlook, JointTask], ...]
    visits: tuple[tuple[JobOutlook, JointTask], ...]


@dataclass(frozen=True, slots=True)
class CrewRow:
    """One crew, day by day."""

    crew: Crew
    cells: tuple[DayCell, ...]


@dataclass(frozen=True, slots=True)
class AllDaysSheet:
    """The plan over all jobs.

    Attributes
    ----------
    frame : Frame
        What stands round the page.
    view : PlanView or None
        The plan that holds and the one proposed; None when none can be made.
    asked : str
        What was supposed, in words; empty when nothing was.
    way : str
        ``quick`` or ``exact`` when a search was asked for; empty otherwise.
    search : SearchState
        How far the exact search is.
    has_exact : bool
        Whether its solver is installed.
    days : tuple of date
        Days across.
    rows : tuple of CrewRow
        Crews down.
    outsiders : tuple of (JobOutlook, JointTask)
        Hold points and outsiders within these days.
    names : dict of str to JobOutlook
        Jobs by id.
    kinds : tuple of (str, str)
        What can be supposed.
    crews : tuple of Crew
        Whom it can be supposed of.
    tasks : tuple of (str, str)
        Tasks whose goods can be supposed to come.
    stopping : tuple of (str, str)
        Rules that what is supposed meets: what they stop, and the rule in words.
    expected : tuple of (int, str)
        What was taken into the plan and is still to come, with its place in the list.
    may_change : bool
        Whether whoever looks may accept plans.
    can_tell : bool
        Whether those whose days change can be told by mail.
    earlier, later : str
        Where the neighbouring days are.
    chosen : dict of str to str
        The form as typed.
    faults : tuple of Fault
        What must be mended.
    """

    frame: Frame
    view: PlanView | None
    asked: str
    way: str
    search: SearchState
    has_exact: bool
    days: tuple[date, ...]
    rows: tuple[CrewRow, ...]
    outsiders: tuple[tuple[JobOutlook, JointTask], ...]
    names: dict[str, JobOutlook]
    kinds: tuple[tuple[str, str], ...]
    crews: tuple[Crew, ...]
    tasks: tuple[tuple[str, str], ...]
    stopping: tuple[tuple[str, str], ...]
    expected: tuple[tuple[int, str], ...]
    may_change: bool
    can_tell: bool
    earlier: str
    later: str
    chosen: dict[str, str]
    faults: tuple[Fault, ...]


@router.get("/days")
def show_all_days(desk: AtDesk) -> Response:
    """The plan over all jobs, or what would follow from something supposed."""
    query = desk.request.query_params
    chosen = {name: query.get(name, "")[:80] for name in ("kind", "on", "crew", "task", "measure", "from")}
    faults: tuple[Fault, ...] = ()
    view, asked = None, ""
    try:
        if chosen["kind"]:
            supposed, asked, faults = _supposed(chosen)
            view = suppose(desk.db, desk.today, (supposed,)) if supposed else None
        elif query.get("better"):
            view = _better(desk, query["better"])
        view = view or plan_view(desk.db, desk.today)
    except Refused as refusal:
        faults = (*faults, Fault(refusal.reason))
    return _page(desk, view, chosen, faults, (asked if not faults else "", query.get("better", "")[:5]))


@router.get("/api/days")
def show_all_days_json(desk: AtDesk) -> Response:
    """The plan that is proposed, and the starts of the one that holds."""
    view = plan_view(desk.db, desk.today)
    held = plain(view.held.plan) if view.held else None
    return JSONResponse({"proposed": plain(view.proposed), "held": held, "fingerprint": view.fingerprint})


@router.post("/days")
def save_plan(desk: AtDesk, form: Posted) -> Response:
    """Let the plan that was seen hold."""
    way, seen, why = text(form, "better", 5), text(form, "seen", 64), text(form, "why")
    faults: tuple[str, ...] = ()
    try:
        if text(form, "forget"):
            forget(desk.db, desk.staff, number(form, "forget"), desk.now)
            return go("/days?said=saved")
        if text(form, "kind"):
            supposed, _, _ = _supposed(
                {name: text(form, name, 80) for name in ("kind", "on", "crew", "task", "measure")}
            )
            if supposed is None:
                raise Refused("What was supposed cannot be read; suppose it again.")
            plan_id, view = take_in(desk.db, desk.staff, supposed, seen, why, desk.now)
        else:
            view = _better(desk, way) if way else plan_view(desk.db, desk.today)
            plan_id = accept(desk.db, desk.staff, seen, why, desk.now, view)
        if text(form, "tell"):
            _, faults = tell_of_change(desk.db, view, plan_id, why, desk.now)
    except Refused as refusal:
        faults = (refusal.reason,)
    if faults:
        return _page(desk, plan_view(desk.db, desk.today), {}, tuple(map(Fault, faults)), ("", ""))
    return go("/days?said=accepted")


@router.get("/days/search")
def show_search(desk: AtDesk) -> Response:
    """How far the exact search is; a part of the page, asked for again while it looks."""
    return render(desk.request, "parts/exact_search.html", search_state())


@router.post("/days/search")
def save_search(desk: AtDesk, form: Posted) -> Response:
    """Start the exact search, or stop it."""
    if text(form, "do") == "stop":
        stop_search()
        return go("/days#search")
    try:
        start_search(desk.db, desk.today)
    except Refused as refusal:
        return _page(desk, plan_view(desk.db, desk.today), {}, (Fault(refusal.reason),), ("", ""))
    return go("/days#search")


def _better(desk: Desk, way: str) -> PlanView:
    """The plan of a longer search, quick or exact."""
    return improved_view(desk.db, desk.today) if way == "exact" else look_for_better(desk.db, desk.today)


def _supposed(chosen: dict[str, str]) -> tuple[Supposed | None, str, tuple[Fault, ...]]:
    """What was supposed, in words too; or what must be mended."""
    on = as_day(chosen["on"])
    faults = []
    if chosen["kind"] not in dict(_KINDS):
        faults.append(Fault("Choose what is supposed", field_id("kind")))
    if on is None:
        faults.append(Fault("Give the day as year-month-day, such as 2026-05-14", field_id("on")))
    if chosen["kind"] == "away" and not chosen["crew"]:
        faults.append(Fault("Choose the crew that is away", field_id("crew")))
    if chosen["kind"] == "goods" and "/" not in chosen["task"]:
        faults.append(Fault("Choose the task whose goods come", field_id("task")))
    measure = (
        as_decimal((chosen.get("measure") or "").replace("\u2212", "-")) if chosen["kind"] in UNITS else None
    )
    if chosen["kind"] in UNITS and chosen.get("measure") and measure is None:
        faults.append(Fault("Give how cold in °C or how windy in km/h as a number", field_id("measure")))
    if faults or on is None:
        return None, "", tuple(faults)
    job, _, task = chosen["task"].partition("/")
    limit = f", {measure:g} {UNITS[chosen['kind']]}," if measure is not None else ""
    said = f"If {dict(_KINDS)[chosen['kind']]}{limit} on {day_words(on)}"
    kind = cast("SupposedKind", chosen["kind"])
    supposed = Supposed(
        kind,
        on,
        crew=chosen["crew"] if kind == "away" else "",
        job=job if kind == "goods" else "",
        task=task if kind == "goods" else "",
        measure=None if measure is None else float(measure),
    )
    return supposed, said, ()


def _page(
    desk: Desk,
    view: PlanView | None,
    chosen: dict[str, str],
    faults: tuple[Fault, ...],
    asked: tuple[str, str],
) -> Response:
    plan_jobs = view.proposed.jobs if view else ()
    names = {job.job: job for job in plan_jobs}
    tasks = view.proposed.tasks if view else ()
    # Where nothing happens soon the page opens on the first week in which something does.
    soon = max(desk.today, min((task.start_on for task in tasks), default=desk.today))
    first = as_day(chosen.get("from", "")) or soon
    first -= timedelta(days=first.weekday())
    days = tuple(day for number in range(_SPAN_DAYS) if (day := first + timedelta(days=number)).weekday() < 6)
    known = crews(desk.db)
    sheet = AllDaysSheet(
        frame=desk_frame(desk, "Days of all jobs", at="/", is_wrong=bool(faults)),
        view=view,
        asked=asked[0],
        way=asked[1],
        search=search_state(),
        has_exact=is_installed(),
        days=days,
        rows=tuple(CrewRow(crew, _cells(crew, days, view, names)) for crew in known),
        outsiders=tuple(
            (names[task.job], task)
            for task in sorted(tasks, key=lambda task: task.start_on)
            if task.who not in {crew.code for crew in known}
            and task.job in names
            and days[0] <= task.start_on <= days[-1]
        ),
        names=names,
        kinds=_KINDS,
        crews=known,
        tasks=tuple((f"{task.job}/{task.code}", _task_words(task, names)) for task in tasks),
        stopping=_stopping(desk, chosen) if asked[0] else (),
        expected=tuple(
            (place, _expected_words(one, tasks, names))
            for place, one in enumerate(work_rules(desk.db).expected)
            if one.on >= desk.today
        ),
        may_change=may(desk.staff, "POST", "/days"),
        can_tell=can_tell(desk.db),
        earlier="/days?" + urlencode({"from": (first - timedelta(days=14)).isoformat()}),
        later="/days?" + urlencode({"from": (first + timedelta(days=14)).isoformat()}),
        chosen=chosen,
        faults=faults,
    )
    return render(desk.request, "pages/all_days.html", sheet, 422 if faults else 200)


def _stopping(desk: Desk, chosen: dict[str, str]) -> tuple[tuple[str, str], ...]:
    """The rules of work that what is supposed meets."""
    supposed, _, _ = _supposed(chosen)
    rules = work_rules(desk.db).task_weather if supposed else ()
    return tuple((rule.step, rule.words) for rule in rules if supposed and rule.is_met_by(supposed))


def _expected_words(one: Supposed, tasks: Iterable[JointTask], names: dict[str, JobOutlook]) -> str:
    """Something expected, in words."""
    if one.kind != "goods":
        measure = "" if one.measure is None else f", {one.measure:g} {UNITS.get(one.kind, '')}"
        return f"{dict(_KINDS)[one.kind]}{measure}, {day_words(one.on)}"
    found = (_task_words(task, names) for task in tasks if (task.job, task.code) == (one.job, one.task))
    return f"goods of {next(found, one.task)} come, {day_words(one.on)}"


def _task_words(task: JointTask, names: dict[str, JobOutlook]) -> str:
    job = names.get(task.job)
    return f"{job.number} {task.name}" if job else task.name


def _cells(
    crew: Crew, days: Iterable[date], view: PlanView | None, names: dict[str, JobOutlook]
) -> tuple[DayCell, ...]:
    """What a crew does on each day, and who looks or comes at its jobs."""
    if view is None:
        return ()
    off = dict(view.calendar.days_off) if view.calendar else {}
    weekdays = view.calendar.weekdays if view.calendar else range(7)
    known = [(names[task.job], task) for task in view.proposed.tasks if task.job in names]
    mine = [(job, task) for job, task in known if task.who == crew.code and not task.is_hold_point]
    visits = [(job, task) for job, task in known if job.crew == crew.code and task.who != crew.code]

    def on(rows: list[tuple[JobOutlook, JointTask]], day: date) -> tuple[tuple[JobOutlook, JointTask], ...]:
        return tuple((job, task) for job, task in rows if task.start_on <= day <= task.end_on)

    return tuple(
        DayCell(name, (), ())
        if (name := off.get(day, "" if day.weekday() in weekdays else "not worked"))
        else DayCell("", on(mine, day), on(visits, day))
        for day in days
    )
