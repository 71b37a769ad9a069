"""The rack: leftovers go in once the cutting is done, the next job takes them, and then they are gone."""

from dataclasses import replace
from datetime import date
from typing import Any

import pytest

from app.actions.database import Database
from app.actions.errors import NotFound, Refused, StaleSave
from app.actions.jobs import add_job, job_sheet
from app.actions.rack import cutting_done, job_rack, put_back, take, throw_out, whole_rack
from app.actions.records import JobState, StaffMember
from app.actions.takeoff import work_out
from app.job.choices import Cutting
from app.job.file import write_job
from app.store import audit, jobs
from tests.actions.conftest import NOW
from tests.builders import a_deck_field, a_job, a_plan, choices

TODAY = date(2026, 5, 4)


def a_deck(length_mm: float, width_mm: float, angle_deg: float) -> dict[str, Any]:
    """The file of a job with one field, that keeps what is longer than a hand."""
    corners = ((200, 200), (200 + length_mm, 200), (200 + length_mm, 200 + width_mm), (200, 200 + width_mm))
    field = a_deck_field(outline_mm=corners, angle_deg=angle_deg)
    return write_job(
        a_job(plan=a_plan(deck_fields=(field,)), materials=choices(cutting=Cutting(keep_offcut_mm=300)))
    )


@pytest.fixture
def document() -> dict[str, Any]:
    """The first job: boards of 1.9 m out of 2.4 m."""
    return a_deck(1900, 1500, 0.0)


@pytest.fixture
def next_document() -> dict[str, Any]:
    """The next: boards of 450 mm, which what is left of the first will do for."""
    return a_deck(1500, 450, 90.0)


def moved(db: Database, job_id: int, state: JobState) -> None:
    with db.write() as session:
        jobs.put_state(session, job_id, state, NOW)


def trail(db: Database, subject: str) -> list[str]:
    with db.read() as session:
        return [entry.what for entry in audit.trail(session, subject)]


@pytest.fixture
def first(db: Database, owner: StaffMember, job_id: int) -> int:
    """A job that is cut, with its leftovers in the rack."""
    moved(db, job_id, "on the roof")
    assert cutting_done(db, owner, job_id, TODAY, NOW) > 0
    return job_id


@pytest.fixture
def second(db: Database, owner: StaffMember, next_document: dict[str, Any], first: int) -> int:
    """The next job, of the same profiles."""
    return add_job(db, owner, 1, "Second deck", next_document, NOW)


def test_what_is_left_of_a_cut_job_lies_in_the_rack_with_where_it_is_from(db: Database, first: int) -> None:
    plans = work_out(db, first, TODAY).answer.takeoff.totals.cut_plans
    left = sorted((cut.profile, round(cut.length_mm, 1)) for plan in plans for cut in plan.offcuts)
    there = whole_rack(db)
    assert sorted((one.profile, one.length_mm) for one in there) == left
    assert {(one.job_id, one.job_number, one.put_at, one.put_by) for one in there} == {
        (first, "2026-001", NOW, "Maren")
    }
    keep_mm = job_sheet(db, first).job.choices.cutting.keep_offcut_mm
    assert all(one.length_mm >= keep_mm for one in there)
    assert job_rack(db, job_sheet(db, first)).free == ()  # a job is not offered what it has left over
    assert trail(db, "rack") == [f"cutting of job 2026-001 done: {len(left)} leftovers put in the rack"]
    assert trail(db, f"job:{first}")[0] == trail(db, "rack")[0]


def test_leftovers_go_in_once_and_only_of_a_job_that_is_signed(
    db: Database, owner: StaffMember, job_id: int
) -> None:
    with pytest.raises(Refused, match="surveyed: there are no leftovers before it is signed"):
        cutting_done(db, owner, job_id, TODAY, NOW)
    moved(db, job_id, "signed")
    cutting_done(db, owner, job_id, TODAY, NOW)
    with pytest.raises(Refused, match="already"):
        cutting_done(db, owner, job_id, TODAY, NOW)


def test_one_press_takes_all_of_the_jobs_profiles_and_reserves_them(
    db: Database, owner: StaffMember, second: int
) -> None:
    before = work_out(db, second, TODAY).answer.takeoff.totals.cut_plans
    free = job_rack(db, job_sheet(db, second)).free
    assert take(db, owner, second, 1, (), NOW) == len(free) == len(whole_rack(db))
    sheet = job_sheet(db, second)
    mine = job_rack(db, sheet)
    assert (mine.free, {one.id for one in mine.reserved}) == ((), {one.id for one in free})
    listed = {(kept.profile, kept.length_mm, kept.label) for kept in sheet.job.choices.cutting.kept_offcuts}
    assert listed == {(one.profile, one.length_mm, one.words) for one in free}
    assert "from the rack" in sheet.history[0].what
    assert "took" in trail(db, "rack")[0]
    after = work_out(db, second, TODAY).answer.takeoff.totals.cut_plans
    assert sum(plan.cost for plan in after) < sum(plan.cost for plan in before)


def test_what_one_job_has_taken_no_other_can(
    db: Database, owner: StaffMember, document: dict[str, Any], second: int
) -> None:
    third = add_job(db, owner, 1, "Third deck", document, NOW)
    chosen = job_rack(db, job_sheet(db, third)).free[0].id
    assert take(db, owner, second, 1, (chosen,), NOW) == 1
    assert chosen not in {one.id for one in job_rack(db, job_sheet(db, third)).free}
    with pytest.raises(Refused, match=f"no longer has {chosen} "):
        take(db, owner, third, 1, (chosen,), NOW)
    with pytest.raises(Refused, match="has taken it"):
        throw_out(db, owner, chosen, NOW)
    assert job_sheet(db, third).version == 1


def test_put_back_it_is_free_again_and_out_of_the_job(db: Database, owner: StaffMember, second: int) -> None:
    take(db, owner, second, 1, (), NOW)
    reserved = job_rack(db, job_sheet(db, second)).reserved
    with pytest.raises(StaleSave):
        put_back(db, owner, second, 1, reserved[0].id, NOW)
    put_back(db, owner, second, 2, reserved[0].id, NOW)
    mine = job_rack(db, job_sheet(db, second))
    assert [one.id for one in mine.free] == [reserved[0].id]
    kept = job_sheet(db, second).job.choices.cutting.kept_offcuts
    assert reserved[0].words not in {one.label for one in kept}
    assert len(kept) == len(reserved) - 1
    with pytest.raises(NotFound):
        put_back(db, owner, second, 3, reserved[0].id, NOW)


def test_what_the_next_job_cut_is_gone_and_what_it_did_not_lies_there_again(
    db: Database, owner: StaffMember, second: int
) -> None:
    take(db, owner, second, 1, (), NOW)
    moved(db, second, "signed")
    worked = work_out(db, second, TODAY)
    cut = {
        stick.offcut
        for plan in worked.answer.takeoff.totals.cut_plans
        for stick in plan.sticks
        if stick.offcut
    }
    reserved = job_rack(db, worked.sheet).reserved
    assert cut
    cutting_done(db, owner, second, TODAY, NOW)
    there = {one.id: one for one in whole_rack(db)}
    for one in reserved:
        assert (one.id in there) == (one.words not in cut)
        assert one.id not in there or there[one.id].taken_job_id is None
    kept = {one.label for one in job_sheet(db, second).job.choices.cutting.kept_offcuts}
    assert kept == cut


def test_only_the_same_board_fits_not_one_of_another_size_or_name(
    db: Database, owner: StaffMember, document: dict[str, Any], first: int
) -> None:
    boards = [{**board, "width": 95} for board in document["choices"]["boards"]]
    other = {**document, "choices": {**document["choices"], "boards": boards}}
    narrow = add_job(db, owner, 1, "Narrow boards", other, NOW)
    boards = [{**board, "name": "Something else"} for board in document["choices"]["boards"]]
    other = {**document, "choices": {**document["choices"], "boards": boards}}
    named = add_job(db, owner, 1, "Other boards", other, NOW)
    for job_id in (narrow, named):
        assert not [one for one in job_rack(db, job_sheet(db, job_id)).free if one.kind == "board"]


def test_thrown_out_is_gone(db: Database, owner: StaffMember, first: int) -> None:
    one = whole_rack(db)[0]
    throw_out(db, owner, one.id, NOW)
    assert one.id not in {left.id for left in whole_rack(db)}
    assert f"threw out {one.id}" in trail(db, "rack")[0]
    with pytest.raises(NotFound):
        throw_out(db, owner, one.id, NOW)


def test_a_closed_job_takes_nothing_and_a_failed_save_reserves_nothing(
    db: Database, owner: StaffMember, second: int
) -> None:
    with pytest.raises(StaleSave):
        take(db, owner, second, 9, (), NOW)
    assert not job_rack(db, job_sheet(db, second)).reserved
    moved(db, second, "let go")
    with pytest.raises(Refused, match="let go"):
        take(db, owner, second, 1, (), NOW)
    assert replace(job_rack(db, job_sheet(db, second)), free=()).reserved == ()
