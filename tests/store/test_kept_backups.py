"""Backups by the clock, their rotation, and the drill: what comes back is what was there."""

import os
import sqlite3
from contextlib import closing
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from app.store import audit, clients
from app.store.backup import BackupError, restore
from app.store.check import check
from app.store.database import Database, open_database
from app.store.kept_backups import BackupPlan, back_up_when_due, newest_backup_at, to_remove
from app.store.upgrade import bring_up_to_date

NOW = datetime(2026, 5, 4, 3, 0, tzinfo=UTC)
DAY = timedelta(days=1)


@pytest.fixture
def db(tmp_path: Path) -> Database:
    database = open_database(f"sqlite:///{tmp_path / 'data' / 'upstand.sqlite'}")
    bring_up_to_date(database)
    return database


def add(db: Database, name: str) -> None:
    with db.write() as session:
        clients.add_client(session, name, "", "", "")
        audit.note(session, NOW, "Ada", f"added {name}", "client:1")


def dump(path: Path) -> list[str]:
    with closing(sqlite3.connect(path)) as connection:
        return list(connection.iterdump())


def test_a_backup_is_made_when_the_last_is_old_and_not_before(db: Database, tmp_path: Path) -> None:
    plan = BackupPlan(tmp_path / "kept", DAY, 3)
    assert back_up_when_due(db, plan, NOW) is not None
    assert back_up_when_due(db, plan, NOW + DAY / 2) is None
    assert back_up_when_due(db, plan, NOW + DAY) is not None
    assert newest_backup_at(plan.folder) == NOW + DAY
    assert (plan.folder.stat().st_mode & 0o077) == 0
    db.close()


def test_a_clock_set_back_does_not_stop_the_backups(db: Database, tmp_path: Path) -> None:
    plan = BackupPlan(tmp_path / "kept", DAY, 3)
    back_up_when_due(db, plan, NOW + 400 * DAY)
    assert back_up_when_due(db, plan, NOW) is not None
    db.close()


def test_the_newest_stay_and_one_of_each_month_and_other_files_are_left_alone(tmp_path: Path) -> None:
    names = [f"upstand-{NOW + number * DAY:%Y%m%dT%H%M%S}Z.sqlite" for number in range(500)]
    for name in (*names, "upstand-mine.sqlite", "upstand-99999999T999999Z.sqlite", "notes.txt"):
        (tmp_path / name).touch()
    removed = {path.name for path in to_remove(tmp_path, 14)}
    stay = [name for name in names if name not in removed]
    assert stay[-14:] == names[-14:]
    # The last month's own is among the newest fourteen, eleven months come before it.
    assert len(stay) == 14 + 11
    assert removed <= set(names)


def test_a_backup_that_fails_costs_no_old_one(
    db: Database, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    plan = BackupPlan(tmp_path / "kept", DAY, 1)
    back_up_when_due(db, plan, NOW)

    def fail(*_: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "link", fail)
    with pytest.raises(BackupError, match="No space left"):
        back_up_when_due(db, plan, NOW + DAY)
    assert newest_backup_at(plan.folder) == NOW
    assert len(list(plan.folder.iterdir())) == 1
    db.close()


def test_a_folder_that_cannot_be_made_is_said_in_a_sentence(db: Database, tmp_path: Path) -> None:
    (tmp_path / "file").write_text("")
    with pytest.raises(BackupError, match="cannot be made"):
        back_up_when_due(db, BackupPlan(tmp_path / "file" / "kept", DAY, 1), NOW)
    db.close()


def test_the_drill_of_a_restore_gives_back_every_row_as_it_was(db: Database, tmp_path: Path) -> None:
    for number in range(30):
        add(db, f"Client {number}")
    plan = BackupPlan(tmp_path / "kept", DAY, 3)
    report = back_up_when_due(db, plan, NOW)
    assert report is not None
    before = dump(report.path)
    add(db, "After the backup")
    restore(db, report.path)
    assert db.path is not None
    assert dump(db.path) == before
    assert check(db).faults == ()
    db.close()
