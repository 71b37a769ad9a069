"""The plan over all jobs: proposed, compared, accepted; edits, promises, feeds."""

from datetime import date, timedelta

import pytest
from ical.calendar_stream import IcsCalendarStream
from icalendar import Calendar

from app.actions.accepting import accept, forget, take_in
from app.actions.by_hand import edit_task, let_task_be, save_promise, save_work_rules, task_edits, work_rules
from app.actions.database import Database
from app.actions.day_records import Delivery
from app.actions.days import set_days
from app.actions.errors import NotFound, Refused
from app.actions.feeds import CREW, JOB, feed, make_feed, revoke_feed
from app.actions.jobs import set_state
from app.actions.log import add_entry
from app.actions.mail import MailServer, save_mail_server
from app.actions.offer import make_link, offer
from app.actions.plans import dated, held_plan, plan_view, suppose
from app.actions.purchases import confirm_order, goods_sheet, note_delivery, order_paper, place_order
from app.actions.records import StaffMember
from app.actions.sign import exchange, offer_for, sign
from app.actions.takeoff import work_out
from app.actions.telling import can_tell, tell_of_change
from app.schedule import links
from app.schedule.supposed import Supposed
from app.schedule.task_edits import TaskEdit
from app.schedule.work_rules import Absence, SiteRules, WorkRules
from tests.actions.conftest import NOW, Printer
from tests.actions.test_mail import Box
from tests.actions.test_mail import box as box  # noqa: PLC0414 - the fixture

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


def accepted(db: Database, owner: StaffMember) -> int:
    return accept(db, owner, plan_view(db, TODAY).fingerprint, "first plan", NOW)


def test_a_plan_holds_once_it_is_accepted_and_nothing_changes_until_something_does(
    db: Database, owner: StaffMember, signed_job: int
) -> None:
    view = plan_view(db, TODAY)
    assert view.held is None
    assert view.proposed.jobs[0].job == str(signed_job)
    accepted(db, owner)
    again = plan_view(db, TODAY)
    assert again.change.is_empty
    assert not again.is_new


def test_a_changed_start_moves_nobody_until_the_difference_is_accepted(
    db: Database, owner: StaffMember, signed_job: int
) -> None:
    accepted(db, owner)
    before = dated(db, work_out(db, signed_job, TODAY)).answer.days
    set_days(db, owner, signed_job, 2, "south", START + timedelta(days=7), NOW)
    held = dated(db, work_out(db, signed_job, TODAY)).answer.days
    assert [planned.start_on for planned in held.tasks] == [planned.start_on for planned in before.tasks]
    view = plan_view(db, TODAY)
    assert view.change.jobs[0].days == 7
    accept(db, owner, view.fingerprint, "the client asked", NOW)
    after = dated(db, work_out(db, signed_job, TODAY)).answer.days
    assert after.start_on == START + timedelta(days=7)


def test_what_was_not_seen_is_not_accepted(db: Database, owner: StaffMember, signed_job: int) -> None:
    seen = plan_view(db, TODAY).fingerprint
    set_days(db, owner, signed_job, 2, "south", START + timedelta(days=7), NOW)
    with pytest.raises(Refused, match="changed since you looked"):
        accept(db, owner, seen, "", NOW)
    assert held_plan(db) is None


def test_rain_is_supposed_and_nothing_is_kept(db: Database, owner: StaffMember, signed_job: int) -> None:
    accepted(db, owner)
    first = dated(db, work_out(db, signed_job, TODAY)).answer.days.start_on
    view = suppose(db, TODAY, (Supposed("rain", first),))
    assert view.change.jobs[0].days > 0
    assert plan_view(db, TODAY).change.is_empty


def test_what_was_supposed_is_expected_once_it_is_taken_in_and_the_plan_seen_holds(
    db: Database, owner: StaffMember, signed_job: int
) -> None:
    accepted(db, owner)
    first = dated(db, work_out(db, signed_job, TODAY)).answer.days.start_on
    rain = Supposed("rain", first)
    view = suppose(db, TODAY, (rain,))
    with pytest.raises(Refused, match="changed since you looked"):
        take_in(db, owner, rain, "another", "", NOW)
    assert work_rules(db).expected == ()
    take_in(db, owner, rain, view.fingerprint, "the forecast", NOW)
    assert work_rules(db).expected == (rain,)
    assert dated(db, work_out(db, signed_job, TODAY)).answer.days.start_on > first
    assert plan_view(db, TODAY).change.is_empty
    forget(db, owner, 0, NOW)
    assert work_rules(db).expected == ()
    assert plan_view(db, TODAY).change.jobs[0].days < 0


def test_goods_taken_in_anew_replace_what_was_expected_of_them(
    db: Database, owner: StaffMember, signed_job: int
) -> None:
    accepted(db, owner)
    for days in (40, 30):
        goods = Supposed("goods", START + timedelta(days=days), job=str(signed_job), task="boards")
        take_in(db, owner, goods, suppose(db, TODAY, (goods,)).fingerprint, "", NOW)
    assert work_rules(db).expected == (goods,)
    held = held_plan(db)
    assert held is not None
    assert next(task.start_on for task in held.plan.tasks if task.code == "boards") >= goods.on


def test_a_crew_taken_in_as_away_stands_among_those_who_are_away(
    db: Database, owner: StaffMember, signed_job: int
) -> None:
    accepted(db, owner)
    away = Supposed("away", START, crew="south")
    take_in(db, owner, away, suppose(db, TODAY, (away,)).fingerprint, "course", NOW)
    assert work_rules(db).absences == (Absence(START, START, "south", reason="course"),)
    assert plan_view(db, TODAY).change.is_empty


def test_those_whose_days_change_are_told_by_mail_and_nobody_else(
    db: Database, owner: StaffMember, signed_job: int, box: tuple[Box, int]
) -> None:
    accepted(db, owner)
    server = MailServer("127.0.0.1", box[1], "none", "", "office@skerrow.example")
    save_mail_server(db, owner, server, NOW)
    tell = (("south", "south@skerrow.example"), ("north", "north@skerrow.example"))
    tell = (*tell, (links.ROOFER, "nobody@skerrow.example"))
    assert not can_tell(db)
    save_work_rules(db, owner, WorkRules(tell=tell), NOW)
    assert can_tell(db)
    rain = Supposed("rain", START)
    plan_id, view = take_in(db, owner, rain, suppose(db, TODAY, (rain,)).fingerprint, "rain", NOW)
    told, faults = tell_of_change(db, view, plan_id, "rain", NOW)
    assert told == ("South quay crew",)
    assert ["no such mailbox" in fault for fault in faults] == [True]
    text = box[0].letters[0].get_content()
    assert "Why: rain" in text
    assert "Tue 2026-06-02, before: Mon 2026-06-01" in text


def test_a_task_set_by_hand_needs_a_reason_and_is_let_be_again(
    db: Database, owner: StaffMember, signed_job: int
) -> None:
    with pytest.raises(Refused, match="reason"):
        edit_task(db, owner, signed_job, TaskEdit("frame", "", days=9), NOW)
    accepted(db, owner)
    edit_task(db, owner, signed_job, TaskEdit("frame", "two people less", days=9), NOW)
    assert any(moved.code == "boards" for moved in plan_view(db, TODAY).change.tasks)
    let_task_be(db, owner, signed_job, "frame", NOW)
    assert task_edits(db, signed_job) == ()
    assert plan_view(db, TODAY).change.is_empty


def test_a_promise_that_cannot_be_kept_is_proven(db: Database, owner: StaffMember, signed_job: int) -> None:
    save_promise(db, owner, signed_job, START, SiteRules(), "key at the bakery", NOW)
    broken = plan_view(db, TODAY).proposed.broken
    assert broken[0].is_proven
    assert "2026-06-01" in broken[0].text


def test_leave_of_the_crew_moves_the_job(db: Database, owner: StaffMember, signed_job: int) -> None:
    accepted(db, owner)
    save_work_rules(db, owner, WorkRules(absences=(Absence(START, START, "south"),)), NOW)
    assert plan_view(db, TODAY).change.jobs[0].days >= 1
    with pytest.raises(Refused, match="twelve months"):
        save_work_rules(db, owner, WorkRules(lost_days=(1.0,)), NOW)
    assert work_rules(db).absences[0].crew == "south"


def test_progress_and_release_take_a_task_out_of_the_plan_but_not_out_of_the_days(
    db: Database, owner: StaffMember, signed_job: int
) -> None:
    set_state(db, owner, signed_job, "on the roof", NOW)
    accepted(db, owner)
    add_entry(db, owner, signed_job, TODAY, "protected", NOW, task_code="preparation", done_pct=100)
    view = plan_view(db, TODAY)
    accept(db, owner, view.fingerprint, "", NOW)
    held = held_plan(db)
    assert held is not None
    done = next(task for task in held.plan.tasks if task.code == "preparation")
    assert done.because == "Done."


def test_a_confirmed_day_holds_the_task_back_and_deliveries_are_counted(
    db: Database, owner: StaffMember, signed_job: int
) -> None:
    sheet = goods_sheet(db, signed_job, TODAY)
    supplier, rows = sheet.suppliers[0]
    order = place_order(db, owner, signed_job, supplier, NOW)
    assert len(order.lines) == len(rows)
    with pytest.raises(Refused, match="ordered already"):
        place_order(db, owner, signed_job, supplier, NOW)
    late = START + timedelta(days=21)
    confirm_order(db, owner, order.id, late, "C-17", NOW)
    ends = plan_view(db, TODAY).proposed.jobs[0].end_on
    assert ends >= late
    item = order.lines[0]
    came = Delivery(0, item.item, item.packs, 1, TODAY, "corner crushed", NOW, owner.name)
    first = note_delivery(db, owner, signed_job, came, NOW, "device-1")
    assert note_delivery(db, owner, signed_job, came, NOW, "device-1") == first
    one = next(one for one in goods_sheet(db, signed_job, TODAY).goods if one.line.item == item.item)
    assert (one.came, one.damaged, one.missing, one.to_order) == (item.packs - 1, 1, 1, 1)
    with pytest.raises(Refused, match="cannot have come"):
        note_delivery(db, owner, signed_job, Delivery(0, item.item, 1, 2, TODAY, "", NOW, ""), NOW)


def test_the_paper_of_an_order_is_a_table_without_formulas(
    db: Database, owner: StaffMember, signed_job: int
) -> None:
    supplier, _ = goods_sheet(db, signed_job, TODAY).suppliers[0]
    order = place_order(db, owner, signed_job, supplier, NOW)
    name, table = order_paper(db, order.id, TODAY, "csv")
    assert name == f"{order.number}.csv"
    lines = table.decode().splitlines()
    assert len(lines) == len(order.lines) + 1
    assert not any(cell.startswith(("=", "+", "@")) for line in lines for cell in line.split(","))


def read_by_hand(feed_bytes: bytes) -> list[dict[str, str]]:
    """Read the events of a feed by RFC 5545 alone: CRLF ends a line, a blank goes on with the last."""
    text = feed_bytes.decode()
    assert "\n" not in text.replace("\r\n", "")
    assert all(len(line.encode()) <= 75 for line in text.split("\r\n"))
    found: list[dict[str, str]] = []
    for line in text.replace("\r\n ", "").split("\r\n"):
        if line == "BEGIN:VEVENT":
            found.append({})
        elif found and ":" in line:
            name, _, value = line.partition(":")
            found[-1].setdefault(name.partition(";")[0], value)
    return found


def test_a_feed_opens_by_its_secret_alone_and_is_read_alike_by_two_libraries(
    db: Database, owner: StaffMember, signed_job: int
) -> None:
    accepted(db, owner)
    token = make_feed(db, owner, JOB, str(signed_job), NOW)
    calendar = Calendar.from_ical(feed(db, token, NOW))
    days = dated(db, work_out(db, signed_job, TODAY)).answer.days
    events = {str(event["uid"]): event for event in calendar.walk("VEVENT")}
    assert len(events) == len(days.tasks)
    frame = next(planned for planned in days.tasks if planned.task.code == "frame")
    event = next(event for uid, event in events.items() if uid.endswith("-frame@upstand"))
    assert event.decoded("dtstart") == frame.start_on
    assert event.decoded("dtend") == frame.end_on + timedelta(days=1)
    by_hand = {one["UID"]: one for one in read_by_hand(feed(db, token, NOW))}
    assert set(by_hand) == set(events)
    assert by_hand[str(event["uid"])]["DTSTART"] == frame.start_on.strftime("%Y%m%d")
    second = IcsCalendarStream.calendar_from_ics(feed(db, token, NOW).decode())
    assert {(one.uid, one.dtstart, one.dtend, one.summary) for one in second.events} == {
        (uid, one.decoded("dtstart"), one.decoded("dtend"), str(one["summary"]))
        for uid, one in events.items()
    }
    crew = make_feed(db, owner, CREW, "south", NOW)
    assert b"BEGIN:VEVENT" in feed(db, crew, NOW)
    revoke_feed(db, owner, JOB, str(signed_job), NOW)
    with pytest.raises(NotFound):
        feed(db, token, NOW)
    with pytest.raises(NotFound):
        make_feed(db, owner, CREW, "west", NOW)
