"""Backup and restore of the database file, online and proved before anything is replaced."""

import os
import sqlite3
import tempfile
import time
from collections.abc import Callable
from contextlib import closing
from dataclasses import dataclass
from pathlib import Path

from sqlalchemy.orm import Session

from app.store import audit
from app.store.check import check
from app.store.database import Database, open_database
from app.store.models import Base
from app.store.upgrade import bring_up_to_date, is_known, newest_version

PATIENCE_SECONDS = 10.0


class BackupError(Exception):
    """A backup or restore that was not done, with the reason as a sentence; nothing was replaced."""


@dataclass(frozen=True, slots=True)
class BackupReport:
    """A proved copy: where, how large, the schema's version, how many rows each table holds.

    `faults` tells what in it is not as it was written: a copy of what was changed behind the program's back
    is still a whole copy, and better than none.
    """

    path: Path
    size_bytes: int
    version: str
    rows: tuple[tuple[str, int], ...]
    faults: tuple[str, ...] = ()


def back_up(db: Database, target: Path) -> BackupReport:
    """Copy the database to a new file while it is in use, and prove the copy."""
    source = _own_file(db)
    if target.exists():
        raise BackupError(f"{target} is there already; a backup never replaces a file. Name another one.")
    if not target.parent.is_dir():
        raise BackupError(f"The folder {target.parent} does not exist; make it first.")
    if not source.is_file():
        raise BackupError(f"There is no database at {source} yet, so there is nothing to back up.")
    with tempfile.TemporaryDirectory(dir=target.parent, prefix=".upstand-backup-") as scratch:
        copy = Path(scratch) / "copy.sqlite"
        _copy(source, copy)
        report = prove(copy)
        faults = _changed_in(copy, report.version)
        copy.chmod(0o600)
        _make_durable(copy)
        _give_name(copy, target)
    return BackupReport(target, target.stat().st_size, report.version, report.rows, faults)


def restore(db: Database, backup: Path) -> BackupReport:
    """Put a backup in place of the database, after proving a copy of it; the old file is kept beside it."""
    target = _own_file(db)
    if not backup.is_file():
        raise BackupError(f"There is no file {backup}.")
    with tempfile.TemporaryDirectory(dir=target.parent, prefix=".upstand-restore-") as scratch:
        copy = Path(scratch) / "copy.sqlite"
        _copy(backup, copy)
        prove(copy)
        fresh = open_database(f"sqlite:///{copy}")
        bring_up_to_date(fresh)
        fresh.close()
        report = prove(copy)
        faults = _changed_in(copy, report.version)
        db.close()
        _keep_old(target)
        _replace_content(copy, target)
    return BackupReport(target, target.stat().st_size, report.version, report.rows, faults)


def prove(path: Path) -> BackupReport:
    """Check that a file is a whole database of ours and give what is in it; BackupError when not."""
    try:
        with closing(sqlite3.connect(path)) as connection:
            faults = [row[0] for row in connection.execute("PRAGMA integrity_check")]
            orphans = connection.execute("PRAGMA foreign_key_check").fetchall()
            version = _version(connection)
            if not is_known(version):
                raise BackupError(
                    f"{path} was written by a newer program (tables {version}); install that one first."
                )
            rows = _count_rows(connection)
    except sqlite3.DatabaseError as fault:
        raise BackupError(f"{path} is not a readable database: {fault}.") from fault
    if faults != ["ok"] or orphans:
        raise BackupError(f"{path} is damaged: {'; '.join(map(str, faults + orphans))[:400]}.")
    return BackupReport(path, path.stat().st_size, version, rows)


def _changed_in(copy: Path, version: str) -> tuple[str, ...]:
    """Hold the scratch copy's trail, job files, offers and signatures against their hashes."""
    if version != newest_version():
        return ()  # tables of an earlier program: proved once they are brought forward
    scratch = open_database(f"sqlite:///{copy}")
    try:
        return check(scratch).faults
    finally:
        scratch.close()
        with closing(sqlite3.connect(copy)) as connection:
            connection.execute("PRAGMA journal_mode=DELETE")  # one file again, without a log beside it


def trail_is_whole(db: Database) -> bool:
    """Tell whether the audit trail's hashes follow from one another."""
    with db.read() as session:
        return _trail_is_whole(session)


def _trail_is_whole(session: Session) -> bool:
    return audit.first_broken_link(session) is None


def _own_file(db: Database) -> Path:
    if db.path is None:
        raise BackupError(
            "The data is kept by a database server. Use its own tools: pg_dump --format=custom to back up, "
            "pg_restore to restore."
        )
    return db.path


def _copy(source: Path, target: Path) -> None:
    """Copy a database of which others may be writing, page by page, as one moment."""
    try:
        with (
            closing(sqlite3.connect(f"{source.absolute().as_uri()}?mode=ro", uri=True)) as old,
            closing(sqlite3.connect(target)) as new,
        ):
            old.backup(new)
            new.execute("PRAGMA journal_mode=DELETE")
    except sqlite3.DatabaseError as fault:
        raise BackupError(f"{source} is not a readable database: {fault}.") from fault


def _keep_old(target: Path) -> None:
    """Keep the database that is about to be replaced, beside it."""
    if target.exists():
        before = target.with_name(f"{target.name}.before-restore")
        before.unlink(missing_ok=True)
        _copy(target, before)
        _make_durable(before)


def _replace_content(source: Path, target: Path) -> None:
    """Write one database over another through SQLite, so that open connections see it whole or not."""
    try:
        with closing(sqlite3.connect(source)) as new, closing(sqlite3.connect(target, timeout=0)) as live:
            live.execute("PRAGMA journal_mode=WAL")
            live.execute("PRAGMA synchronous=FULL")
            new.backup(live, progress=_patience())
    except (sqlite3.OperationalError, TimeoutError) as fault:
        raise BackupError(
            f"The database is as it was and could not be replaced: {fault}. Stop the server and try again."
        ) from fault


def _patience() -> Callable[[int, int, int], None]:
    """Give what a copy calls after each step: by itself it would wait for a lock without end."""
    end = time.monotonic() + PATIENCE_SECONDS

    def watch(status: int, _left: int, _total: int) -> None:
        if status in {sqlite3.SQLITE_BUSY, sqlite3.SQLITE_LOCKED} and time.monotonic() > end:
            raise TimeoutError("somebody is writing to it")

    return watch


def _version(connection: sqlite3.Connection) -> str:
    try:
        row = connection.execute("SELECT version_num FROM alembic_version").fetchone()
    except sqlite3.OperationalError:
        row = None
    if row is None:
        raise BackupError("The file is a database, but not one of Upstand: it has no version of its tables.")
    return str(row[0])


def _count_rows(connection: sqlite3.Connection) -> tuple[tuple[str, int], ...]:
    present = {row[0] for row in connection.execute("SELECT name FROM sqlite_master WHERE type='table'")}
    names = sorted(set(Base.metadata.tables) & present)
    return tuple(
        (name, connection.execute(f'SELECT count(*) FROM "{name}"').fetchone()[0])  # noqa: S608
        for name in names
    )


def _give_name(copy: Path, target: Path) -> None:
    """Let a finished copy appear under its name, unless somebody took that name meanwhile."""
    try:
        # A hard link fails when the name is taken; a rename would replace that file.
        os.link(copy, target)
        _make_durable(target.parent)
    except OSError as fault:
        raise BackupError(f"{target} could not be made: {fault.strerror}.") from fault


def _make_durable(path: Path) -> None:
    handle = os.open(path, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)
