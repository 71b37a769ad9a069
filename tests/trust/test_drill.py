"""The drill on a whole firm: a backup brought back, and an export read elsewhere, equal what was there."""

import json
import shutil
import sqlite3
import zipfile
from contextlib import closing
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import pytest

from app.actions.backup import back_up, check, export_firm, import_firm, restore
from app.actions.clients import add_client
from app.actions.database import Database, open_database
from app.actions.records import StaffMember
from tests import postgres
from tests.trust.kill import Template


def kept(db: Database, path: Path) -> dict[str, Any]:
    """Give everything a firm has entered, as an export tells it."""
    export_firm(db, path, datetime.now(UTC))
    with zipfile.ZipFile(path) as archive:
        named = [name for name in archive.namelist() if name.startswith(("tables/", "files/", "job-files/"))]
        return {name: archive.read(name) for name in named}


def test_a_backup_brought_back_is_the_firm_as_it_was(template: Template, tmp_path: Path) -> None:
    db = open_database(f"sqlite:///{shutil.copy(template.path, tmp_path / 'upstand.sqlite')}")
    before = kept(db, tmp_path / "before.zip")
    assert back_up(db, tmp_path / "b.sqlite").faults == ()
    owner = StaffMember(1, "Ada", "ada@example.org", "owner")
    for number in range(20):
        add_client(db, owner, f"After {number}", "", "", "", datetime.now(UTC))
    with db.connection() as connection:
        connection.exec_driver_sql("DELETE FROM price_items WHERE item NOT IN (SELECT item FROM prices_from)")
    assert restore(db, tmp_path / "b.sqlite").faults == ()
    assert kept(db, tmp_path / "after.zip") == before
    assert len(json.loads(before["tables/jobs.json"])) == 3
    with closing(sqlite3.connect(tmp_path / "upstand.sqlite")) as connection:
        assert connection.execute("PRAGMA integrity_check").fetchone() == ("ok",)
    db.close()


@pytest.mark.parametrize("kind", ["sqlite", *(["postgresql"] if postgres.IS_HERE else [])])
def test_a_whole_firm_read_elsewhere_is_equal(
    template: Template, tmp_path: Path, kind: str, request: pytest.FixtureRequest
) -> None:
    db = open_database(f"sqlite:///{shutil.copy(template.path, tmp_path / 'upstand.sqlite')}")
    before = kept(db, tmp_path / "firm.zip")
    url = f"sqlite:///{tmp_path / 'other.sqlite'}"
    other = open_database(request.getfixturevalue("cluster").make() if kind == "postgresql" else url)
    import_firm(other, tmp_path / "firm.zip")
    assert kept(other, tmp_path / "again.zip") == before
    assert check(other).faults == ()
    db.close()
    other.close()
