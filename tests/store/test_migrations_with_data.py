"""Data of every earlier version of the tables come forward whole, and go back as they were.

`fixtures/tables_<version>.zip` is the demo firm (invented) as exported at that version: a release adds one.
"""

import json
import zipfile
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from sqlalchemy import select, text

from app.settings import MIGRATIONS
from app.store.check import check
from app.store.database import Database, open_database
from app.store.upgrade import go_to, is_up_to_date, newest_version
from app.store.whole_firm import export_firm, import_firm, tables_of
from tests import postgres
from tests.store.test_check import NOW

FIXTURES = sorted(Path(__file__).with_name("fixtures").glob("tables_*.zip"))
VERSIONS = sorted(path.stem for path in (MIGRATIONS / "versions").glob("*.py"))


@pytest.fixture(params=["sqlite", *(["postgresql"] if postgres.IS_HERE else [])])
def empty(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[Database]:
    if request.param == "postgresql":
        found = open_database(request.getfixturevalue("cluster").make())
    else:
        found = open_database(f"sqlite:///{tmp_path / 'upstand.sqlite'}")
    yield found
    found.close()


def tables(path: Path) -> dict[str, Any]:
    with zipfile.ZipFile(path) as archive:
        names = [name for name in archive.namelist() if name.startswith("tables/")]
        return {name: json.loads(archive.read(name)) for name in names}


@pytest.mark.parametrize("fixture", FIXTURES, ids=[path.stem for path in FIXTURES])
def test_data_of_an_earlier_version_come_forward_and_go_back(
    empty: Database, tmp_path: Path, fixture: Path
) -> None:
    report = import_firm(empty, fixture)
    assert is_up_to_date(empty)
    assert check(empty).faults == ()
    with empty.read() as session:
        roles = session.execute(text("SELECT role FROM staff ORDER BY id")).scalars().all()
    assert roles == ["owner", "office"]
    for version in reversed([one for one in VERSIONS if report.version <= one < newest_version()]):
        go_to(empty, version)
    export_firm(empty, tmp_path / "back.zip", NOW)
    assert tables(tmp_path / "back.zip") == tables(fixture)


def test_going_back_to_the_first_tables_and_forward_keeps_what_both_have(empty: Database) -> None:
    import_firm(empty, FIXTURES[-1])
    kept = ("clients", "staff", "audit")
    before = rows_of(empty, kept)
    for version in reversed(VERSIONS[:-1]):
        go_to(empty, version)
    go_to(empty, "head")
    assert rows_of(empty, kept) == before
    assert all(before.values())


def rows_of(db: Database, names: tuple[str, ...]) -> dict[str, list[Any]]:
    with db.connection() as connection:
        return {
            table.name: [tuple(row) for row in connection.execute(select(table).order_by(table.c.id))]
            for table in tables_of(connection)
            if table.name in names
        }
