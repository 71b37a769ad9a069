"""Payments fall due by work done; invoices run without gaps; the handover file is one PDF."""

import io
from concurrent.futures import ThreadPoolExecutor
from datetime import date
from decimal import Decimal

import pypdf
import pytest

from app.actions.change_orders import make_change_order
from app.actions.client_changes import answer_change, changes_for
from app.actions.database import Database
from app.actions.days import set_days
from app.actions.errors import NotFound, Refused
from app.actions.invoices import invoice_paper, make_invoice, money_view, note_receipt
from app.actions.log import add_entry, add_punch, close_punch, sign_hold_point
from app.actions.offer import make_link, offer
from app.actions.records import StaffMember
from app.actions.sign import exchange, offer_for, sign
from app.actions.site_notes import SiteNote, add_note
from tests.actions.conftest import NOW, Printer
from tests.actions.test_change_orders import WHERE, widen

TODAY = date(2026, 5, 4)


@pytest.fixture
def cookie(db: Database, owner: StaffMember, job_id: int, printer: Printer) -> str:
    set_days(db, owner, job_id, 1, "south", date(2026, 6, 1), NOW)
    card = offer(db, owner, job_id, NOW, printer)
    found = exchange(db, make_link(db, owner, card.id, 14, NOW), NOW)
    sign(db, found, "Ines Haugan", True, offer_for(db, found, NOW).revision.fingerprint, NOW, "", "")
    return found


def due(db: Database, job_id: int) -> set[str]:
    return {state.stage.code for state in money_view(db, job_id, TODAY).stages if state.is_due}


def done(db: Database, owner: StaffMember, job_id: int, *tasks: str) -> None:
    for task in tasks:
        add_entry(db, owner, job_id, TODAY, f"{task} done", NOW, task_code=task, done_pct=100)


def test_nothing_falls_due_ahead_of_the_work(
    db: Database, owner: StaffMember, job_id: int, cookie: str
) -> None:
    view = money_view(db, job_id, TODAY)
    assert sum((state.stage.amount for state in view.stages), Decimal(0)) == view.contract_total
    assert due(db, job_id) == {"deposit"}
    with pytest.raises(Refused, match="not due"):
        make_invoice(db, owner, job_id, "frame", NOW)
    done(db, owner, job_id, "preparation", "carry-up", "frame")
    assert "frame" in due(db, job_id)
    assert "boards" not in due(db, job_id)


def test_the_holdback_waits_for_the_walk_through_and_the_punch_list(
    db: Database, owner: StaffMember, job_id: int, cookie: str
) -> None:
    punch = add_punch(db, owner, job_id, "plug missing", "", TODAY, NOW)
    sign_hold_point(db, owner, job_id, "walk-through", "Ines Haugan", "", NOW)
    assert "holdback" not in due(db, job_id)
    close_punch(db, owner, punch, TODAY, NOW)
    assert "holdback" in due(db, job_id)


def test_invoices_are_numbered_without_gaps_and_each_stage_has_one(
    db: Database, owner: StaffMember, job_id: int, cookie: str
) -> None:
    done(db, owner, job_id, "preparation", "carry-up", "frame", "boards")
    assert make_invoice(db, owner, job_id, "deposit", NOW) == 1
    with pytest.raises(Refused, match="Invoice 1 was made"):
        make_invoice(db, owner, job_id, "deposit", NOW)
    with ThreadPoolExecutor(2) as pool:
        stages = ("frame", "boards")
        numbers = sorted(pool.map(lambda stage: make_invoice(db, owner, job_id, stage, NOW), stages))
    assert numbers == [2, 3]
    text = pypdf.PdfReader(io.BytesIO(invoice_paper(db, job_id, 2)[1])).pages[0].extract_text()
    assert "Invoice 2" in text
    with pytest.raises(NotFound):
        invoice_paper(db, job_id + 1, 2)


def test_money_that_comes_in_adds_up_and_a_mistake_is_put_right_by_a_minus(
    db: Database, owner: StaffMember, job_id: int, cookie: str
) -> None:
    number = make_invoice(db, owner, job_id, "deposit", NOW)
    note_receipt(db, owner, job_id, number, TODAY, Decimal("100.00"), "transfer", NOW)
    note_receipt(db, owner, job_id, number, TODAY, Decimal("-40.00"), "typed wrong", NOW)
    assert money_view(db, job_id, TODAY).received == Decimal("60.00")
    with pytest.raises(Refused, match="less than nothing"):
        note_receipt(db, owner, job_id, number, TODAY, Decimal("-61.00"), "", NOW)
    with pytest.raises(Refused, match="to the cent"):
        note_receipt(db, owner, job_id, number, TODAY, Decimal("1.005"), "", NOW)
    with pytest.raises(NotFound):
        note_receipt(db, owner, job_id, 99, TODAY, Decimal("1.00"), "", NOW)
    with pytest.raises(NotFound):
        note_receipt(db, owner, job_id + 1, number, TODAY, Decimal("1.00"), "", NOW)


def test_a_signed_change_is_a_payment_of_its_own_and_the_sum_still_adds_up(
    db: Database, owner: StaffMember, job_id: int, cookie: str
) -> None:
    widen(db, owner, job_id)
    change_id = make_change_order(db, owner, job_id, "Another border", "", NOW)
    (seen,) = changes_for(db, cookie, NOW).changes
    answer_change(db, cookie, change_id, (True, "Ines Haugan", True, seen.fingerprint), NOW, WHERE)
    view = money_view(db, job_id, TODAY)
    assert "change 1" in {state.stage.code for state in view.stages}
    assert sum((state.stage.amount for state in view.stages), Decimal(0)) == view.contract_total


def test_hours_noted_over_the_share_done_tell_the_hours_at_the_finish(
    db: Database, owner: StaffMember, job_id: int, cookie: str
) -> None:
    note = SiteNote("device-key-9", "progress", TODAY, "", 20.0, "M. Tarn", "frame", 50)
    add_note(db, owner, job_id, note, NOW)
    row = next(row for row in money_view(db, job_id, TODAY).outlook if row.phase == "frame")
    assert (row.actual_h, row.done_pct, row.at_finish_h) == (20.0, 50.0, 40.0)
