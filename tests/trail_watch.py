"""What is kept of the shop holds as long as the trail has no newer row: no write may go past the trail."""

import re
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

from sqlalchemy import Connection, event

from app.actions.database import Database

# What is read through `app.actions.as_it_stands`.
READ = (
    "shop",
    "rules",
    "crews",
    "days_off",
    "wording",
    "assemblies",
    "price_items",
    "prices_from",
    "work_rules",
)
_WRITE = re.compile(rf"\s*(?:INSERT INTO|UPDATE|DELETE FROM) ({'|'.join(READ)})\b", re.I)
_NOTE = re.compile(r"\s*INSERT INTO audit\b", re.I)


@contextmanager
def watching(db: Database) -> Iterator[list[str]]:
    """Gather each write to the shop that was committed without a row in the trail."""
    unnoted: list[str] = []

    def begun(connection: Connection) -> None:
        connection.info["shop writes"], connection.info["is noted"] = [], False

    def said(connection: Connection, _cursor: Any, statement: str, *_: Any) -> None:
        if _WRITE.match(statement):
            connection.info.setdefault("shop writes", []).append(statement)
        elif _NOTE.match(statement):
            connection.info["is noted"] = True

    def kept(connection: Connection) -> None:
        if not connection.info.get("is noted"):
            unnoted.extend(connection.info.get("shop writes", []))

    hooks = (("begin", begun), ("before_cursor_execute", said), ("commit", kept))
    for name, hook in hooks:
        event.listen(db.engine, name, hook)
    try:
        yield unnoted
    finally:
        for name, hook in hooks:
            event.remove(db.engine, name, hook)
