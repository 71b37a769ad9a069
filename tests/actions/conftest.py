"""A database with the demo shop and one owner, fresh for each test; a printer that is quick.

With UPSTAND_TEST_DATABASE_URL the same tests run on that server, whose tables are removed first.
"""

import os
import shutil
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import pytest

from app.actions.clients import add_client
from app.actions.database import Database, migrate, open_database
from app.actions.jobs import add_job
from app.actions.records import ProposalInputs, StaffMember
from app.actions.shop_files import put_shop_files, read_shop_files
from app.actions.sign_in import make_owner
from app.job.file import write_job
from app.settings import SEED_DATA
from app.store.upgrade import go_to
from tests import trail_watch
from tests.builders import a_job

NOW = datetime(2026, 5, 4, 12, 0, tzinfo=UTC)
PASSWORD = "harbour wind and cedar"


SERVER = os.environ.get("UPSTAND_TEST_DATABASE_URL", "")


def fill(db: Database) -> None:
    with db.write() as session:
        put_shop_files(session, read_shop_files(SEED_DATA / "shop"), "Test", NOW)
    make_owner(db, "Maren", "maren@example.org", PASSWORD, NOW)


@pytest.fixture(scope="session")
def filled(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("filled") / "upstand.sqlite"
    migrate(f"sqlite:///{path}")
    db = open_database(f"sqlite:///{path}")
    fill(db)
    db.close()
    return path


@pytest.fixture(scope="module")
def opened(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Database]:
    """One engine for the tests of a file, since each works out anew how to say its SQL."""
    database = open_database(f"sqlite:///{tmp_path_factory.mktemp('opened') / 'upstand.sqlite'}")
    yield database
    database.close()


@pytest.fixture
def db(request: pytest.FixtureRequest) -> Iterator[Database]:
    """A database as filled: on a server its tables made anew, else the file put in place of the last one."""
    if SERVER:
        database = open_database(SERVER)
        go_to(database, "base")
        go_to(database, "head")
        fill(database)
    else:
        database = request.getfixturevalue("opened")
        database.close()
        assert database.path
        for left in database.path.parent.iterdir():
            left.unlink()
        shutil.copy(request.getfixturevalue("filled"), database.path)
    with trail_watch.watching(database) as unnoted:
        yield database
    database.close()
    assert not unnoted, "the shop was changed past the trail"


@pytest.fixture
def owner() -> StaffMember:
    return StaffMember(1, "Maren", "maren@example.org", "owner")


@pytest.fixture
def other() -> StaffMember:
    return StaffMember(2, "Tor", "tor@example.org", "office")


@dataclass
class Printer:
    """Prints what identifies a proposal, and keeps what it was given."""

    printed: list[ProposalInputs]

    def __call__(self, inputs: ProposalInputs) -> bytes:
        self.printed.append(inputs)
        return f"%PDF {inputs.revision.number} {inputs.revision.fingerprint}".encode()


@pytest.fixture
def printer() -> Printer:
    return Printer([])


@pytest.fixture
def document() -> dict[str, Any]:
    return write_job(a_job())


@pytest.fixture
def job_id(db: Database, owner: StaffMember, document: dict[str, Any]) -> int:
    client_id = add_client(db, owner, "Ines Haugan", "ines@example.org", "", "9 Quay Rise", NOW)
    return add_job(db, owner, client_id, "Quay deck", document, NOW)
