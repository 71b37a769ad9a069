"""Bringing the tables of a database to the version of the code, and telling which version they have."""

from typing import TYPE_CHECKING

from sqlalchemy import Column, Connection, MetaData, String, Table, inspect, select
from sqlalchemy.exc import OperationalError

from app.settings import MIGRATIONS
from app.store.database import Database, Unreachable, open_database

if TYPE_CHECKING:
    from alembic.config import Config

# Alembic's own table: which migration the database stands at.
_VERSION = Table("alembic_version", MetaData(), Column("version_num", String(32)))


class NewerDatabase(Exception):
    """The database was written by a newer version of the program."""


def newest_version() -> str:
    """Give the last migration this code knows; a migration's file is named by its version."""
    return max(_versions())


def version_of(connection: Connection) -> str | None:
    """Give the migration a database stands at; None when it is empty."""
    if not inspect(connection).has_table(_VERSION.name):
        return None
    return connection.scalar(select(_VERSION.c.version_num))


def is_known(version: str | None) -> bool:
    """Tell whether this code can bring a database of that version up to date."""
    return version is None or version in _versions()


def is_up_to_date(db: Database) -> bool:
    """Tell whether an open database has exactly the tables this code knows."""
    return _kept_version(db) == newest_version()


def migrate(url: str) -> None:
    """Bring the database at a URL up to date, in one transaction; Unreachable, NewerDatabase."""
    db = open_database(url)
    try:
        bring_up_to_date(db)
    finally:
        db.close()


def bring_up_to_date(db: Database) -> None:
    """Bring an open database up to date, in one transaction; NewerDatabase when it is ahead of the code."""
    version = _kept_version(db)
    if version == newest_version():
        return
    if not is_known(version):
        raise NewerDatabase(
            f"The database is at version {version}, which this program does not know. "
            "Install the newer program, or restore a backup made with this one."
        )
    go_to(db, "head")


def go_to(db: Database, version: str) -> None:
    """Take a database to a version, forward ("head") or back ("base" removes all), in one transaction."""
    # Alembic takes half a second to import: only a database that moves pays for it.
    from alembic import command  # noqa: PLC0415

    with db.connection() as connection:
        # Versions are named by their number, so that the later of two is the greater.
        is_back = version == "base" or (version != "head" and version < (version_of(connection) or ""))
        move = command.downgrade if is_back else command.upgrade
        move(_config(connection), version)


def _kept_version(db: Database) -> str | None:
    """Give the migration an open database stands at; Unreachable when it does not answer."""
    try:
        with db.engine.connect() as connection:
            return version_of(connection)
    except OperationalError as fault:
        raise Unreachable(f"The database does not answer: {fault.orig}.") from fault


def _versions() -> frozenset[str]:
    found = frozenset(path.stem for path in (MIGRATIONS / "versions").glob("*.py"))
    if not found:
        raise RuntimeError(f"no migrations in {MIGRATIONS}")
    return found


def _config(connection: Connection) -> "Config":
    """Point alembic at our migrations and at an open connection."""
    from alembic.config import Config  # noqa: PLC0415

    config = Config()
    config.set_main_option("script_location", str(MIGRATIONS))
    config.attributes["connection"] = connection
    return config
