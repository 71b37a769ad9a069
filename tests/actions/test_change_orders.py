"""Change orders: made, signed on the client's link, added up."""

import io
from datetime import date
from decimal import Decimal

import pypdf
import pytest

from app.actions.change_orders import (
    answer_change,
    change_order_paper,
    changes_for,
    changes_view,
    client_paper,
    make_change_order,
    note_verbal_change,
    send_verbal_change,
    take_back,
)
from app.actions.database import Database
from app.actions.days import set_days
from app.actions.document import save_part
from app.actions.errors import LinkClosed, NotFound, Refused
from app.actions.jobs import job_sheet
from app.actions.offer import links, make_link, offer, revoke_link
from app.actions.records import StaffMember
from app.actions.sign import exchange, offer_for, sign
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
