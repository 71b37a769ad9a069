"""What the whole suite shares: the PostgreSQL server, and the sentence when there is none."""

from collections.abc import Iterator

import pytest

from app.store.database import open_database
from app.store.upgrade import bring_up_to_date
from tests import postgres
from tests.trust import disks


@pytest.fixture(scope="session")
def cluster() -> Iterator[postgres.Cluster]:
    with postgres.cluster() as running:
        running.run("CREATE DATABASE migrated")
        database = open_database(running.url("migrated"))
        bring_up_to_date(database)
        database.close()
        yield running


def pytest_terminal_summary(terminalreporter: pytest.TerminalReporter) -> None:
    """Say it where everybody sees it: a test that was not run is not a test that passed."""
    if not postgres.IS_HERE:
        terminalreporter.write_line(postgres.NOT_HERE)
    if not disks.MAY_MOUNT:
        terminalreporter.write_line(disks.NOT_HERE)
