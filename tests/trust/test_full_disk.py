"""A disk that is really full, or really read-only: web, sign-off, backup, import."""

import shutil
from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path

import pytest
from fastapi import FastAPI
from sqlalchemy import text

from app.actions.backup import BackupError, back_up, check, export_firm, import_firm
from app.actions.database import Database, NotKept, open_database
from app.actions.sign import offer_for, sign
from app.documents.proposal import proposal_pdf
from app.web import routes
from tests.trust.disks import leave, set_read_only, small_disk
from tests.trust.kill import Template, form
from tests.web.page_client import TestClient


@pytest.fixture
def disk(template: Template, tmp_path: Path) -> Iterator[Path]:
    """A disk with room for the demo's database twice over, and the database on it."""
    kilobytes = template.path.stat().st_size // 1024 * 2 + 1024
    with small_disk(tmp_path / "disk", kilobytes) as folder:
        shutil.copy(template.path, folder / "upstand.sqlite")
        yield folder


@pytest.fixture
def db(disk: Path) -> Iterator[Database]:
    database = open_database(f"sqlite:///{disk / 'upstand.sqlite'}")
    yield database
    database.close()


def served(db: Database, template: Template) -> TestClient:
    app = FastAPI(docs_url=None, redoc_url=None, openapi_url=None)
    routes.install(app, db, proposal_pdf, is_secure=False)
    client = TestClient(app, raise_server_exceptions=False)
    client.cookies.set("session", template.session)
    return client


def add(browser: TestClient, template: Template, name: str) -> tuple[int, str]:
    sent = form({}, template.session, name=name)
    browser.cookies.set("visit", sent["cookies"]["visit"])
    answer = browser.post("/clients/new", data=sent["data"], follow_redirects=False)
    return answer.status_code, answer.text


def test_a_full_disk_is_said_and_room_made_is_enough(db: Database, disk: Path, template: Template) -> None:
    browser = served(db, template)
    assert add(browser, template, "Before")[0] == 303
    ballast, kept = leave(disk, 200), []
    for number in range(400):
        status, words = add(browser, template, f"Full {number}")
        if status != 303:
            break
        kept.append(f"Full {number}")
    assert (status, "The disk is full" in words) == (503, True)
    with db.read() as session:
        names = set(session.execute(text("SELECT name FROM clients WHERE name LIKE 'Full %'")).scalars())
    assert names == set(kept)
    ballast.unlink()
    assert add(browser, template, "After")[0] == 303
    assert check(db).faults == ()


def test_a_sign_off_on_a_full_disk_is_not_there_and_comes_when_there_is_room(
    db: Database, disk: Path, template: Template
) -> None:
    now = datetime.now(UTC)
    words = (template.offer, "Ines Haugan", True, template.fingerprint, now, "", "")
    offer_for(db, template.offer, now)
    ballast = leave(disk, 0)
    with pytest.raises(NotKept, match="disk is full"):
        sign(db, *words)
    assert offer_for(db, template.offer, now).sign_off is None
    ballast.unlink()
    sign(db, *words)
    assert offer_for(db, template.offer, now).sign_off is not None
    assert check(db).faults == ()


def test_a_backup_or_export_onto_a_full_disk_leaves_nothing_half(template: Template, tmp_path: Path) -> None:
    db = open_database(f"sqlite:///{shutil.copy(template.path, tmp_path / 'upstand.sqlite')}")
    with small_disk(tmp_path / "stick", 64) as stick:
        with pytest.raises(BackupError) as refused:
            back_up(db, stick / "office.backup")
        assert "full" in str(refused.value) or "space" in str(refused.value)
        with pytest.raises(BackupError, match=r"[Nn]o space left"):
            export_firm(db, stick / "office.zip", datetime.now(UTC))
        assert list(stick.iterdir()) == []
    assert check(db).faults == ()
    db.close()


@pytest.mark.parametrize("room_kb", [256, 1024])
def test_an_import_onto_a_full_disk_leaves_no_half_firm(
    template: Template, tmp_path: Path, room_kb: int
) -> None:
    whole = open_database(f"sqlite:///{shutil.copy(template.path, tmp_path / 'upstand.sqlite')}")
    export_firm(whole, tmp_path / "office.zip", datetime.now(UTC))
    whole.close()
    with small_disk(tmp_path / "disk", 16384) as disk:
        db = open_database(f"sqlite:///{disk / 'upstand.sqlite'}")
        ballast = leave(disk, room_kb)
        with pytest.raises(NotKept, match="disk is full"):
            import_firm(db, tmp_path / "office.zip")
        ballast.unlink()
        # Nothing half is there: an import is refused where anything is.
        import_firm(db, tmp_path / "office.zip")
        with db.read() as session:
            assert session.execute(text("SELECT count(*) FROM staff")).scalar_one() == 1
        assert check(db).faults == ()
        db.close()


def test_a_disk_that_went_read_only_is_said_and_all_is_there_when_it_can_be_written_again(
    db: Database, disk: Path, template: Template
) -> None:
    browser = served(db, template)
    assert add(browser, template, "Before")[0] == 303
    db.close()
    set_read_only(disk, True)
    try:
        status, words = add(browser, template, "Ada")
        assert (status, "cannot be opened. Look whether its disk" in words) == (503, True)
        assert browser.get("/jobs").status_code == 503
    finally:
        db.close()
        set_read_only(disk, False)
    assert add(browser, template, "After")[0] == 303
    assert check(db).faults == ()
