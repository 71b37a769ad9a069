"""The database: one connection pool, one transaction for each `read` or `write` block.

SQLite is set up here and nowhere else; every other line of the store speaks to any database.
"""

import logging
import os
import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from threading import RLock
from typing import Any

from sqlalchemy import Connection, Engine, create_engine, event, make_url
from sqlalchemy.exc import (
    ArgumentError,
    DataError,
    DBAPIError,
    IntegrityError,
    InterfaceError,
    NoSuchModuleError,
    ProgrammingError,
)
from sqlalchemy.orm import Session

from app.store.kept import Kept

LONGEST_TURN_S = 30.0
BUSY_TIMEOUT_MS = 5000
log = logging.getLogger("upstand.store")


class Unreachable(Exception):
    """The database cannot be opened, or does not answer."""


class NotKept(Exception):
    """The database could not do what was asked; nothing of it was kept. The text is for whoever asked."""


# What SQLite and PostgreSQL say, and what that means to whoever is at the desk.
_SENTENCES = (
    ("full", "The disk is full. Nothing was saved: make room on the server, then try again."),
    ("no space left", "The disk is full. Nothing was saved: make room on the server, then try again."),
    ("readonly", "The data folder cannot be written to. Nothing was saved: look at its rights and its disk."),
    ("read-only", "The database takes no changes at the moment. Nothing was saved."),
    ("locked", "Somebody else is writing at this moment. Nothing was saved: try again."),
    ("malformed", "The database file is damaged. Stop the server, run upstand check, restore a backup."),
    ("not a database", "The database file is damaged. Stop the server, run upstand check, restore a backup."),
    ("i/o error", "The disk does not take or give the data. Nothing was saved: look at the server's disk."),
    ("unable to open", "The database file cannot be opened. Look whether its disk is there and writable."),
    ("connection", "The database server does not answer. Nothing was saved: try again in a while."),
)


def sentence_for(fault: DBAPIError) -> str:
    """Give what a fault of the database means, in a sentence; empty when it is a fault of the program."""
    if isinstance(fault, IntegrityError | ProgrammingError | DataError | InterfaceError):
        return ""
    said = str(fault.orig).lower()
    return next((sentence for word, sentence in _SENTENCES if word in said), "")


@contextmanager
def _said_plainly() -> Iterator[None]:
    """Turn what a disk or a server does to the database into a sentence."""
    try:
        yield
    except DBAPIError as fault:
        sentence = sentence_for(fault)
        if not sentence:
            raise
        log.exception("the database failed")
        raise NotKept(sentence) from fault


class Database:
    """An open database, shared by the threads of one process."""

    def __init__(self, engine: Engine) -> None:
        self.engine = engine
        self._writer = engine.execution_options(is_writer=True)
        # Threads queue here for a file's one writer: left to SQLite each would sleep and try again, and on a
        # busy machine one of many could be passed over until its time runs out. Another process still may.
        self._queue = RLock()
        self.kept = Kept()

    @property
    def is_sqlite(self) -> bool:
        """Whether the database is a file of our own."""
        return self.engine.dialect.name == "sqlite"

    @property
    def path(self) -> Path | None:
        """Where the file lies; None when a server keeps the data."""
        name = self.engine.url.database
        return Path(name) if self.is_sqlite and name else None

    @contextmanager
    def read(self) -> Iterator[Session]:
        """Give one transaction that only reads: it sees one moment and is always rolled back."""
        with _said_plainly(), Session(self.engine, autoflush=False) as session:
            yield session
            session.rollback()

    @contextmanager
    def look(self) -> Iterator[Connection]:
        """Give one transaction that reads columns only: what every page asks, at half the cost of rows."""
        with _said_plainly(), self.engine.connect() as connection:
            yield connection

    @contextmanager
    def write(self) -> Iterator[Session]:
        """Give one transaction that writes: kept whole at the end of the block, or not at all."""
        with self._turn(), _said_plainly(), Session(self._writer) as session, session.begin():
            yield session

    @contextmanager
    def _turn(self) -> Iterator[None]:
        """Wait for our turn to write, though not for ever: then SQLite says how it stands."""
        has_turn = self.is_sqlite and self._queue.acquire(timeout=LONGEST_TURN_S)
        try:
            yield
        finally:
            if has_turn:
                self._queue.release()

    @contextmanager
    def connection(self) -> Iterator[Connection]:
        """Give one writing connection, for migrations."""
        with self._writer.begin() as connection:
            yield connection

    def close(self) -> None:
        """Close all connections, and forget what was read through them."""
        self.kept.clear()
        self.engine.dispose()


def open_database(url: str) -> Database:
    """Open the database at a URL; a missing folder for an SQLite file is made. Unreachable, ValueError."""
    try:
        parsed = make_url(url)
        if parsed.get_backend_name() != "sqlite":
            return Database(create_engine(parsed, pool_pre_ping=True))
    except (ArgumentError, NoSuchModuleError, ModuleNotFoundError) as fault:
        raise Unreachable(f"The database cannot be opened: {fault}.") from fault
    if not parsed.database or parsed.database == ":memory:":
        raise ValueError(f"{url}: an SQLite database needs a file, since several threads share it")
    # Names, addresses and prices are nobody else's business: a new folder is private.
    try:
        Path(parsed.database).parent.mkdir(mode=0o700, parents=True, exist_ok=True)
    except OSError as fault:
        raise Unreachable(f"The database cannot be opened: {fault}.") from fault
    engine = create_engine(parsed)
    event.listen(engine, "do_connect", lambda *_: _begin_private(Path(parsed.database or "")))
    event.listen(engine, "connect", _set_up_sqlite)
    event.listen(engine, "begin", _begin_sqlite)
    return Database(engine)


def _begin_private(path: Path) -> None:
    """Make a new file its owner's alone, whatever the folder lets in; what SQLite puts beside it follows."""
    if not path.exists() and os.access(path.parent, os.W_OK):
        os.close(os.open(path, os.O_CREAT | os.O_WRONLY, 0o600))


def _set_up_sqlite(connection: sqlite3.Connection, _record: Any) -> None:
    """Take transactions into our own hands and make commits durable."""
    # sqlite3 would otherwise begin transactions by itself, late and never for reads.
    connection.isolation_level = None
    cursor = connection.cursor()
    cursor.execute(f"PRAGMA busy_timeout={BUSY_TIMEOUT_MS}")
    cursor.execute("PRAGMA journal_mode=WAL")
    # FULL, since a sign-off that was acknowledged must survive a power cut; NORMAL may lose it.
    cursor.execute("PRAGMA synchronous=FULL")
    cursor.execute("PRAGMA foreign_keys=ON")
    cursor.close()


def _begin_sqlite(connection: Connection) -> None:
    """Begin; a writer takes its lock at once, because a reader cannot become a writer under load."""
    is_writer = connection.get_execution_options().get("is_writer", False)
    connection.exec_driver_sql("BEGIN IMMEDIATE" if is_writer else "BEGIN")
