"""A fresh database for each test: an SQLite file, and a PostgreSQL one where its program is installed."""

from collections.abc import Iterator
from pathlib import Path

import pytest

from app.store.database import Database, open_database
from app.store.upgrade import bring_up_to_date
from tests import postgres


@pytest.fixture(params=["sqlite", *(["postgresql"] if postgres.IS_HERE else [])])
def db(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[Database]:
    if request.param == "postgresql":
        database = open_database(request.getfixturevalue("cluster").make("migrated"))
    else:
        database = open_database(f"sqlite:///{tmp_path / 'upstand.sqlite'}")
        bring_up_to_date(database)
    yield database
    database.close()
