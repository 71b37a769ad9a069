import sqlite3
from contextlib import closing
from datetime import UTC, datetime
from pathlib import Path

import pytest
from sqlalchemy import text

from app.store import audit, backup, clients
from app.store.backup import BackupError, back_up, prove, restore, trail_is_whole
from app.store.database import Database, open_database
from app.store.upgrade import bring_up_to_date, newest_version

NOW = datetime(2026, 5, 4, tzinfo=UTC)


@pytest.fixture
def db(tmp_path: Path) -> Database:
    database = open_database(f"sqlite:///{tmp_path / 'data' / 'upstand.sqlite'}")
    bring_up_to_date(database)
    return database


def add(db: Database, name: str) -> None:
    with db.write() as session:
        clients.add_client(session, name, "", "", "")
        audit.note(session, NOW, "Ada", f"added {name}", "client:1")


def names(db: Database) -> list[str]:
    with db.read() as session:
        return [card.name for card in clients.list_clients(session)]


def test_a_backup_made_while_somebody_writes_is_whole_and_comes_back(db: Database, tmp_path: Path) -> None:
    add(db, "First")
    with db.write() as session:
        clients.add_client(session, "Unfinished", "", "", "")
        session.flush()
        report = back_up(db, tmp_path / "b.sqlite")
        session.rollback()
    assert dict(report.rows)["clients"] == 1
    assert report.version == newest_version()
    assert (tmp_path / "b.sqlite").stat().st_mode & 0o077 == 0
    add(db, "Second")
    restored = restore(db, tmp_path / "b.sqlite")
    assert names(db) == ["First"]
    assert trail_is_whole(db)
    assert dict(restored.rows)["clients"] == 1
    db.close()


def test_the_database_as_it_was_is_kept_beside_the_restored_one(db: Database, tmp_path: Path) -> None:
    back_up(db, tmp_path / "b.sqlite")
    add(db, "Later")
    restore(db, tmp_path / "b.sqlite")
    assert db.path is not None
    old = open_database(f"sqlite:///{db.path}.before-restore")
    assert names(old) == ["Later"]
    old.close()
    db.close()


def test_another_process_sees_the_restored_data_at_once(db: Database, tmp_path: Path) -> None:
    back_up(db, tmp_path / "b.sqlite")
    add(db, "Later")
    other = open_database(f"sqlite:///{db.path}")
    assert names(other) == ["Later"]
    restore(db, tmp_path / "b.sqlite")
    assert names(other) == []
    add(other, "After")
    assert names(db) == ["After"]
    other.close()
    db.close()


def test_a_backup_never_replaces_a_file(db: Database, tmp_path: Path) -> None:
    (tmp_path / "b.sqlite").write_text("precious")
    with pytest.raises(BackupError, match="there already"):
        back_up(db, tmp_path / "b.sqlite")
    assert (tmp_path / "b.sqlite").read_text() == "precious"
    with pytest.raises(BackupError, match="does not exist"):
        back_up(db, tmp_path / "nowhere" / "b.sqlite")
    assert sorted(path.name for path in tmp_path.iterdir()) == ["b.sqlite", "data"]
    db.close()


def damaged(path: Path) -> None:
    """Overwrite the middle of the file, as a bad disk would."""
    content = bytearray(path.read_bytes())
    content[4096 : len(content) : 512] = b"\xff" * len(range(4096, len(content), 512))
    path.write_bytes(bytes(content))


@pytest.mark.parametrize("fault", ["not a database", "no version", "newer", "damaged", "missing"])
def test_what_is_no_good_backup_is_refused_and_the_data_stay(
    db: Database, tmp_path: Path, fault: str
) -> None:
    add(db, "Stays")
    file = tmp_path / "b.sqlite"
    back_up(db, file)
    if fault == "not a database":
        file.write_bytes(b"hello" * 1000)
    elif fault == "damaged":
        damaged(file)
    elif fault == "missing":
        file.unlink()
    else:
        with closing(sqlite3.connect(file)) as connection, connection:
            if fault == "newer":
                connection.execute("UPDATE alembic_version SET version_num = '9999_later'")
            else:
                connection.execute("DROP TABLE alembic_version")
    with pytest.raises(BackupError) as refusal:
        restore(db, file)
    assert str(refusal.value)
    assert names(db) == ["Stays"]
    assert db.path is not None
    assert sorted(path.name for path in db.path.parent.glob("*") if "upstand-" in path.name) == []
    db.close()


def test_a_database_that_somebody_is_writing_to_is_not_replaced(
    db: Database, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    back_up(db, tmp_path / "b.sqlite")
    add(db, "Stays")
    monkeypatch.setattr(backup, "PATIENCE_SECONDS", 0.1)
    with closing(sqlite3.connect(str(db.path), isolation_level=None)) as writer:
        writer.execute("BEGIN IMMEDIATE")
        with pytest.raises(BackupError, match="Stop the server"):
            restore(db, tmp_path / "b.sqlite")
        writer.execute("ROLLBACK")
    assert names(db) == ["Stays"]
    db.close()


def test_an_orphan_row_is_found(db: Database, tmp_path: Path) -> None:
    back_up(db, tmp_path / "b.sqlite")
    with closing(sqlite3.connect(tmp_path / "b.sqlite")) as connection, connection:
        connection.execute("INSERT INTO recovery_codes VALUES (1, 99, 'x')")
    with pytest.raises(BackupError, match="damaged"):
        prove(tmp_path / "b.sqlite")
    db.close()


def test_a_server_keeps_its_own_backups() -> None:
    class Elsewhere(Database):
        def __init__(self) -> None:
            pass

        @property
        def path(self) -> None:
            return None

    with pytest.raises(BackupError, match="pg_dump"):
        back_up(Elsewhere(), Path("b"))
    with pytest.raises(BackupError, match="pg_restore"):
        restore(Elsewhere(), Path("b"))


def test_a_copy_of_what_was_changed_behind_the_programs_back_is_made_and_says_so(
    db: Database, tmp_path: Path
) -> None:
    add(db, "First")
    assert back_up(db, tmp_path / "good.sqlite").faults == ()
    with db.connection() as connection:
        connection.execute(text("UPDATE audit SET what = 'nothing'"))
    report = back_up(db, tmp_path / "b.sqlite")
    assert any("trail is broken" in fault for fault in report.faults)
    assert sorted(path.name for path in tmp_path.iterdir()) == ["b.sqlite", "data", "good.sqlite"]
    assert any("trail is broken" in fault for fault in restore(db, tmp_path / "b.sqlite").faults)
    db.close()
