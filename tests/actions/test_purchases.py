"""Orders to suppliers and what comes: partial, short, damaged, and what the first page says of it."""

import csv
import io
from concurrent.futures import ThreadPoolExecutor
from datetime import date, timedelta
from decimal import Decimal

import pypdf
import pytest

from app.actions.database import Database
from app.actions.day_records import Delivery
from app.actions.days import set_days
from app.actions.errors import NotFound, Refused
from app.actions.offer import make_link, offer
from app.actions.purchases import (
    carry_steps,
    confirm_order,
    goods_sheet,
    note_delivery,
    order_paper,
    place_order,
)
from app.actions.records import StaffMember
from app.actions.sign import exchange, offer_for, sign
from app.actions.week import week_of
from tests.actions.conftest import NOW, Printer

TODAY = date(2026, 5, 4)


def came(item: str, packs: int, damaged: int = 0) -> Delivery:
    return Delivery(0, item, packs, damaged, TODAY, "", NOW, "Maren")


@pytest.fixture
def supplier(db: Database, job_id: int) -> str:
    sheet = goods_sheet(db, job_id, TODAY)
    return max(sheet.suppliers, key=lambda row: max(one.line.packs for one in row[1]))[0]


def test_what_came_short_or_damaged_is_missing_and_is_ordered_again(
    db: Database, owner: StaffMember, job_id: int, supplier: str
) -> None:
    first = place_order(db, owner, job_id, supplier, NOW)
    line = max(first.lines, key=lambda one: one.packs)
    with pytest.raises(Refused, match="ordered already"):
        place_order(db, owner, job_id, supplier, NOW)
    note_delivery(db, owner, job_id, came(line.item, line.packs - 1, 2), NOW)
    goods = {one.line.item: one for one in goods_sheet(db, job_id, TODAY).goods}[line.item]
    assert (goods.came, goods.damaged, goods.missing, goods.to_order) == (line.packs - 3, 2, 3, 2)
    again = place_order(db, owner, job_id, supplier, NOW)
    (lacking,) = again.lines
    assert lacking.packs == 2
    assert Decimal(lacking.cost) == (Decimal(line.cost) * 2 / line.packs).quantize(Decimal("0.01"))
    note_delivery(db, owner, job_id, came(line.item, 3), NOW)
    assert {one.line.item: one for one in goods_sheet(db, job_id, TODAY).goods}[line.item].missing == 0


def test_a_delivery_that_a_device_sends_twice_is_kept_once_and_one_that_cannot_be_is_refused(
    db: Database, owner: StaffMember, job_id: int, supplier: str
) -> None:
    item = place_order(db, owner, job_id, supplier, NOW).lines[0].item
    assert note_delivery(db, owner, job_id, came(item, 1), NOW, "key-of-a-device") == note_delivery(
        db, owner, job_id, came(item, 1), NOW, "key-of-a-device"
    )
    assert len(goods_sheet(db, job_id, TODAY).deliveries) == 1
    with pytest.raises(Refused, match="cannot have come"):
        note_delivery(db, owner, job_id, came(item, 1, 2), NOW)
    with pytest.raises(NotFound):
        note_delivery(db, owner, job_id, came("NO-SUCH", 1), NOW)


def test_two_people_who_order_at_once_make_one_order(
    db: Database, owner: StaffMember, job_id: int, supplier: str
) -> None:
    def order(_: int) -> str:
        try:
            return place_order(db, owner, job_id, supplier, NOW).number
        except Refused:
            return ""

    with ThreadPoolExecutor(2) as pool:
        numbers = list(pool.map(order, range(2)))
    assert sorted(numbers)[0] == ""
    assert len(goods_sheet(db, job_id, TODAY).orders) == 1


def test_the_paper_says_packs_as_a_page_and_as_a_table(
    db: Database, owner: StaffMember, job_id: int, supplier: str
) -> None:
    order = place_order(db, owner, job_id, supplier, NOW)
    confirm_order(db, owner, order.id, TODAY + timedelta(days=20), "AB-17", NOW)
    kept = goods_sheet(db, job_id, TODAY).orders[0]
    assert (kept.confirmed_for_on, kept.reference) == (TODAY + timedelta(days=20), "AB-17")
    rows = list(csv.DictReader(io.StringIO(order_paper(db, order.id, TODAY, "csv")[1].decode())))
    assert [(row["item"], int(row["packs"])) for row in rows] == [
        (one.item, one.packs) for one in order.lines
    ]
    words = pypdf.PdfReader(io.BytesIO(order_paper(db, order.id, TODAY, "pdf")[1])).pages[0].extract_text()
    assert order.number in words
    assert all(one.item in words for one in order.lines)


def test_whole_packs_hold_what_is_needed_and_what_is_over_is_told(db: Database, job_id: int) -> None:
    sheet = goods_sheet(db, job_id, TODAY)
    assert set(sheet.packs) == {one.line.item for one in sheet.goods}
    for pack in sheet.packs.values():
        assert pack.bought >= pack.needed - 1e-6
        assert pack.over == pytest.approx(pack.bought - pack.needed, abs=1e-6)


def test_everything_goes_up_on_the_days_of_carrying(db: Database, job_id: int) -> None:
    worked = goods_sheet(db, job_id, TODAY).worked
    steps = carry_steps(db, worked)
    days = {p.start_on for p in worked.answer.days.tasks if p.task.phase == "carry-up"}
    assert {step.on for step in steps} <= days
    assert sum(step.trips for step in steps) == sum(
        row[2] for row in worked.answer.takeoff.totals.carry.items
    )


def test_the_first_page_says_what_is_missing_for_the_next_day(
    db: Database, owner: StaffMember, job_id: int, printer: Printer, supplier: str
) -> None:
    set_days(db, owner, job_id, 1, "south", date(2026, 6, 1), NOW)
    card = offer(db, owner, job_id, NOW, printer)
    found = exchange(db, make_link(db, owner, card.id, 14, NOW), NOW)
    sign(db, found, "Ines Haugan", True, offer_for(db, found, NOW).revision.fingerprint, NOW, "", "")
    assert week_of(db, TODAY).missing == ()
    lines = goods_sheet(db, job_id, TODAY).worked.answer.days.orders
    line = next(one for one in lines if one.supplier == supplier)
    eve = line.needed_on - timedelta(days=1)
    missing = {one.name: one for one in week_of(db, eve).missing}[line.name]
    assert (missing.packs, missing.is_ordered) == (line.packs, False)
    place_order(db, owner, job_id, supplier, NOW)
    assert {one.name: one for one in week_of(db, eve).missing}[line.name].is_ordered
    note_delivery(db, owner, job_id, came(line.item, line.packs), NOW)
    assert line.name not in {one.name for one in week_of(db, eve).missing}
