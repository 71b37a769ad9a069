"""Hidden runs before they are covered: what was seen, photographed and tested, and what waits for it."""

from collections.abc import Iterable
from datetime import date, datetime

from app.actions.built_ways import deviations_of, drawn_ways, ways_of
from app.actions.database import Database
from app.actions.errors import Refused
from app.actions.records import StaffMember, WorkedOut
from app.actions.sheet import found, subject
from app.actions.takeoff import firm_of, work_out
from app.build.run_checks import HOLD_POINT, RunCheck, RunTick, open_runs, run_checks
from app.documents.rough_in import RoughInInputs, rough_in_pdf
from app.store import audit, jobs, run_ticks, site
from app.store.records import RunTicked

Cell = tuple[str, str]  # run and check
_NAMED = 12


def run_checks_of(db: Database, worked: WorkedOut) -> tuple[RunCheck, ...]:
    """Every hidden run of a job that is worked out already, with what was ticked off."""
    with db.read() as session:
        kept = run_ticks.ticks(session, worked.sheet.id)
    given = (RunTick(tick.run, tick.ends, tick.what, tick.by, tick.at) for tick in kept)
    return run_checks(worked.answer.takeoff.rough_in.runs, given)


def waits_for(db: Database, worked: WorkedOut, code: str) -> tuple[str, ...]:
    """What a hold point still waits for: the runs not ticked off, for the one of the runs."""
    return open_runs(run_checks_of(db, worked)) if code == HOLD_POINT else ()


def refuse_open_runs(db: Database, job_id: int, code: str, now: datetime) -> None:
    """Refused, naming the runs, when a hold point still waits for them."""
    if code != HOLD_POINT:
        return
    left = waits_for(db, work_out(db, job_id, now.astimezone().date()), code)
    if left:
        more = f"; and {len(left) - _NAMED} more" if len(left) > _NAMED else ""
        raise Refused(
            f"{len(left)} runs are not ticked off on the Rough-in sheet: {'; '.join(left[:_NAMED])}{more}."
        )


def sheet_pdf(db: Database, job_id: int, today: date) -> tuple[str, bytes]:
    """The rough-in sheet for the site as it stands: name of the file, and its content."""
    worked = work_out(db, job_id, today)
    firm = firm_of(db)
    sheet = worked.sheet
    inputs = RoughInInputs(
        firm=firm.firm,
        job=sheet.job,
        job_number=sheet.number,
        takeoff=worked.answer.takeoff,
        checks=run_checks_of(db, worked),
        printed_on=today,
        site_address=sheet.client.address,
        built=drawn_ways(ways_of(worked, deviations_of(db, worked))),
    )
    return f"{sheet.number}-rough-in.pdf".replace('"', ""), rough_in_pdf(inputs)


def tick_runs(
    db: Database,
    staff: StaffMember,
    job_id: int,
    ticked: Iterable[Cell],
    taken_back: Iterable[Cell],
    now: datetime,
) -> int:
    """Tick checks off and take others back; gives how many changed. Refused once the hold point is signed.

    Cells that the job does not have, as after a change of the plan, are passed over.
    """
    worked = work_out(db, job_id, now.astimezone().date())
    checks = {(one.run, what): one for one in run_checks_of(db, worked) for what, _ in one.checks}
    done = {(one.run, what) for one in checks.values() for what, tick in one.checks if tick}
    new = [cell for cell in dict.fromkeys(ticked) if cell in checks and cell not in done]
    back = [cell for cell in dict.fromkeys(taken_back) if cell in done]
    if not new and not back:
        return 0
    with db.write() as session:
        found(jobs.find_job(session, job_id, for_change=True), job_id)
        release = site.releases(session, job_id).get(HOLD_POINT)
        if release is not None and back:
            raise Refused(
                f"{release.name} released the hold point of the runs; ticks are no longer taken back."
            )
        for run, what in new:
            ends = checks[run, what].ends
            run_ticks.put_tick(session, job_id, RunTicked(run, ends, what, staff.name, now))
        for run, what in back:
            run_ticks.take_tick(session, job_id, run, what)
        audit.note(session, now, staff.name, _said(new, back), subject(job_id))
    return len(new) + len(back)


def _said(new: list[Cell], back: list[Cell]) -> str:
    """Say what was ticked, in one line of the trail."""
    parts = [
        f"{word} {', '.join(f'{run} {what}' for run, what in cells[:_NAMED])}"
        + (f" and {len(cells) - _NAMED} more" if len(cells) > _NAMED else "")
        for word, cells in (("ticked off", new), ("took back", back))
        if cells
    ]
    return "; ".join(parts)
