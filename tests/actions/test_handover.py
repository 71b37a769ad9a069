"""Handing over: one file, frozen as it was given, proved by the check, received by the client."""

import io
import re
from datetime import date, timedelta

import pypdf
import pytest
from sqlalchemy import text

from app.actions.database import Database
from app.actions.errors import NotFound, Refused
from app.actions.handover import completeness
from app.actions.handover_copy import (
    clients_file,
    copy_paper,
    hand_over,
    handover_copies,
    handover_for,
    receive,
)
from app.actions.handover_file import handover_inputs, make_handover_link
from app.actions.log import add_punch, sign_hold_point
from app.actions.records import StaffMember
from app.actions.site_notes import SiteNote, add_note
from app.actions.warranty import save_warranty
from app.build.warranty import WarrantyTerm
from app.store.check import check
from tests.actions.conftest import NOW
from tests.actions.test_site_notes import a_photo

TODAY = date(2026, 5, 4)
WHERE = ("192.0.2.7", "a browser")


@pytest.fixture
def token(db: Database, owner: StaffMember, job_id: int) -> str:
    photo = SiteNote(
        "device-key-8", "note", TODAY, "frame", picture=a_photo((400, 300)), is_before_cover=True
    )
    add_note(db, owner, job_id, photo, NOW)
    return make_handover_link(db, owner, job_id, NOW)


def words_of(made: bytes) -> str:
    return "".join(page.extract_text() for page in pypdf.PdfReader(io.BytesIO(made)).pages)


def test_the_file_is_one_pdf_behind_a_secret_address(
    db: Database, owner: StaffMember, job_id: int, token: str
) -> None:
    name, made = handover_for(db, token, NOW)
    assert name.endswith("-handover.pdf")
    found = words_of(made)
    for words in (
        "As built",
        "Hidden runs",
        "Care through the year",
        "Punch list",
        "Photos before",
        "Warranty",
    ):
        assert words in found
    make_handover_link(db, owner, job_id, NOW)
    with pytest.raises(NotFound):
        handover_for(db, token, NOW)


def test_every_photo_taken_before_it_was_covered_is_in_the_file_and_numbered(
    db: Database, owner: StaffMember, job_id: int, token: str
) -> None:
    """More than two dozen, six to a page; the first names how many there are."""
    for number in range(29):
        picture = a_photo((400, 300 + number))
        key = f"device-key-1{number:02d}"
        photo = SiteNote(key, "note", TODAY, f"bay {number}", picture=picture, is_before_cover=True)
        add_note(db, owner, job_id, photo, NOW)
    _, made = handover_for(db, token, NOW)
    found = " ".join(words_of(made).split())
    assert "30 photos, all there are" in found
    assert "Photos 25 to 30 of 30" in found
    assert all(f"bay {number}" in found for number in range(29))
    pages = pypdf.PdfReader(io.BytesIO(made)).pages
    on_page = [len(re.findall(r"\d+\. 2026-05-04", page.extract_text())) for page in pages]
    assert [count for count in on_page if count] == [6, 6, 6, 6, 6]
    assert len(pages[-1].images) == 29  # two of the thirty are the same picture


def test_warranty_ends_are_reckoned_from_the_walk_through(
    db: Database, owner: StaffMember, job_id: int
) -> None:
    save_warranty(db, owner, (WarrantyTerm("workmanship", 24), WarrantyTerm("boards", 120)), NOW)
    before = {row.code: row for row in handover_inputs(db, job_id, TODAY).warranty}
    assert before["workmanship"].until_on is None
    sign_hold_point(db, owner, job_id, "walk-through", "Ines Haugan", "", NOW)
    after = {row.code: row for row in handover_inputs(db, job_id, TODAY).warranty}
    assert after["workmanship"].until_on == date(2028, 5, 4)
    assert after["boards"].until_on == date(2036, 5, 4)
    assert after["boards"].products
    with pytest.raises(Refused, match="0 months cannot be"):
        save_warranty(db, owner, (WarrantyTerm("boards", 0),), NOW)
    with pytest.raises(Refused, match="no class song"):
        save_warranty(db, owner, (WarrantyTerm("song", 1),), NOW)


def test_what_was_handed_over_stays_as_it_was(
    db: Database, owner: StaffMember, job_id: int, token: str
) -> None:
    assert hand_over(db, owner, job_id, NOW) == 1
    _, given = handover_for(db, token, NOW)
    add_punch(db, owner, job_id, "a plug is missing", "", TODAY, NOW)
    later = NOW + timedelta(days=200)
    assert handover_for(db, token, later)[1] == given == copy_paper(db, job_id, 1)[1]
    assert "a plug is missing" not in words_of(given)
    assert hand_over(db, owner, job_id, NOW) == 2
    assert "a plug is missing" in words_of(handover_for(db, token, NOW)[1])
    assert [copy.number for copy in handover_copies(db, job_id)] == [2, 1]
    with pytest.raises(NotFound):
        copy_paper(db, job_id, 3)


def test_the_client_receives_the_file_it_was_shown_once(
    db: Database, owner: StaffMember, job_id: int, token: str
) -> None:
    with pytest.raises(Refused, match="Nothing is handed over"):
        receive(db, token, ("Ines Haugan", True, ""), WHERE, NOW)
    hand_over(db, owner, job_id, NOW)
    seen = clients_file(db, token, NOW).copy
    assert seen is not None
    with pytest.raises(Refused, match="full name"):
        receive(db, token, (" ", True, seen.fingerprint), WHERE, NOW)
    add_punch(db, owner, job_id, "a plug is missing", "", TODAY, NOW)
    hand_over(db, owner, job_id, NOW + timedelta(hours=1))
    with pytest.raises(Refused, match="newer file"):
        receive(db, token, ("Ines Haugan", True, seen.fingerprint), WHERE, NOW)
    newest = handover_copies(db, job_id)[0]
    receive(db, token, ("Ines Haugan", True, newest.fingerprint), WHERE, NOW)
    receive(db, token, ("Somebody Else", True, newest.fingerprint), WHERE, NOW)
    shown = clients_file(db, token, NOW).copy
    assert shown is not None
    assert shown.received_name == "Ines Haugan"
    items = {item.code: item for item in completeness(db, job_id, TODAY).items}
    assert items["receipt"].is_present


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ("UPDATE handover_copies SET pdf = x'255044460a'", "is not the one handed over"),
        ("UPDATE handover_copies SET inputs = replace(inputs, 'frame', 'brame')", "not what its fingerprint"),
        ("UPDATE handover_receipts SET fingerprint = '0'", "not the one the client received"),
        ("UPDATE photos SET jpeg = x'ffd8ff'", "Photo 1 of job 1 is not the one that was kept"),
    ],
)
def test_the_check_finds_what_was_changed_behind_the_back(
    db: Database, owner: StaffMember, job_id: int, token: str, change: str, words: str
) -> None:
    hand_over(db, owner, job_id, NOW)
    receive(db, token, ("Ines Haugan", True, handover_copies(db, job_id)[0].fingerprint), WHERE, NOW)
    assert check(db).faults == ()
    with db.write() as session:
        session.execute(text(change))
    assert any(words in fault for fault in check(db).faults)
