"""The day sheet: what one day of one job holds, for the crew."""

from datetime import date

from app.actions.database import Database
from app.actions.plans import dated
from app.actions.purchases import carry_steps, goods_sheet_of
from app.actions.records import WorkedOut
from app.actions.takeoff import firm_of, work_out
from app.build.day_parts import DayParts, cuts_on, day_parts
from app.build.day_work import DayWork, day_work
from app.build.goods import missing_for
from app.build.run_checks import HOLD_POINT
from app.documents.day_sheet import CutOut, DaySheetInputs, day_sheet_pdf
from app.documents.scale import largest_scale
from app.drawings.cut_out import Today, cut_out_box, cut_out_svg, key_plan_svg
from app.drawings.walls import wall_svgs
from app.measure.show import clock, format_length, format_mass
from app.store import plans

_WIDE_MM, _HIGH_MM, _KEY_MM = 136.0, 92.0, 40.0
_WALL_SCALE = 50.0
_MOST_CUT_OUTS = 2
_NAMES = {
    "frame": "Frame and pads",
    "rough-in": "Rough-in",
    "boards": "Boards by their numbers",
    "planters": "Planters, benches and counters",
    "beds": "Stone beds",
    "fit-out": "Devices",
    "walls": "Walls",
}
_LEGENDS = {
    "frame": "shaded: today; plain: set before; dotted: later; letter and height in mm of each pad of today",
    "boards": "shaded: today; plain: laid before; dotted: later",
    "rough-in": "heavy, with tags: today; hairlines: other runs",
    "fit-out": "ringed: today",
}


def day_sheet(db: Database, job_id: int, on: date, today: date) -> DaySheetInputs:
    """All that the day sheet of one day shows; a day without work has an empty one."""
    worked = dated(db, work_out(db, job_id, today))
    with db.read() as session:
        rules, promise = plans.work_rules(session), plans.promise(session, job_id)
    firm = firm_of(db)
    work = day_work(worked.answer.days, on, rules.task_weather)
    goods = goods_sheet_of(db, worked)
    names = worked.item_names
    codes = {task.code for task in work.tasks}
    needed = [
        item
        for planned in worked.answer.days.tasks
        if planned.task.code in codes
        for item in planned.task.needs
    ]
    parts = day_parts(worked.sheet.job, worked.answer.takeoff, worked.answer.days)
    site = promise.site
    way = worked.sheet.job.survey.way_up
    access = [*promise.access_notes.splitlines()]
    if (site.opens_h, site.closes_h) != (0.0, 24.0):
        access.append(f"Noise from {site.opens_h:g} to {site.closes_h:g} h alone.")
    if way is not None:
        longest = format_length(way.longest_piece_mm, worked.sheet.job.units)
        access.append(f"Way up: {way.kind}; longest piece {longest}.")
    return DaySheetInputs(
        firm=firm.firm,
        job_number=worked.sheet.number,
        job_title=worked.sheet.title,
        site_address=worked.sheet.client.address,
        crew_code=worked.crew.code,
        crew_name=worked.crew.name,
        work=work,
        cut_outs=_cut_outs(worked, work, parts),
        cuts=cuts_on(worked.answer.takeoff.totals.cut_plans, parts, on) if work.tasks else (),
        carried=_carried(db, worked, on, names),
        items=tuple(names.get(item, item) for item in dict.fromkeys((*work.bring, *needed))),
        missing=tuple(
            one.line.name for one in missing_for(goods.goods, on) if one.line.item in {*work.bring, *needed}
        ),
        access=tuple(line for line in access if line.strip()),
        system=worked.sheet.job.units,
        printed_on=today,
    )


def day_sheet_paper(db: Database, job_id: int, on: date, today: date) -> tuple[str, bytes]:
    """The day sheet as a PDF, with its name."""
    inputs = day_sheet(db, job_id, on, today)
    return f"{inputs.job_number}-day-{on.isoformat()}.pdf", day_sheet_pdf(inputs)


def _carried(
    db: Database, worked: WorkedOut, on: date, names: dict[str, str]
) -> tuple[tuple[str, str, str], ...]:
    """What goes up on the day: by the clock, what, and in how many trips of which mass."""
    system = worked.sheet.job.units
    cut_below = worked.answer.takeoff.totals.carry.cut_below
    return tuple(
        (
            f"{clock(step.from_h)}–{clock(step.until_h)}",
            names.get(step.item, step.item) + (", cut on the ground" if step.item in cut_below else ""),
            f"{format_mass(step.mass_kg, system)}, {step.trips} {'trip' if step.trips == 1 else 'trips'}",
        )
        for step in carry_steps(db, worked)
        if step.on == on
    )


def _cut_outs(worked: WorkedOut, work: DayWork, parts: DayParts) -> tuple[CutOut, ...]:
    """The parts of the drawings that the day is worked from: one for each phase, the longest first."""
    tasks = sorted((task for task in work.tasks if task.phase), key=lambda task: -task.hours_h)
    phases = list(dict.fromkeys(task.phase for task in tasks))[:_MOST_CUT_OUTS]
    if not phases and work.tasks:  # somebody comes to look: at the runs, or at the whole roof
        phases = ["rough-in" if any(task.code == HOLD_POINT for task in work.tasks) else ""]
    room = (_WIDE_MM / len(phases), _HIGH_MM) if phases else (_WIDE_MM, _HIGH_MM)
    return tuple(_cut_out(worked, phase, parts, work.on, room) for phase in phases)


def _cut_out(worked: WorkedOut, phase: str, parts: DayParts, on: date, room: tuple[float, float]) -> CutOut:
    """One part of the drawings, as large as its room on paper lets, with the key to where it lies."""
    job, takeoff = worked.sheet.job, worked.answer.takeoff
    now, before = parts.today(phase, on), parts.before(phase, on)
    if phase == "rough-in" and not now:  # looked at as a whole
        now, before = frozenset(parts.of_phase.get(phase, ())), frozenset()
    box = cut_out_box(job, takeoff, now)
    key = key_plan_svg(job, box, _KEY_MM, _KEY_MM)
    if phase == "walls" and now:
        shown = {piece.plane for piece in takeoff.layout.pieces if piece.id in now}
        walls = [svg for wall, svg in wall_svgs(job, takeoff, job.units, _WALL_SCALE, now) if wall in shown]
        if walls:
            return CutOut("Wall", "shaded: today", walls[0], key)
    scale = largest_scale(box[2] - box[0], box[3] - box[1], *room)
    svg = cut_out_svg(job, takeoff, Today(phase, now, before), box, scale)
    legend = _LEGENDS.get(phase, "heavy line: today") if now else "the whole roof"
    return CutOut(_NAMES.get(phase, "Plan"), f"1 : {scale:g}; {legend}", svg, key)
