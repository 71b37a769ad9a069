"""The base of all tables, and the two column types that every database must keep exactly."""

from datetime import UTC, datetime
from decimal import Decimal
from typing import Any, TypeVar

from sqlalchemy import DateTime, Dialect, MetaData, String, event
from sqlalchemy.orm import DeclarativeBase, Mapper, object_session
from sqlalchemy.types import TypeDecorator


class Instant(TypeDecorator[datetime]):
    """An aware instant in UTC; SQLite keeps no zone, so it is put back on reading."""

    impl = DateTime(timezone=True)
    cache_ok = True

    def process_bind_param(self, value: datetime | None, dialect: Dialect) -> datetime | None:
        """Refuse a naive instant, store the rest in UTC."""
        if value is None:
            return None
        if value.tzinfo is None:
            raise ValueError(f"{value!r} has no time zone")
        return value.astimezone(UTC)

    def process_result_value(self, value: datetime | None, dialect: Dialect) -> datetime | None:
        """Give the instant back in UTC."""
        if value is None:
            return None
        return value.replace(tzinfo=UTC) if value.tzinfo is None else value.astimezone(UTC)


class Exact(TypeDecorator[Decimal]):
    """A decimal kept as text, since SQLite would make it a binary fraction."""

    impl = String(40)
    cache_ok = True

    def process_bind_param(self, value: Decimal | None, dialect: Dialect) -> str | None:
        """Write every digit."""
        return None if value is None else format(value, "f")

    def process_result_value(self, value: str | None, dialect: Dialect) -> Decimal | None:
        """Read every digit."""
        return None if value is None else Decimal(value)


class Base(DeclarativeBase):
    """All tables; names of keys are fixed so that migrations can name them."""

    metadata = MetaData(
        naming_convention={
            "ix": "ix_%(column_0_label)s",
            "uq": "uq_%(table_name)s_%(column_0_name)s",
            "ck": "ck_%(table_name)s_%(constraint_name)s",
            "fk": "fk_%(table_name)s_%(column_0_name)s_%(referred_table_name)s",
            "pk": "pk_%(table_name)s",
        }
    )


class AppendOnlyError(Exception):
    """A row that may only be added was about to be changed or removed."""


Row = TypeVar("Row", bound=type[Base])


def append_only(row: Row) -> Row:
    """Mark a table as one whose rows are never changed or removed through the store."""

    def refuse(_mapper: Mapper[Any], _connection: object, target: Base) -> None:
        session = object_session(target)
        if session is None or session.is_modified(target) or target in session.deleted:
            raise AppendOnlyError(f"{row.__name__} rows are only ever added")

    event.listen(row, "before_update", refuse)
    event.listen(row, "before_delete", refuse)
    return row
