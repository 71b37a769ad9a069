"""Disk full, folder read-only, page damaged, clock broken, calls that fail: a sentence, and nothing half."""

import os
import shutil
import sqlite3
import zipfile
from collections.abc import Callable, Iterator
from contextlib import closing, contextmanager, suppress
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

import pytest
from fastapi import FastAPI
from sqlalchemy import event, text
from sqlalchemy.exc import OperationalError

from app.actions.backup import BackupError, back_up, check, export_firm, import_firm, restore
from app.actions.database import Database, NotKept, Unreachable, open_database
from app.actions.sign import offer_for, sign
from app.actions.tokens import token_hash
from app.documents.proposal import proposal_pdf
from app.store import people
from app.store.check import check as check_store
from app.web import routes
from tests.trust.kill import Template, form
from tests.web.page_client import PageClient, TestClient


@pytest.fixture
def db(template: Template, tmp_path: Path) -> Iterator[Database]:
    database = open_database(f"sqlite:///{shutil.copy(template.path, tmp_path / 'upstand.sqlite')}")
    yield database
    database.close()


@pytest.fixture
def clock() -> list[datetime]:
    return [datetime.now(UTC)]


@pytest.fixture
def browser(db: Database, template: Template, clock: list[datetime]) -> PageClient:
    app = FastAPI(docs_url=None, redoc_url=None, openapi_url=None)
    app.state.clock = lambda: clock[0]
    routes.install(app, db, proposal_pdf, is_secure=False)
    client = PageClient(TestClient(app, raise_server_exceptions=False))
    client.browser.cookies.set("session", template.session)
    client.browser.cookies.set("offer", template.offer)
    return client


def every_connection(db: Database, pragma: str) -> None:
    db.engine.dispose()
    event.listen(db.engine, "connect", lambda connection, _: connection.execute(pragma))


def add(browser: PageClient, template: Template, name: str, status: int) -> str:
    sent = form({}, template.session, name=name)
    browser.browser.cookies.set("visit", sent["cookies"]["visit"])
    answer = browser.browser.post("/clients/new", data=sent["data"], follow_redirects=False)
    assert answer.status_code == status, answer.text[-500:]
    return answer.text


def test_a_full_disk_is_said_and_nothing_half_is_kept(
    db: Database, browser: PageClient, template: Template
) -> None:
    with db.read() as session:
        pages = session.execute(text("PRAGMA page_count")).scalar_one()
    every_connection(db, f"PRAGMA max_page_count={pages + 2}")
    answers = set()
    for number in range(200):
        sent = form({}, template.session, name=f"Full {number} " + "x" * 90)
        browser.browser.cookies.set("visit", sent["cookies"]["visit"])
        answer = browser.browser.post("/clients/new", data=sent["data"], follow_redirects=False)
        answers.add(answer.status_code)
        if answer.status_code == 503:
            assert "The disk is full" in answer.text
            assert browser.get("/clients").heading == "Clients"
            break
    assert answers == {303, 503}
    assert check(db).faults == ()


def test_a_read_only_folder_is_said_and_pages_still_open(
    db: Database, browser: PageClient, template: Template
) -> None:
    every_connection(db, "PRAGMA query_only=ON")
    assert "cannot be written to" in add(browser, template, "Ada", 503)
    assert browser.get("/jobs").heading == "Jobs"


def test_a_damaged_page_is_said_with_what_to_do(db: Database, browser: PageClient) -> None:
    path = db.path
    assert path is not None
    db.close()
    content = bytearray(path.read_bytes())
    content[4096 : len(content) : 256] = b"\xff" * len(range(4096, len(content), 256))
    path.write_bytes(bytes(content))
    answer = browser.browser.get("/jobs")
    assert answer.status_code == 503
    assert "restore a backup" in answer.text
    assert check(db).faults


def test_a_broken_clock_loses_nothing(
    db: Database, browser: PageClient, template: Template, clock: list[datetime]
) -> None:
    now = clock[0]
    for at in (now - timedelta(days=3650), now, datetime(1970, 1, 2, tzinfo=UTC), now):
        clock[0] = at
        if abs(at - now) > timedelta(hours=1):
            assert browser.get("/").heading == "Sign in"
            browser.browser.cookies.clear()
            browser.browser.cookies.set("session", template.session)
        with db.write() as session:  # as signing in again does
            people.end_session(session, token_hash(template.session))
            people.add_session(session, 1, token_hash(template.session), at)
        add(browser, template, f"At {at:%Y}", 303)
        assert browser.get("/").heading == "This week"
        assert f"At {at:%Y}" in browser.get("/clients").text
    clock[0] = now + timedelta(days=7300)
    assert browser.get("/jobs").heading == "Sign in"
    assert check(db).faults == ()


class BrokenOff(sqlite3.OperationalError):
    """What a disk does."""


@contextmanager
def failing(db: Database, number: int, *, once: bool) -> Iterator[list[int]]:
    """Let the statement of that number fail, and, unless once, every one after it."""
    seen = [0]

    def before(*_: Any) -> None:
        seen[0] += 1
        if seen[0] == number or (not once and seen[0] > number):
            raise BrokenOff("disk I/O error")

    event.listen(db.engine, "before_cursor_execute", before)
    try:
        yield seen
    finally:
        event.remove(db.engine, "before_cursor_execute", before)


@pytest.mark.parametrize("once", [True, False], ids=["fails once", "fails for ever"])
def test_a_sign_off_whose_nth_statement_fails_is_whole_or_not_there(
    template: Template, tmp_path: Path, once: bool
) -> None:
    number, is_done = 0, False
    while not is_done:
        number += 1
        copy = shutil.copy(template.path, tmp_path / f"{number}.sqlite")
        db = open_database(f"sqlite:///{copy}")
        now = datetime.now(UTC)
        try:
            with failing(db, number, once=once):
                sign(db, template.offer, "Ines Haugan", True, template.fingerprint, now, "", "")
            is_done = True
        except (NotKept, sqlite3.OperationalError):
            is_done = False
        view = offer_for(db, template.offer, now)
        with db.read() as session:
            state = session.execute(
                text("SELECT state FROM jobs WHERE id = :id"), {"id": template.signable_job}
            )
            assert (state.scalar_one() == "signed") == (view.sign_off is not None) == is_done, number
        assert check_store(db).faults == ()
        db.close()
    assert number > 8


@pytest.mark.parametrize("name", ["fsync", "link", "open", "unlink"])
def test_a_backup_whose_nth_call_fails_leaves_no_half_file(
    db: Database, tmp_path: Path, name: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    folder = tmp_path / "kept"
    folder.mkdir()
    real: Callable[..., Any] = getattr(os, name)
    for number in range(1, 8):
        calls = [0]

        def fail(*args: Any, _number: int = number, _calls: list[int] = calls, **others: Any) -> Any:
            _calls[0] += 1
            if _calls[0] == _number:
                raise OSError(5, "Input/output error")
            return real(*args, **others)

        target = folder / f"{number}.sqlite"
        with monkeypatch.context() as patch:
            patch.setattr(f"app.store.backup.os.{name}", fail)
            with suppress(BackupError, OSError):
                back_up(db, target)
        if target.exists():
            with closing(sqlite3.connect(target)) as connection:
                assert connection.execute("PRAGMA integrity_check").fetchone() == ("ok",)
        if calls[0] < number:
            break
    assert back_up(db, folder / "last.sqlite").rows
    assert db.path is not None
    assert check(db).faults == ()


@contextmanager
def failing_sqlite(monkeypatch: pytest.MonkeyPatch, number: int) -> Iterator[list[int]]:
    """Let the call of that number, of all that a backup makes of SQLite, fail as on a bad disk."""
    seen, real = [0], sqlite3.connect

    def count() -> None:
        seen[0] += 1
        if seen[0] == number:
            raise BrokenOff("disk I/O error")

    class Counted(sqlite3.Connection):
        def execute(self, *words: Any) -> sqlite3.Cursor:
            count()
            return super().execute(*words)

        def backup(self, *words: Any, **others: Any) -> None:
            count()
            super().backup(*words, **others)

    def connect(*words: Any, **others: Any) -> sqlite3.Connection:
        count()
        return real(*words, **{"factory": Counted, **others})

    with monkeypatch.context() as patch:
        patch.setattr("app.store.backup.sqlite3.connect", connect)
        yield seen


@pytest.mark.parametrize("command", ["backup", "restore"])
def test_a_backup_or_restore_whose_nth_call_of_the_database_fails_leaves_all_as_it_was(
    db: Database, tmp_path: Path, command: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    good, failed, number = tmp_path / "good.sqlite", 0, 0
    back_up(db, good)
    before = good.read_bytes()
    while True:
        number += 1
        target = tmp_path / f"{number}.sqlite"
        with failing_sqlite(monkeypatch, number) as seen:
            try:
                back_up(db, target) if command == "backup" else restore(db, good)
            except (BackupError, NotKept, sqlite3.OperationalError, OperationalError):
                failed += 1
                assert not target.exists()
        if seen[0] < number:
            break
        assert good.read_bytes() == before
        assert [path.name for path in tmp_path.iterdir() if path.name.startswith(".upstand")] == []
        # Also after the worst moment the database is whole: as it was, or as the backup says.
        assert check(db).faults == (), number
    assert failed > 8


def test_an_import_whose_nth_reading_of_the_archive_fails_leaves_an_empty_database(
    db: Database, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    export_firm(db, tmp_path / "firm.zip", datetime.now(UTC))
    real, seen = zipfile.ZipFile.read, [0]
    other = open_database(f"sqlite:///{tmp_path / 'other.sqlite'}")
    for number in (1, 2, 9, 20, 31, 42):
        seen[0] = 0

        def read(self: zipfile.ZipFile, *words: Any, _number: int = number) -> bytes:
            seen[0] += 1
            if seen[0] == _number:
                raise OSError(5, "Input/output error")
            return real(self, *words)

        with monkeypatch.context() as patch:
            patch.setattr(zipfile.ZipFile, "read", read)
            with pytest.raises(BackupError, match="cannot be read"):
                import_firm(other, tmp_path / "firm.zip")
        if number > 1:
            with other.read() as session:
                assert session.execute(text("SELECT count(*) FROM staff")).scalar_one() == 0
    import_firm(other, tmp_path / "firm.zip")
    assert check(other).faults == ()
    other.close()


def test_an_import_whose_nth_statement_fails_leaves_an_empty_database(db: Database, tmp_path: Path) -> None:
    export_firm(db, tmp_path / "firm.zip", datetime.now(UTC))
    empty = open_database(f"sqlite:///{tmp_path / 'empty.sqlite'}")
    with failing(empty, 10**9, once=True) as seen:
        import_firm(empty, tmp_path / "firm.zip")
    empty.close()
    total, broken_off = seen[0], 0
    for number in range(max(1, total - 260), total, 43):
        other = open_database(f"sqlite:///{tmp_path / f'other-{number}.sqlite'}")
        try:
            with failing(other, number, once=True):
                import_firm(other, tmp_path / "firm.zip")
        except (NotKept, Unreachable, OperationalError, sqlite3.OperationalError):
            with other.read() as session:
                assert session.execute(text("SELECT count(*) FROM staff")).scalar_one() == 0
            broken_off += 1
            import_firm(other, tmp_path / "firm.zip")
        with other.read() as session:
            assert session.execute(text("SELECT count(*) FROM staff")).scalar_one() == 1
        assert check(other).faults == ()
        other.close()
    assert broken_off > 2
