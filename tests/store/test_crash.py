"""A writer killed at any moment leaves whole transactions only, and none that it reported done."""

import sqlite3
import subprocess
import sys
import time
from contextlib import closing
from pathlib import Path

import pytest

from app.store import audit
from app.store.database import open_database
from app.store.upgrade import migrate

WRITER = """
import sys
from datetime import UTC, datetime
from app.store import audit, clients
from app.store.database import open_database
db = open_database(sys.argv[1])
number = 0
while True:
    number += 1
    with db.write() as session:
        clients.add_client(session, f"client {number}", "", "", "")
        audit.note(session, datetime.now(UTC), "writer", f"added {number}", "clients")
    print(number, flush=True)
"""


@pytest.mark.parametrize("seconds", [0.02, 0.05, 0.11])
def test_a_killed_writer_loses_nothing_it_reported_and_leaves_nothing_half(
    tmp_path: Path, seconds: float
) -> None:
    path = tmp_path / "upstand.sqlite"
    migrate(f"sqlite:///{path}")
    command = [sys.executable, "-c", WRITER, f"sqlite:///{path}"]
    with subprocess.Popen(command, stdout=subprocess.PIPE, text=True) as writer:
        assert writer.stdout is not None
        writer.stdout.readline()
        time.sleep(seconds)
        writer.kill()
        reported = [int(line) for line in writer.stdout.read().split()]
    with closing(sqlite3.connect(path)) as connection:
        assert connection.execute("PRAGMA integrity_check").fetchone() == ("ok",)
        clients = connection.execute("SELECT count(*) FROM clients").fetchone()[0]
        rows = connection.execute("SELECT count(*) FROM audit").fetchone()[0]
    assert clients == rows >= max(reported, default=1)
    db = open_database(f"sqlite:///{path}")
    with db.read() as session:
        assert audit.first_broken_link(session) is None
    db.close()
