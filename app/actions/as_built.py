"""Noting that a hidden run was laid elsewhere than drawn."""

from collections.abc import Sequence
from datetime import datetime

from app.actions.built_ways import ways_of
from app.actions.clock import day_of
from app.actions.database import Database
from app.actions.errors import Refused
from app.actions.log import add_entry
from app.actions.records import StaffMember
from app.actions.takeoff import work_out
from app.build.deviations import Deviation, deviation_text

MOST_LETTERS = 400


def note_deviation(
    db: Database,
    staff: StaffMember,
    job_id: int,
    run: str,
    words: str,
    now: datetime,
    spots: Sequence[tuple[str, str]] = (),
) -> None:
    """Note in the site log that a run lies elsewhere: over spots by tape from A and B, or in words.

    Refused without a run or a place, and for spots that cannot be read or drawn.
    """
    worked = work_out(db, job_id, day_of(now))
    if run not in {one.id for one in worked.answer.takeoff.rough_in.runs}:
        raise Refused(f"There is no run {run} on this job; choose one of the list.")
    for number, (from_a, from_b) in enumerate(spots, 1):
        if not from_a or not from_b:
            raise Refused(f"Spot {number} needs both tapes, the one from A and the one from B.")
    measured = [f"A {from_a}, B {from_b}" for from_a, from_b in spots]
    said = "; ".join([*measured, words.strip()] if words.strip() else measured)
    if not said:
        raise Refused("Say where the run lies: two tape measures from A and B, or a sentence.")
    if len(said) > MOST_LETTERS:
        raise Refused(f"That is too long to note: {len(said)} letters of {MOST_LETTERS}.")
    way = ways_of(worked, {run: Deviation(run, said, staff.name, day_of(now))}).get(run)
    if way is not None and way.fault:
        raise Refused(f"The run cannot be drawn: {way.fault}.")
    add_entry(db, staff, job_id, day_of(now), deviation_text(run, said), now, phase="rough-in")
