"""Sheet 9, Days: who is on the roof on which day, and why."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, timedelta

from fastapi import APIRouter, Response

from app.actions.by_hand import promise, save_promise, task_edits
from app.actions.day_records import SpokenChange
from app.actions.days import crews, set_days
from app.actions.errors import Refused, StaleSave
from app.actions.extra_work import spoken_changes
from app.actions.feeds import JOB, feeds, make_feed
from app.actions.moves import MoveLook
from app.actions.plans import dated, held_plan
from app.actions.records import WorkedOut
from app.actions.takeoff import work_out
from app.schedule.records import Calendar, Crew, DayPlan, PlannedTask
from app.schedule.task_edits import TaskEdit
from app.schedule.work_rules import SiteRules
from app.takeoff.totals.records import Carry
from app.web.carry_days import CarryDay, carry_days
from app.web.findings import Fault
from app.web.forms.drawn import Field, field_id
from app.web.forms.plain import as_day, draw
from app.web.page import go, month, render
from app.web.promise_form import PROMISE as _PROMISE
from app.web.promise_form import promise_of, promise_values
from app.web.rights import may
from app.web.sheets import Frame, job_frame
from app.web.stale import show_stale
from app.web.visit import AtDesk, Desk, Posted, number, text

router = APIRouter()
_MOST_COLUMNS = 120
_TAIL_DAYS = 7  # room to move the last task into


@dataclass(frozen=True, slots=True)
class Column:
    """One day across; `off` names why it is not worked, or is empty."""

    on: date
    off: str


@dataclass(frozen=True, slots=True)
class Bar:
    """One task: for each column whether it is worked on that day; whether it may be moved."""

    planned: PlannedTask
    on: tuple[bool, ...]
    can_move: bool = False


@dataclass(frozen=True, slots=True)
class DaysSheet:
    """The job in days.

    Attributes
    ----------
    frame : Frame
        What stands round the page.
    job_id, version : int
        The job and the version the form starts from.
    plan : DayPlan
        Tasks, days and findings.
    columns : tuple of Column
        Every day from the first to the last.
    months : tuple of (str, int)
        Name of each month and how many of its days are columns.
    bars : tuple of Bar
        One for each task.
    names : dict of str to str
        Names of the tasks by code.
    item_names : dict of str to str
        Names on the price list, by code.
    carry : Carry
        What goes up, and in how many trips.
    carry_days : tuple of CarryDay
        The days that takes.
    units : str
        imperial or metric.
    crews : tuple of Crew
        Who could build it.
    crew_code, start_on : str
        As set, or as just typed.
    held : str
        Which accepted plan the days are from; empty when they are the job's own.
    promise : tuple of Field
        The form of what is promised and what the building asks for.
    edits : dict of str to TaskEdit
        What was set by hand, by task.
    may_move : bool
        Whether whoever looks may move tasks.
    pending : int
        How many tasks were set by hand since the plan that holds was accepted.
    spoken : tuple of (SpokenChange, bool)
        Changes agreed by word that have days, and whether the plan that holds is older than they are.
    look : MoveLook or None
        What a task set by hand would push.
    has_feed : bool
        Whether a calendar feed of the job is open.
    feed : str
        Its address, shown once when it is made.
    faults : tuple of Fault
        What must be mended in the form.
    """

    frame: Frame
    job_id: int
    version: int
    plan: DayPlan
    columns: tuple[Column, ...]
    months: tuple[tuple[str, int], ...]
    bars: tuple[Bar, ...]
    names: dict[str, str]
    item_names: dict[str, str]
    carry: Carry
    carry_days: tuple[CarryDay, ...]
    units: str
    crews: tuple[Crew, ...]
    crew_code: str
    start_on: str
    held: str
    promise: tuple[Field, ...]
    edits: dict[str, TaskEdit]
    may_move: bool
    pending: int
    spoken: tuple[tuple[SpokenChange, bool], ...]
    look: MoveLook | None
    has_feed: bool
    feed: str
    faults: tuple[Fault, ...]


@router.get("/jobs/{job_id}/days")
def show_days(desk: AtDesk, job_id: int) -> Response:
    """Sheet 9."""
    return days_page(desk, work_out(desk.db, job_id, desk.today))


@router.post("/jobs/{job_id}/days")
def save_days(desk: AtDesk, form: Posted, job_id: int) -> Response:
    """Set the crew and the first day."""
    crew_code, typed = text(form, "crew_code"), text(form, "start_on")
    start_on = as_day(typed)
    faults = []
    if crew_code not in {crew.code for crew in crews(desk.db)}:
        faults.append(Fault("Choose a crew", field_id("crew_code")))
    if typed and start_on is None:
        faults.append(Fault("Give the first day as year-month-day, such as 2026-05-04", field_id("start_on")))
    if faults:
        return days_page(desk, work_out(desk.db, job_id, desk.today), tuple(faults), crew_code, typed)
    try:
        set_days(desk.db, desk.staff, job_id, number(form, "version"), crew_code, start_on, desk.now)
    except StaleSave as stale:
        return show_stale(desk, stale, back=f"/jobs/{job_id}/days")
    return go(f"/jobs/{job_id}/days?said=saved")


@router.post("/jobs/{job_id}/promise")
def save_job_promise(desk: AtDesk, form: Posted, job_id: int) -> Response:
    """Save what is promised and what the building asks for."""
    new, words = promise_of(form)
    if new is None:
        return days_page(desk, work_out(desk.db, job_id, desk.today), tuple(map(Fault, words)))
    site: SiteRules = new.site
    try:
        save_promise(desk.db, desk.staff, job_id, new.finish_by_on, site, new.access_notes, desk.now)
    except Refused as refusal:
        return days_page(desk, work_out(desk.db, job_id, desk.today), (Fault(refusal.reason),))
    return go(f"/jobs/{job_id}/days?said=saved")


@router.post("/jobs/{job_id}/feed")
def save_feed(desk: AtDesk, form: Posted, job_id: int) -> Response:
    """Make the secret address of the job's calendar; shown this once."""
    token = make_feed(desk.db, desk.staff, JOB, str(job_id), desk.now)
    address = f"{str(desk.request.base_url).rstrip('/')}/feeds/{token}.ics"
    return days_page(desk, work_out(desk.db, job_id, desk.today), feed=address)


def days_page(
    desk: Desk,
    worked: WorkedOut,
    faults: tuple[Fault, ...] = (),
    crew_code: str = "",
    start_on: str | None = None,
    feed: str = "",
    look: MoveLook | None = None,
) -> Response:
    """The sheet of a job worked out, with what was typed and what must be mended."""
    worked = dated(desk.db, worked)
    plan = worked.answer.days
    held = held_plan(desk.db)
    is_held = held is not None and any(job.job == str(worked.sheet.id) for job in held.plan.jobs)
    may_move = may(desk.staff, "POST", "/jobs/{job_id}/tasks")
    columns = tuple(_columns(plan, worked.calendar, _TAIL_DAYS if may_move else 0))
    edits = task_edits(desk.db, worked.sheet.id)
    set_on = worked.sheet.start_on.isoformat() if worked.sheet.start_on else ""
    sheet = DaysSheet(
        frame=job_frame(desk, worked.sheet, 9, is_wrong=bool(faults)),
        job_id=worked.sheet.id,
        version=worked.sheet.version,
        plan=plan,
        columns=columns,
        months=_months(columns),
        bars=tuple(
            Bar(
                planned,
                _worked_days(planned, plan, columns),
                can_move=may_move and planned.because != "Done.",
            )
            for planned in plan.tasks
        ),
        names={planned.task.code: planned.task.name for planned in plan.tasks},
        item_names=worked.item_names,
        carry=worked.answer.takeoff.totals.carry,
        carry_days=carry_days(plan),
        units=worked.sheet.job.units,
        crews=crews(desk.db),
        crew_code=crew_code or worked.sheet.crew_code,
        start_on=set_on if start_on is None else start_on,
        held=f"plan {held.id}, accepted by {held.by}" if held is not None and is_held else "",
        promise=draw(_PROMISE, promise_values(promise(desk.db, worked.sheet.id)), {}),
        edits={kept.edit.code: kept.edit for kept in edits},
        may_move=may_move,
        pending=sum(kept.at > held.at for kept in edits) if held is not None and is_held else 0,
        spoken=tuple(
            (one, held is not None and is_held and one.made_at > held.at)
            for one in spoken_changes(desk.db, worked.sheet.id)
        ),
        look=look,
        has_feed=str(worked.sheet.id) in feeds(desk.db, JOB),
        feed=feed,
        faults=faults,
    )
    return render(desk.request, "pages/days.html", sheet, 422 if faults else 200)


def _columns(plan: DayPlan, calendar: Calendar, tail: int) -> Iterator[Column]:
    """Every day of the plan and some after it, at most a few months of them."""
    named = dict(calendar.days_off)
    last = max([plan.end_on, *(planned.end_on for planned in plan.tasks)])
    for step in range(min((last - plan.start_on).days + 1 + tail, _MOST_COLUMNS)):
        on = plan.start_on + timedelta(days=step)
        off = named.get(on, "") or ("" if on.weekday() in calendar.weekdays else "not worked")
        yield Column(on, off)


def _months(columns: tuple[Column, ...]) -> tuple[tuple[str, int], ...]:
    """The months across, each with its share of the columns."""
    counts: dict[str, int] = {}
    for column in columns:
        name = month(column.on)
        counts[name] = counts.get(name, 0) + 1
    return tuple(counts.items())


def _worked_days(planned: PlannedTask, plan: DayPlan, columns: tuple[Column, ...]) -> tuple[bool, ...]:
    """The columns in which a task is worked: its days in the list, or its span where it has none."""
    listed = {entry.on for entry in plan.days if planned.task.code in entry.tasks}
    return tuple(
        column.on in listed if listed else not column.off and planned.start_on <= column.on <= planned.end_on
        for column in columns
    )
