"""Rows for any table, made from its columns alone: a table of tomorrow is filled without a word here."""

from datetime import UTC, date, datetime
from decimal import Decimal
from typing import Any

from sqlalchemy import Column, Connection, LargeBinary, Table, func, insert, select

from app.store.database import Database
from app.store.models import Base
from app.store.models.base import Exact, Instant

AT = datetime(2026, 5, 4, 9, 30, 15, 123456, tzinfo=UTC)


def add_row(connection: Connection, table: Table, **given: Any) -> Any:
    """Add a row of made-up values and give its key; what it points to is made first where none is there."""
    values = {column.name: _value(connection, column) for column in table.columns}
    values |= given
    # A key that the database numbers is left to it.
    if table.autoincrement_column is not None and table.autoincrement_column.name not in given:
        del values[table.autoincrement_column.name]
    key = connection.execute(insert(table), values).inserted_primary_key
    return key[0] if key else None


def fill_every_table(connection: Connection) -> None:
    """Add one row at least to every table there is."""
    for table in Base.metadata.sorted_tables:
        if not connection.scalar(select(func.count()).select_from(table)):
            add_row(connection, table)


def everything_kept(db: Database) -> str:
    """Give all that a database holds: every cell of every table and, of a file, its bytes as they lie."""
    with db.engine.connect() as connection:
        tables = [repr(list(connection.execute(select(table)))) for table in Base.metadata.sorted_tables]
    files = [] if db.path is None else sorted(db.path.parent.glob(f"{db.path.name}*"))
    return "\n".join((*tables, *(path.read_bytes().decode("latin-1") for path in files)))


def _value(connection: Connection, column: Column[Any]) -> Any:
    for key in column.foreign_keys:
        target = key.column
        found = connection.scalar(select(target).order_by(target.desc()).limit(1))
        return found if found is not None else add_row(connection, target.table)
    kind: Any = column.type
    if isinstance(kind, Exact):
        return Decimal("1234567.10")
    if isinstance(kind, Instant):
        return AT
    if isinstance(kind, LargeBinary):
        return b"%PDF \x00\xff " + column.name.encode()
    if kind.python_type is str:
        longest = getattr(kind, "length", None) or 60
        return ("{}" if column.name == "document" else f"‘{column.name}’ =1\n\u2028é")[:longest]
    # A table of one row numbers it 1.
    of_kind = {bool: True, int: 1 if column.primary_key else 7, float: 0.1, date: date(2026, 2, 28)}
    return of_kind[kind.python_type]
