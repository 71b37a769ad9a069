"""Change orders: made, signed on the client's link, added up."""

import io
import re
from datetime import date
from decimal import Decimal

import pypdf
import pytest

from app.actions.accepting import accept
from app.actions.change_orders import (
    change_order_paper,
    changes_view,
    make_change_order,
    note_verbal_change,
    send_verbal_change,
    take_back,
)
from app.actions.client_changes import answer_change, changes_for, client_paper
from app.actions.database import Database
from app.actions.day_sheet import day_sheet
from app.actions.days import set_days
from app.actions.document import save_part
from app.actions.errors import LinkClosed, NotFound, Refused
from app.actions.jobs import job_sheet
from app.actions.offer import links, make_link, offer, revoke_link
from app.actions.plans import dated, plan_view
from app.actions.purchases import goods_sheet, place_order
from app.actions.records import StaffMember
from app.actions.sign import exchange, offer_for, sign
from app.actions.takeoff import work_out
from app.actions.week import week_of
from app.store.check import check
from tests.actions.conftest import NOW, Printer

TODAY = date(2026, 5, 4)
WHERE = ("192.0.2.1", "a browser")


@pytest.fixture
def cookie(db: Database, owner: StaffMember, job_id: int, printer: Printer) -> str:
    set_days(db, owner, job_id, 1, "south", date(2026, 6, 1), NOW)
    card = offer(db, owner, job_id, NOW, printer)
    found = exchange(db, make_link(db, owner, card.id, 14, NOW), NOW)
    sign(db, found, "Ines Haugan", True, offer_for(db, found, NOW).revision.fingerprint, NOW, "", "")
    return found


def widen(db: Database, owner: StaffMember, job_id: int) -> None:
    sheet = job_sheet(db, job_id)
    fields = sheet.document["plan"]["deck_fields"]
    fields[0]["border_courses"] = 1 - int(fields[0].get("border_courses", 0) or 0)
    save_part(db, owner, job_id, sheet.version, "plan.deck_fields", fields, NOW)


def test_a_changed_plan_becomes_a_change_order_that_the_client_signs_on_the_same_link(
    db: Database, owner: StaffMember, job_id: int, cookie: str
) -> None:
    before = changes_view(db, job_id, TODAY)
    assert before.unbilled == 0
    with pytest.raises(Refused, match="Nothing differs"):
        make_change_order(db, owner, job_id, "wider", "", NOW)
    widen(db, owner, job_id)
    changed = changes_view(db, job_id, TODAY)
    assert changed.unbilled == changed.difference.total_change != 0
    change_id = make_change_order(db, owner, job_id, "Another border", "asked at the visit", NOW)
    waiting = changes_view(db, job_id, TODAY)
    assert waiting.unbilled == 0
    assert waiting.whole.total == before.whole.total
    assert waiting.whole.unsigned == (1,)
    (seen,) = changes_for(db, cookie, NOW).changes
    assert seen.sum_after == seen.sum_before + seen.price_change
    answer_change(db, cookie, change_id, (True, "Ines Haugan", True, seen.fingerprint), NOW, WHERE)
    signed = changes_view(db, job_id, TODAY)
    assert signed.whole.total == signed.difference.total_now
    assert signed.whole.unsigned == ()
    answer_change(db, cookie, change_id, (False, "", False, ""), NOW, WHERE)
    assert changes_view(db, job_id, TODAY).whole == signed.whole


def test_only_what_was_shown_is_signed_with_name_and_consent(
    db: Database, owner: StaffMember, job_id: int, cookie: str
) -> None:
    widen(db, owner, job_id)
    change_id = make_change_order(db, owner, job_id, "Another border", "", NOW)
    (seen,) = changes_for(db, cookie, NOW).changes
    with pytest.raises(Refused, match="shown"):
        answer_change(db, cookie, change_id, (True, "Ines", True, "0" * 64), NOW, WHERE)
    with pytest.raises(Refused, match="full name"):
        answer_change(db, cookie, change_id, (True, "", True, seen.fingerprint), NOW, WHERE)
    with pytest.raises(LinkClosed):
        answer_change(db, "nothing", change_id, (True, "Ines", True, seen.fingerprint), NOW, WHERE)
    with pytest.raises(NotFound):
        client_paper(db, cookie, change_id + 1, NOW)
    take_back(db, owner, change_id, NOW)
    assert changes_for(db, cookie, NOW).changes == ()
    with pytest.raises(Refused, match="taken back"):
        answer_change(db, cookie, change_id, (True, "Ines", True, seen.fingerprint), NOW, WHERE)


def test_a_verbal_change_is_flagged_until_it_is_signed(
    db: Database, owner: StaffMember, job_id: int, cookie: str
) -> None:
    words, said = ("Shelf by the door", "asked on the roof"), ("Ines Haugan", TODAY)
    verbal = note_verbal_change(db, owner, job_id, words, said, (Decimal("180.00"), 1), NOW)
    view = changes_view(db, job_id, TODAY)
    assert (view.whole.verbal, view.whole.unsigned) == (Decimal("180.00"), (1,))
    assert changes_for(db, cookie, NOW).changes == ()
    made = send_verbal_change(db, owner, verbal, NOW)
    (seen,) = changes_for(db, cookie, NOW).changes
    answer_change(db, cookie, made, (True, "Ines Haugan", True, seen.fingerprint), NOW, WHERE)
    after = changes_view(db, job_id, TODAY)
    assert after.whole.total == after.whole.base + Decimal("180.00")
    assert after.whole.unsigned == ()
    with pytest.raises(Refused, match="stays as it is"):
        take_back(db, owner, made, NOW)


def test_the_document_says_the_sums_and_shows_no_cost(
    db: Database, owner: StaffMember, job_id: int, cookie: str
) -> None:
    widen(db, owner, job_id)
    change_id = make_change_order(db, owner, job_id, "Another border", "asked at the visit", NOW)
    name, made = change_order_paper(db, change_id)
    assert client_paper(db, cookie, change_id, NOW) == (name, made)
    text = "".join(page.extract_text() for page in pypdf.PdfReader(io.BytesIO(made)).pages)
    assert "Another border" in text
    assert "Contract with this change" in text
    assert "wage" not in text.lower()


def test_a_withdrawn_link_signs_nothing(db: Database, owner: StaffMember, job_id: int, cookie: str) -> None:
    revoke_link(db, owner, links(db, job_id, NOW)[0].id, NOW)
    with pytest.raises(LinkClosed):
        changes_for(db, cookie, NOW)


def amounts(made: bytes) -> list[Decimal]:
    text = "".join(page.extract_text() for page in pypdf.PdfReader(io.BytesIO(made)).pages)
    table = text[text.index("What is different") : text.index("Agreement")]
    rows = [line for line in table.splitlines() if "$" in line]
    return [Decimal(re.sub(r"[^0-9.-]", "", row.rpartition(" ")[2].replace("\u2212", "-"))) for row in rows]


def test_a_second_change_tells_what_it_changes_itself_and_not_the_first_again(
    db: Database, owner: StaffMember, job_id: int, cookie: str
) -> None:
    widen(db, owner, job_id)
    first = make_change_order(db, owner, job_id, "Another border", "", NOW)
    seen = changes_for(db, cookie, NOW).changes[0]
    answer_change(db, cookie, first, (True, "Ines Haugan", True, seen.fingerprint), NOW, WHERE)
    sheet = job_sheet(db, job_id)
    fields = sheet.document["plan"]["deck_fields"]
    fields[0]["sleeper_spacing"] = "300 mm"
    save_part(db, owner, job_id, sheet.version, "plan.deck_fields", fields, NOW)
    second = make_change_order(db, owner, job_id, "Closer sleepers", "", NOW)
    orders = {one.number: one for one in changes_view(db, job_id, TODAY).orders}
    for number, change_id in ((1, first), (2, second)):
        assert sum(amounts(change_order_paper(db, change_id)[1])) == orders[number].price_change
    seen = changes_for(db, cookie, NOW).changes[1]
    answer_change(db, cookie, second, (True, "Ines Haugan", True, seen.fingerprint), NOW, WHERE)
    view = changes_view(db, job_id, TODAY)
    assert view.whole.total == view.difference.total_now
    assert view.unbilled == 0
    assert check(db).faults == ()


def test_the_sum_alone_tells_a_change_when_one_between_was_declined(
    db: Database, owner: StaffMember, job_id: int, cookie: str
) -> None:
    widen(db, owner, job_id)
    first = make_change_order(db, owner, job_id, "Another border", "", NOW)
    seen = changes_for(db, cookie, NOW).changes[0]
    answer_change(db, cookie, first, (False, "", False, seen.fingerprint), NOW, WHERE)
    view = changes_view(db, job_id, TODAY)
    assert view.unbilled == view.difference.total_change
    assert view.whole.total == view.whole.base
    again = make_change_order(db, owner, job_id, "Another border, again", "", NOW)
    assert sum(amounts(change_order_paper(db, again)[1])) == view.unbilled


def test_days_and_orders_follow_a_change(db: Database, owner: StaffMember, job_id: int, cookie: str) -> None:
    before = goods_sheet(db, job_id, TODAY)
    for supplier, _ in before.suppliers:
        place_order(db, owner, job_id, supplier, NOW)
    assert not any(one.to_order for one in goods_sheet(db, job_id, TODAY).goods)
    accept(db, owner, plan_view(db, TODAY).fingerprint, "first", NOW)
    sheet = job_sheet(db, job_id)
    fields = sheet.document["plan"]["deck_fields"]
    fields[0]["sleeper_spacing"] = "200 mm"
    save_part(db, owner, job_id, sheet.version, "plan.deck_fields", fields, NOW)
    wanted = {one.line.item: one.to_order for one in goods_sheet(db, job_id, TODAY).goods if one.to_order}
    assert any(item.startswith("SECTION-") for item in wanted)
    more = [place_order(db, owner, job_id, one, NOW) for one in _suppliers_of(db, job_id)]
    assert {line.item: line.packs for order in more for line in order.lines} == wanted
    assert plan_view(db, TODAY).is_new
    assert {one.title for one in week_of(db, TODAY).unsigned} == set()
    make_change_order(db, owner, job_id, "Closer sleepers", "", NOW)
    (flag,) = week_of(db, TODAY).unsigned
    assert (flag.title, flag.is_sent) == ("Closer sleepers", True)


def _suppliers_of(db: Database, job_id: int) -> list[str]:
    return [
        name for name, goods in goods_sheet(db, job_id, TODAY).suppliers if any(g.to_order for g in goods)
    ]


def test_the_days_of_a_verbal_change_are_in_the_days_once_it_is_noted_and_flagged_until_signed(
    db: Database, owner: StaffMember, job_id: int, cookie: str
) -> None:
    said = ("Ines Haugan", TODAY)
    before = {task.task.code: task.task for task in dated(db, work_out(db, job_id, TODAY)).answer.days.tasks}
    held = accept(db, owner, plan_view(db, TODAY).fingerprint, "", NOW)
    with pytest.raises(Refused, match="choose which"):
        note_verbal_change(db, owner, job_id, ("Less", ""), said, (Decimal(-9), -1), NOW)
    own_id = note_verbal_change(db, owner, job_id, ("A shelf", ""), said, (Decimal(100), 1), NOW)
    note_verbal_change(db, owner, job_id, ("Another board", ""), said, (Decimal(90), 2), NOW, "boards")
    view = plan_view(db, TODAY)
    assert {"change 1", "boards"} <= {moved.code for moved in view.change.tasks}
    assert view.held is not None
    assert held == view.held.id, "nobody's days change before the difference is accepted"
    accept(db, owner, view.fingerprint, "agreed by word", NOW)
    tasks = {task.task.code: task for task in dated(db, work_out(db, job_id, TODAY)).answer.days.tasks}
    assert tasks["change 1"].task.name == "Change 1: A shelf (not signed)"
    assert tasks["boards"].task.days == before["boards"].days + 2
    assert tasks["walk-through"].start_on > tasks["change 1"].end_on
    on = tasks["change 1"].start_on
    assert [task.name for task in day_sheet(db, job_id, on, TODAY).work.tasks] == [
        "Change 1: A shelf (not signed)"
    ]
    made = send_verbal_change(db, owner, own_id, NOW)
    (seen,) = (one for one in changes_for(db, cookie, NOW).changes if one.id == made)
    answer_change(db, cookie, made, (True, "Ines Haugan", True, seen.fingerprint), NOW, WHERE)
    after = [task.task for task in dated(db, work_out(db, job_id, TODAY)).answer.days.tasks]
    assert "Change 3: A shelf" in {task.name for task in after}
    assert plan_view(db, TODAY).change.is_empty, "signing moves nobody's days"
