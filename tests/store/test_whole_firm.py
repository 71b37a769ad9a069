"""A firm goes out as open files and comes back equal, also into the other kind of database."""

import csv
import io
import json
import zipfile
from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import pytest
from sqlalchemy import select

from app.store import audit, clients, people
from app.store.backup import BackupError
from app.store.check import check
from app.store.database import Database, open_database
from app.store.models import Base
from app.store.upgrade import bring_up_to_date, newest_version
from app.store.whole_firm import SHORT_LIVED, export_firm, import_firm, tables_of
from tests import postgres
from tests.rows import fill_every_table
from tests.store.test_check import fill

NOW = datetime(2026, 5, 4, tzinfo=UTC)


@pytest.fixture(params=["sqlite", *(["postgresql"] if postgres.IS_HERE else [])])
def empty(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[Database]:
    if request.param == "postgresql":
        found = open_database(request.getfixturevalue("cluster").make())
    else:
        found = open_database(f"sqlite:///{tmp_path / 'other' / 'upstand.sqlite'}")
    yield found
    found.close()


def content(db: Database) -> dict[str, list[Any]]:
    with db.connection() as connection:
        return {
            table.name: [
                [value.replace(tzinfo=UTC) if isinstance(value, datetime) else value for value in row]
                for row in connection.execute(select(table).order_by(*table.primary_key))
            ]
            for table in tables_of(connection)
        }


def test_what_comes_back_is_equal_and_work_goes_on(db: Database, empty: Database, tmp_path: Path) -> None:
    fill(db)
    with db.write() as session:
        people.add_staff(session, "Ada", "ada@example.org", "hash", "owner", NOW)
        people.add_session(session, 1, "token", NOW)
    export_firm(db, tmp_path / "firm.zip", NOW)
    report = import_firm(empty, tmp_path / "firm.zip")
    assert dict(report.rows)["revisions"] == 1
    assert content(empty) == content(db)
    assert check(empty).faults == ()
    with empty.write() as session:
        assert clients.add_client(session, "Next", "", "", "") == 2
        audit.note(session, NOW, "Ada", "added Next", "client:2")
        assert people.session_of(session, "token") is None
    assert check(empty).faults == ()


def test_the_files_are_open_ones_and_a_formula_is_only_text(db: Database, tmp_path: Path) -> None:
    fill(db)
    with db.write() as session:
        clients.add_client(session, '=HYPERLINK("x")', "", "+1 207", "@home")
    export_firm(db, tmp_path / "firm.zip", NOW)
    assert (tmp_path / "firm.zip").stat().st_mode & 0o077 == 0
    with zipfile.ZipFile(tmp_path / "firm.zip") as archive:
        assert archive.read("files/revisions-1.pdf") == b"%PDF one"
        assert json.loads(archive.read("job-files/1.json")) == {"id": "deck"}
        assert json.loads(archive.read("firm.json"))["tables"] == newest_version()
        rows = list(csv.DictReader(io.StringIO(archive.read("csv/clients.csv").decode())))
    assert rows[1]["name"] == '\'=HYPERLINK("x")'
    assert (rows[1]["phone"], rows[1]["address"]) == ("'+1 207", "'@home")


def test_nothing_is_read_into_a_database_that_is_not_empty(db: Database, tmp_path: Path) -> None:
    fill(db)
    export_firm(db, tmp_path / "firm.zip", NOW)
    before = content(db)
    with pytest.raises(BackupError, match="not empty"):
        import_firm(db, tmp_path / "firm.zip")
    assert content(db) == before
    with pytest.raises(BackupError, match="there already"):
        export_firm(db, tmp_path / "firm.zip", NOW)


@pytest.mark.parametrize(
    "fault", ["no archive", "no manifest", "newer", "changed", "file", "missing", "bomb"]
)
def test_what_is_no_whole_export_is_refused_and_leaves_nothing(
    db: Database, empty: Database, tmp_path: Path, fault: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    fill(db)
    export_firm(db, tmp_path / "good.zip", NOW)
    bad = tmp_path / "bad.zip"
    with zipfile.ZipFile(tmp_path / "good.zip") as good, zipfile.ZipFile(bad, "w") as archive:
        for name in good.namelist():
            whole = good.read(name)
            if (fault, name) in {("no manifest", "firm.json"), ("missing", "tables/audit.json")}:
                continue
            if (fault, name) == ("newer", "firm.json"):
                whole = whole.replace(newest_version().encode(), b"9999_later")
            if (fault, name) in {("changed", "tables/clients.json"), ("file", "files/revisions-1.pdf")}:
                whole = whole.replace(b"one", b"two").replace(b"Ada", b"Eve")
            archive.writestr(name, whole)
    if fault == "no archive":
        bad.write_bytes(b"hello" * 100)
    if fault == "bomb":
        monkeypatch.setattr("app.store.whole_firm.MOST_BYTES", 10)
    with pytest.raises(BackupError):
        import_firm(empty, bad)
    bring_up_to_date(empty)
    assert not any(content(empty).values())


def test_every_table_there_is_goes_out_and_comes_back(db: Database, empty: Database, tmp_path: Path) -> None:
    with db.connection() as connection:
        fill_every_table(connection)
    report = export_firm(db, tmp_path / "firm.zip", NOW)
    names = {name for name, rows in report.rows if rows}
    assert names == set(Base.metadata.tables) - SHORT_LIVED, "a table without a row proves nothing"
    import_firm(empty, tmp_path / "firm.zip")
    assert content(empty) == content(db)


def test_what_is_left_out_lives_for_hours_only() -> None:
    # Who adds a table that an export leaves out says so here, with the reason.
    reasons = {
        "sessions": "who is signed in",
        "guesses": "the brake on guessing, a quarter of an hour",
        "link_sessions": "browsers that opened a client's link",
        "sign_codes": "codes by mail, ten minutes",
        "passkey_challenges": "questions put to a passkey, five minutes",
        "alembic_version": "the version, which the manifest names",
    }
    assert set(reasons) == SHORT_LIVED
