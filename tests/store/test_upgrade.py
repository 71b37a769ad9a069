from pathlib import Path

import pytest
from alembic.autogenerate import compare_metadata
from alembic.config import Config
from alembic.runtime.migration import MigrationContext
from alembic.script import ScriptDirectory
from sqlalchemy import inspect, text

from app.settings import MIGRATIONS
from app.store.database import Database, Unreachable, open_database
from app.store.models import Base
from app.store.upgrade import (
    NewerDatabase,
    bring_up_to_date,
    go_to,
    is_known,
    migrate,
    newest_version,
    version_of,
)


def test_the_migrations_make_exactly_the_tables_of_the_models(db: Database) -> None:
    with db.engine.connect() as connection:
        context = MigrationContext.configure(connection, opts={"compare_type": True})
        assert compare_metadata(context, Base.metadata) == []


def test_the_way_back_removes_every_table_and_the_way_forward_brings_them_again(db: Database) -> None:
    go_to(db, "base")
    assert set(inspect(db.engine).get_table_names()) == {"alembic_version"}
    go_to(db, "head")
    assert set(Base.metadata.tables) < set(inspect(db.engine).get_table_names())


def test_migrating_twice_changes_nothing(tmp_path: Path) -> None:
    url = f"sqlite:///{tmp_path / 'new folder' / 'upstand.sqlite'}"
    migrate(url)
    migrate(url)
    db = open_database(url)
    with db.engine.connect() as connection:
        assert version_of(connection) == newest_version()
    db.close()


def test_a_database_from_a_newer_program_is_refused_and_left_as_it_is(db: Database) -> None:
    with db.connection() as connection:
        connection.execute(text("UPDATE alembic_version SET version_num = '9999_later'"))
    with pytest.raises(NewerDatabase, match="9999_later"):
        bring_up_to_date(db)
    with db.engine.connect() as connection:
        assert version_of(connection) == "9999_later"
    with db.connection() as connection:
        connection.execute(text("UPDATE alembic_version SET version_num = :v"), {"v": newest_version()})


def test_the_newest_version_by_name_is_the_head_of_the_migrations() -> None:
    config = Config()
    config.set_main_option("script_location", str(MIGRATIONS))
    scripts = ScriptDirectory.from_config(config)
    assert scripts.get_heads() == [newest_version()]
    assert all(Path(script.path).stem == script.revision for script in scripts.walk_revisions())


@pytest.mark.parametrize(
    ("url", "message"),
    [
        ("nonsense", "cannot be opened"),
        ("no-such-kind://host/name", "cannot be opened"),
        ("sqlite:////proc/none/upstand.sqlite", "cannot be opened"),
    ],
)
def test_a_database_that_cannot_be_had_says_so(url: str, message: str) -> None:
    with pytest.raises(Unreachable, match=message):
        migrate(url)


def test_a_version_is_known_only_when_a_migration_makes_it() -> None:
    assert is_known(None)
    assert is_known(newest_version())
    assert not is_known("9999_later")
