"""What was changed behind the program's back is found and named."""

import hashlib
from datetime import UTC, date, datetime
from decimal import Decimal
from pathlib import Path

import pytest
from sqlalchemy import text

from app.agreement.records import SignOff
from app.store import audit, clients, jobs, links, offers
from app.store.check import check
from app.store.database import Database, open_database
from app.store.jobs import text_sha256
from app.store.records import NewRevision
from app.store.upgrade import bring_up_to_date

NOW = datetime(2026, 5, 4, tzinfo=UTC)


def fill(db: Database) -> None:
    with db.write() as session:
        client = clients.add_client(session, "Ada", "", "", "")
        job = jobs.add_job(session, client, "Deck", '{"id": "deck"}', "priced", NOW)
        pdf = b"%PDF one"
        digest = hashlib.sha256(pdf).hexdigest()
        results = '{"estimate":{"total":"10.00","currency":"USD"}}'
        mark = text_sha256(f'{{"inputs":{{}},"results":{results}}}')
        day = date(2026, 5, 4)
        new = NewRevision(
            offered_at=NOW,
            offered_on=day,
            valid_until_on=day,
            total=Decimal("10.00"),
            currency="USD",
            fingerprint=mark,
            inputs="{}",
            results=results,
            pdf=pdf,
            document_sha256=digest,
        )
        revision = offers.add_revision(session, job, 1, "Ada", new)
        link = links.add_link(session, revision, "0" * 64, "Ada", NOW, NOW)
        signed = SignOff("Bo", "I agree", NOW, "", "", digest)
        offers.add_sign_off(session, revision, link, mark, signed)
        audit.note(session, NOW, "Ada", "offered", "job:1")
        audit.note(session, NOW, "Bo", "signed", "job:1")


def test_what_was_written_by_the_program_proves_itself(db: Database) -> None:
    fill(db)
    report = check(db)
    assert report.faults == ()
    assert (report.audit_rows, report.jobs, report.revisions, report.signatures) == (2, 1, 1, 1)


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ("UPDATE audit SET what = 'nothing' WHERE id = 1", "broken at entry 1"),
        ("DELETE FROM audit WHERE id = 1", "broken at entry 2"),
        ("UPDATE jobs SET document = '{}'", "not the one that was saved"),
        ("UPDATE revisions SET results = '{}  '", "fingerprint"),
        ("UPDATE revisions SET total = 9", "the total or the currency"),
        ("UPDATE revisions SET currency = 'EUR'", "the total or the currency"),
        ("UPDATE revisions SET document_sha256 = 'x'", "not the one offered"),
        ("UPDATE sign_offs SET fingerprint = 'x'", "not the document that was signed"),
    ],
)
def test_a_change_behind_the_programs_back_is_named(db: Database, change: str, words: str) -> None:
    fill(db)
    with db.connection() as connection:
        connection.execute(text(change))
    assert any(words in fault for fault in check(db).faults)


def test_a_page_overwritten_on_the_disk_is_named(tmp_path: Path) -> None:
    path = tmp_path / "own.sqlite"
    db = open_database(f"sqlite:///{path}")
    bring_up_to_date(db)
    fill(db)
    db.close()
    content = bytearray(path.read_bytes())
    content[4096 : len(content) : 512] = b"\xff" * len(range(4096, len(content), 512))
    path.write_bytes(bytes(content))
    report = check(db)
    assert any("database file" in fault for fault in report.faults)
    assert report.audit_rows == 0
