from datetime import date, timedelta

import pytest

from app.actions.database import Database
from app.actions.days import crews, save_crew, set_days, this_week
from app.actions.document import save_part
from app.actions.errors import NotFound, Refused, StaleSave
from app.actions.handover import completeness, put_paper, take_paper
from app.actions.jobs import job_sheet, set_state
from app.actions.log import (
    add_entry,
    add_punch,
    close_punch,
    entries,
    hold_points,
    hours,
    punch_list,
    sign_hold_point,
)
from app.actions.offer import make_link, offer
from app.actions.orders import mark_ordered, orders, unmark_ordered
from app.actions.records import StaffMember
from app.actions.sign import exchange, offer_for, sign
from app.actions.takeoff import work_out
from app.schedule.records import Crew
from tests.actions.conftest import NOW, Printer

TODAY = date(2026, 5, 4)
START = date(2026, 6, 1)


@pytest.fixture
def signed_job(db: Database, owner: StaffMember, job_id: int, printer: Printer) -> int:
    set_days(db, owner, job_id, 1, "south", START, NOW)
    card = offer(db, owner, job_id, NOW, printer)
    cookie = exchange(db, make_link(db, owner, card.id, 14, NOW), NOW)
    mark = offer_for(db, cookie, NOW).revision.fingerprint
    sign(db, cookie, "Ines Haugan", True, mark, NOW, "", "")
    return job_id


def test_crew_and_start_are_a_version_of_the_job(
    db: Database, owner: StaffMember, other: StaffMember, job_id: int
) -> None:
    assert set_days(db, owner, job_id, 1, "south", START, NOW) == 2
    assert set_days(db, owner, job_id, 2, "south", START, NOW) == 2
    with pytest.raises(StaleSave) as stale:
        set_days(db, other, job_id, 1, "north", None, NOW)
    assert stale.value.theirs.content == {"crew": "south", "start": "2026-06-01"}
    with pytest.raises(NotFound, match="crew west"):
        set_days(db, owner, job_id, 2, "west", START, NOW)
    with pytest.raises(Refused, match="check the year"):
        set_days(db, owner, job_id, 2, "south", date(2206, 6, 1), NOW)
    assert job_sheet(db, job_id).history[0].what == "crew open → south, start open → 2026-06-01"


def test_a_job_is_worked_out_with_its_crew_and_start(db: Database, owner: StaffMember, job_id: int) -> None:
    before = work_out(db, job_id, TODAY)
    assert (before.crew.code, before.start_on) == ("north", TODAY + timedelta(weeks=4))
    set_days(db, owner, job_id, 1, "south", START, NOW)
    after = work_out(db, job_id, TODAY)
    assert (after.crew.code, after.answer.days.start_on) == ("south", START)
    assert after.answer.takeoff == before.answer.takeoff or after.answer is not before.answer


def test_the_kept_answer_is_used_until_an_input_changes(
    db: Database, owner: StaffMember, job_id: int
) -> None:
    first = work_out(db, job_id, TODAY).answer
    assert work_out(db, job_id, TODAY).answer is first
    assert work_out(db, job_id, TODAY + timedelta(days=1)).answer is not first
    save_part(db, owner, job_id, 1, "notes", "changed", NOW)
    assert work_out(db, job_id, TODAY).answer is not first


def test_a_crew_is_saved_by_its_code(db: Database, owner: StaffMember) -> None:
    save_crew(db, owner, Crew("south", "South", 4, 7.5), NOW)
    assert [(crew.code, crew.people) for crew in crews(db)] == [("north", 2), ("south", 4)]
    with pytest.raises(Refused, match="1 to 50 people"):
        save_crew(db, owner, Crew("south", "South", 0, 8), NOW)


def test_the_week_shows_booked_jobs_only_and_who_waits(
    db: Database, owner: StaffMember, signed_job: int
) -> None:
    week = this_week(db, START + timedelta(days=2))
    assert (week.monday, len(week.days), len(week.cells)) == (START, 7, 14)
    busy = {(cell.crew_code, cell.on): cell.jobs for cell in week.cells if cell.jobs}
    assert {crew for crew, _ in busy} == {"south"}
    assert busy[("south", START)][0].tasks
    assert {cell.day_off for cell in week.cells if cell.on.weekday() > 4} == {"not worked"}
    assert week.waiting == ()
    assert this_week(db, date(2027, 3, 1)).orders != ()


def test_an_offered_job_waits_for_its_client(
    db: Database, owner: StaffMember, job_id: int, printer: Printer
) -> None:
    assert [one.state for one in this_week(db, TODAY).waiting] == ["surveyed"]
    offer(db, owner, job_id, NOW, printer)
    waiting = this_week(db, TODAY).waiting[0]
    assert (waiting.client_name, waiting.state) == ("Ines Haugan", "offered")
    assert all(not cell.jobs for cell in this_week(db, START).cells)


def test_what_was_ordered_is_never_late_again(db: Database, owner: StaffMember, signed_job: int) -> None:
    late = date(2026, 5, 30)
    rows = orders(db, signed_job, late)
    assert [row.order_by_on for row in rows] == sorted(row.order_by_on for row in rows)
    first = rows[0]
    assert first.is_late
    mark_ordered(db, owner, signed_job, first.item, "order 71", NOW)
    again = orders(db, signed_job, late)[0]
    assert (again.is_late, again.reference, again.ordered_by) == (False, "order 71", "Maren")
    assert first.item not in {due.row.item for due in this_week(db, late).orders}
    unmark_ordered(db, owner, signed_job, first.item, NOW)
    assert orders(db, signed_job, late)[0] == first
    with pytest.raises(NotFound):
        mark_ordered(db, owner, signed_job, "NO-SUCH", "", NOW)


def test_the_site_log_is_added_to_and_counts_hours_by_phase(
    db: Database, owner: StaffMember, signed_job: int
) -> None:
    add_entry(db, owner, signed_job, START, "Set up", NOW, hours_h=7.5, people=3, phase="preparation")
    add_entry(db, owner, signed_job, START + timedelta(days=1), "Rain", NOW, weather="rain")
    assert [entry.text for entry in entries(db, signed_job)] == ["Rain", "Set up"]
    noted = {row.phase: row.actual_h for row in hours(db, signed_job, TODAY)}
    assert noted["preparation"] == 7.5
    with pytest.raises(Refused, match="Write what"):
        add_entry(db, owner, signed_job, START, " ", NOW)
    with pytest.raises(Refused, match="cannot be one day"):
        add_entry(db, owner, signed_job, START, "x", NOW, hours_h=-1)
    with pytest.raises(Refused, match="no phase"):
        add_entry(db, owner, signed_job, START, "x", NOW, phase="dancing")


def test_a_hold_point_is_released_once_by_a_named_person(
    db: Database, owner: StaffMember, signed_job: int
) -> None:
    points = hold_points(db, signed_job, TODAY)
    assert points
    assert {point.state for point in points} == {"open"}
    code = points[0].code
    with pytest.raises(Refused, match="named person"):
        sign_hold_point(db, owner, signed_job, code, " ", "", NOW)
    sign_hold_point(db, owner, signed_job, code, "R. Inspector", "seen", NOW)
    signed = hold_points(db, signed_job, TODAY)[0]
    assert (signed.state, signed.signed_name, signed.entered_by) == ("signed", "R. Inspector", "Maren")
    with pytest.raises(Refused, match=r"R\. Inspector released"):
        sign_hold_point(db, owner, signed_job, code, "Somebody", "", NOW)
    with pytest.raises(NotFound):
        sign_hold_point(db, owner, signed_job, "no-such", "Somebody", "", NOW)


def test_a_job_is_handed_over_only_with_every_hold_point_signed(
    db: Database, owner: StaffMember, signed_job: int
) -> None:
    set_state(db, owner, signed_job, "on the roof", NOW)
    with pytest.raises(Refused, match="Not signed yet"):
        set_state(db, owner, signed_job, "handed over", NOW)
    for point in hold_points(db, signed_job, TODAY):
        sign_hold_point(db, owner, signed_job, point.code, "R. Inspector", "", NOW)
    set_state(db, owner, signed_job, "handed over", NOW)
    assert job_sheet(db, signed_job).state == "handed over"


def test_the_handover_file_is_complete_when_nothing_lacks(
    db: Database, owner: StaffMember, signed_job: int
) -> None:
    punch = add_punch(db, owner, signed_job, "Loose plug", "D1", TODAY, NOW, due_on=START)
    first = completeness(db, signed_job, TODAY)
    assert "the signed proposal" in first.present
    assert any("Loose plug" in text for text in first.missing)
    close_punch(db, owner, punch, TODAY, NOW)
    assert punch_list(db, signed_job)[0].closed_by == "Maren"
    for point in hold_points(db, signed_job, TODAY):
        sign_hold_point(db, owner, signed_job, point.code, "R. Inspector", "", NOW)
    fixed = {"proposal", "hold-points", "punch-list"}
    for item in completeness(db, signed_job, TODAY).items:
        if item.code not in fixed:
            put_paper(db, owner, signed_job, item.code, "folder 3", NOW)
    assert completeness(db, signed_job, TODAY).is_complete
    take_paper(db, owner, signed_job, "care", NOW)
    assert completeness(db, signed_job, TODAY).missing == ("care through the year",)
    with pytest.raises(NotFound):
        put_paper(db, owner, signed_job, "poem", "", NOW)
