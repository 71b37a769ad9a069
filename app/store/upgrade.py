"""Bringing the tables of a database to the version of the code, and telling which version they have."""

from alembic import command
from alembic.config import Config
from alembic.runtime.migration import MigrationContext
from alembic.script import ScriptDirectory
from sqlalchemy import Connection
from sqlalchemy.exc import ArgumentError, NoSuchModuleError, OperationalError

from app.settings import MIGRATIONS
from app.store.database import Database, open_database


class NewerDatabase(Exception):
    """The database was written by a newer version of the program."""


class Unreachable(Exception):
    """The database cannot be opened or does not answer."""


def newest_version() -> str:
    """Give the last migration this code knows."""
    head = ScriptDirectory.from_config(_config()).get_current_head()
    if head is None:
        raise RuntimeError(f"no migrations in {MIGRATIONS}")
    return head


def version_of(connection: Connection) -> str | None:
    """Give the migration a database stands at; None when it is empty."""
    return MigrationContext.configure(connection).get_current_revision()


def is_known(version: str | None) -> bool:
    """Tell whether this code can bring a database of that version up to date."""
    if version is None:
        return True
    known = {script.revision for script in ScriptDirectory.from_config(_config()).walk_revisions()}
    return version in known


def is_up_to_date(db: Database) -> bool:
    """Tell whether an open database has exactly the tables this code knows."""
    with db.engine.connect() as connection:
        return version_of(connection) == newest_version()


def migrate(url: str) -> None:
    """Bring the database at a URL up to date, in one transaction; Unreachable, NewerDatabase."""
    try:
        db = open_database(url)
    except (ArgumentError, NoSuchModuleError, ModuleNotFoundError, OSError, ValueError) as fault:
        raise Unreachable(f"The database cannot be opened: {fault}") from fault
    try:
        bring_up_to_date(db)
    except OperationalError as fault:
        raise Unreachable(f"The database does not answer: {fault.orig}") from fault
    finally:
        db.close()


def bring_up_to_date(db: Database) -> None:
    """Bring an open database up to date, in one transaction; NewerDatabase when it is ahead of the code."""
    with db.engine.connect() as connection:
        version = version_of(connection)
    if version == newest_version():
        return
    if not is_known(version):
        raise NewerDatabase(
            f"The database is at version {version}, which this program does not know. "
            "Install the newer program, or restore a backup made with this one."
        )
    with db.connection() as connection:
        command.upgrade(_config(connection), "head")


def go_to(db: Database, version: str) -> None:
    """Take a database forward or back to one version ("base" removes every table)."""
    with db.connection() as connection:
        config = _config(connection)
        if version == "base" or (version != "head" and version != newest_version()):
            command.downgrade(config, version)
        else:
            command.upgrade(config, version)


def _config(connection: Connection | None = None) -> Config:
    """Point alembic at our migrations and, when given, at an open connection."""
    config = Config()
    config.set_main_option("script_location", str(MIGRATIONS))
    config.attributes["connection"] = connection
    return config
