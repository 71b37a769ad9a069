"""A fresh database file for each test, or a PostgreSQL one when UPSTAND_TEST_DATABASE_URL names a server."""

import os
from collections.abc import Iterator
from pathlib import Path

import pytest

from app.store.database import Database, open_database
from app.store.upgrade import bring_up_to_date, go_to


@pytest.fixture
def db(tmp_path: Path) -> Iterator[Database]:
    url = os.environ.get("UPSTAND_TEST_DATABASE_URL")
    database = open_database(url or f"sqlite:///{tmp_path / 'upstand.sqlite'}")
    if url:
        go_to(database, "base")
    bring_up_to_date(database)
    yield database
    database.close()
