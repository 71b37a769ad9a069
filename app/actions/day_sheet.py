"""The day sheet: what one day of one job holds, for the crew."""

from datetime import date

from app.actions.database import Database
from app.actions.plans import dated
from app.actions.purchases import goods_sheet_of
from app.actions.records import WorkedOut
from app.actions.takeoff import shop_of, work_out
from app.build.day_work import DayWork, cuts_of_day, day_work
from app.build.goods import missing_for
from app.documents.day_sheet import DaySheetInputs, day_sheet_pdf
from app.documents.scale import scale_that_fits
from app.drawings.frame import frame_svg
from app.drawings.ground import MARGIN_MM
from app.drawings.plan import plan_svg
from app.drawings.rough_in import rough_in_svg
from app.drawings.walls import wall_svgs
from app.measure.show import format_length
from app.store import plans
from app.takeoff.totals.records import CutStick

_WIDE_MM, _HIGH_MM = 150.0, 92.0


def day_sheet(db: Database, job_id: int, on: date, today: date) -> DaySheetInputs:
    """All that the day sheet of one day shows; a day without work has an empty one."""
    worked = dated(db, work_out(db, job_id, today))
    with db.read() as session:
        rules, promise = plans.work_rules(session), plans.promise(session, job_id)
    _, firm = shop_of(db, today, worked.sheet.job)
    work = day_work(worked.answer.days, on, rules.task_weather)
    goods = goods_sheet_of(db, worked)
    names = {one.line.item: one.line.name for one in goods.goods}
    codes = {task.code for task in work.tasks}
    needed = [
        item
        for planned in worked.answer.days.tasks
        if planned.task.code in codes
        for item in planned.task.needs
    ]
    name, svg = _drawing(worked, work)
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
        svg=svg,
        drawing_name=name,
        cuts=_cuts(worked, work),
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


def _cuts(worked: WorkedOut, work: DayWork) -> tuple[tuple[str, CutStick], ...]:
    """The sticks that the tasks of the day cut."""
    pieces, cutting = worked.answer.takeoff.layout.pieces, worked.answer.takeoff.totals.cut_plans
    deck = frozenset(piece.profile for piece in pieces if piece.plane == "plan")
    clad = frozenset(piece.profile for piece in pieces if piece.plane != "plan") - deck
    sections = frozenset(plan.profile for plan in cutting) - deck - clad
    of_phase = {"frame": sections, "boards": deck, "walls": clad}
    return tuple(
        cut
        for task in work.tasks
        if task.phase in of_phase and not task.is_hold_point
        for cut in cuts_of_day(cutting, of_phase[task.phase], task.from_share, task.until_share)
    )


def _drawing(worked: WorkedOut, work: DayWork) -> tuple[str, str]:
    """The drawing that the first task of the day is worked from."""
    job, takeoff, system = worked.sheet.job, worked.answer.takeoff, worked.sheet.job.units
    scale = scale_that_fits(job, _WIDE_MM, _HIGH_MM, MARGIN_MM)
    phase = next((task.phase for task in work.tasks if task.phase), "")
    if not work.tasks:
        return "", ""
    if phase == "frame":
        return "Frame and pads", frame_svg(job, takeoff, system, scale)
    if phase in ("rough-in", "fit-out"):
        return "Rough-in", rough_in_svg(job, takeoff, system, scale)
    if phase == "walls":
        walls = wall_svgs(job, takeoff, system, 50.0)
        if walls:
            return "Wall", walls[0][1]
    return "Plan with board numbers", plan_svg(job, takeoff, system, scale, with_numbers=phase == "boards")
