"""Hidden runs that were laid elsewhere than drawn, as the site log says."""

from datetime import datetime

from app.actions.clock import day_of
from app.actions.database import Database
from app.actions.errors import Refused
from app.actions.log import add_entry
from app.actions.records import StaffMember, WorkedOut
from app.actions.takeoff import work_out
from app.build.deviations import Deviation, deviation_text, deviations
from app.store import site


def deviations_of(db: Database, worked: WorkedOut) -> dict[str, Deviation]:
    """By run, what the site log says of one that lies elsewhere than drawn."""
    with db.read() as session:
        lines = sorted(site.entries(session, worked.sheet.id), key=lambda line: line.id)
    runs = [run.id for run in worked.answer.takeoff.rough_in.runs]
    return deviations(((line.on, line.text, line.who) for line in lines), runs)


def note_deviation(
    db: Database, staff: StaffMember, job_id: int, run: str, words: str, now: datetime
) -> None:
    """Note in the site log that a run lies elsewhere than drawn; Refused without a run or a place."""
    worked = work_out(db, job_id, day_of(now))
    if run not in {one.id for one in worked.answer.takeoff.rough_in.runs}:
        raise Refused(f"There is no run {run} on this job; choose one of the list.")
    if not words.strip():
        raise Refused("Say where the run lies: two tape measures from A and B, or a sentence.")
    text = deviation_text(run, words[:400])
    add_entry(db, staff, job_id, day_of(now), text, now, phase="rough-in")
