import sqlite3
import threading
import time
from datetime import UTC, datetime
from pathlib import Path

import pytest
from sqlalchemy import text

from app.store import audit, clients, database
from app.store.database import Database, open_database
from app.store.models import ClientRow


def fail_half_way(db: Database) -> None:
    with db.write() as session:
        clients.add_client(session, "Half", "", "", "")
        raise ZeroDivisionError


def test_a_write_block_is_kept_whole_or_not_at_all(db: Database) -> None:
    with pytest.raises(ZeroDivisionError):
        fail_half_way(db)
    with db.read() as session:
        assert clients.list_clients(session) == ()


def test_what_a_read_block_changes_is_forgotten(db: Database) -> None:
    with db.read() as session:
        clients.add_client(session, "Never", "", "", "")
    with db.read() as session:
        assert clients.list_clients(session) == ()


def test_many_writers_that_read_first_never_find_the_database_locked(db: Database) -> None:
    faults: list[Exception] = []

    def count_up() -> None:
        try:
            for _ in range(20):
                with db.write() as session:
                    row = session.get_one(ClientRow, first, with_for_update=True)
                    row.version += 1
        except Exception as fault:
            faults.append(fault)

    with db.write() as session:
        first = clients.add_client(session, "Counter", "", "", "")
    threads = [threading.Thread(target=count_up) for _ in range(4)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert faults == []
    with db.read() as session:
        found = clients.find_client(session, first)
        assert found is not None
        assert found.version == 1 + 4 * 20


def test_sqlite_is_set_up_to_survive_a_power_cut(tmp_path: Path) -> None:
    db = open_database(f"sqlite:///{tmp_path / 'x.sqlite'}")
    with db.engine.connect() as connection:
        found = {
            name: connection.execute(text(f"PRAGMA {name}")).scalar()
            for name in ("journal_mode", "synchronous", "foreign_keys", "busy_timeout")
        }
    db.close()
    assert found == {"journal_mode": "wal", "synchronous": 2, "foreign_keys": 1, "busy_timeout": 5000}


def test_a_database_in_memory_is_refused_since_threads_could_not_share_it() -> None:
    with pytest.raises(ValueError, match="needs a file"):
        open_database("sqlite:///:memory:")


def test_an_instant_without_a_zone_is_refused(db: Database) -> None:
    with pytest.raises(Exception, match="no time zone"), db.write() as session:
        audit.note(session, datetime(2026, 1, 1), "A", "b", "c")  # noqa: DTZ001


def test_a_reader_sees_one_moment_while_a_writer_commits(tmp_path: Path) -> None:
    db = open_database(f"sqlite:///{tmp_path / 'x.sqlite'}")
    with db.connection() as connection:
        connection.execute(text("CREATE TABLE t (a INTEGER)"))
    with db.read() as session:
        assert session.execute(text("SELECT count(*) FROM t")).scalar() == 0
        with sqlite3.connect(tmp_path / "x.sqlite") as other:
            other.execute("INSERT INTO t VALUES (1)")
        other.close()
        assert session.execute(text("SELECT count(*) FROM t")).scalar() == 0
    db.close()


def test_instants_come_back_aware_and_in_utc(db: Database) -> None:
    at = datetime(2026, 11, 25, 9, 30, tzinfo=UTC)
    with db.write() as session:
        audit.note(session, at, "Ada", "wrote", "x:1")
    with db.read() as session:
        assert audit.trail(session, "x:1")[0].at == at
        assert audit.trail(session, "x:1")[0].at.tzinfo is not None


def test_writers_take_turns_and_none_is_passed_over(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """SQLite alone would have each wait a twentieth of a second, and the others together take far longer."""
    monkeypatch.setattr(database, "BUSY_TIMEOUT_MS", 50)
    db = open_database(f"sqlite:///{tmp_path / 'turns.sqlite'}")
    with db.connection() as connection:
        connection.exec_driver_sql("CREATE TABLE marks (who INTEGER)")
    faults: list[Exception] = []

    def write(who: int) -> None:
        try:
            for _ in range(2):
                with db.write() as session:
                    session.execute(text("INSERT INTO marks VALUES (:who)"), {"who": who})
                    time.sleep(0.03)
        except Exception as fault:
            faults.append(fault)

    threads = [threading.Thread(target=write, args=(who,)) for who in range(16)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    with db.read() as session:
        kept = session.scalar(text("SELECT count(*) FROM marks"))
    db.close()
    assert faults == []
    assert kept == 32


def test_a_new_database_file_is_its_owners_alone_even_in_an_open_folder(tmp_path: Path) -> None:
    tmp_path.chmod(0o755)
    db = open_database(f"sqlite:///{tmp_path / 'upstand.sqlite'}")
    with db.write() as session:
        session.execute(text("CREATE TABLE one (id INTEGER)"))
        modes = {path.name: path.stat().st_mode & 0o777 for path in tmp_path.iterdir()}
    db.close()
    assert set(modes) >= {"upstand.sqlite", "upstand.sqlite-wal"}
    assert set(modes.values()) == {0o600}
