"""Price files that are being read, or were read and wait for a yes."""

import json
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from pydantic import TypeAdapter
from sqlalchemy import select, update
from sqlalchemy.orm import Session, undefer

from app.pricing.records import PriceItem
from app.store.models import PriceImportRow

_ITEMS = TypeAdapter(tuple[PriceItem, ...])


@dataclass(frozen=True, slots=True)
class ImportCard:
    """One price file: ``reading``, ``faulty``, ``waiting``, ``let in`` or ``dropped``."""

    id: int
    made_at: datetime
    made_by: str
    file_name: str
    item_count: int
    state: str
    settled_at: datetime | None


def add_import(
    session: Session, file_name: str, items: tuple[PriceItem, ...], who: str, now: datetime
) -> int:
    """Keep a file's items until somebody lets them in, and give its id."""
    row = PriceImportRow(
        made_at=now,
        made_by=who,
        file_name=file_name[:200],
        items=_ITEMS.dump_json(items).decode(),
        item_count=len(items),
        state="waiting",
        settled_at=None,
    )
    session.add(row)
    session.flush()
    return row.id


def add_unread(session: Session, file_name: str, who: str, now: datetime) -> int:
    """Note a file that is being read, and give its id."""
    import_id = add_import(session, file_name, (), who, now)
    session.get_one(PriceImportRow, import_id).state = "reading"
    return import_id


def put_items(session: Session, import_id: int, items: tuple[PriceItem, ...]) -> None:
    """Keep what was read of a file; nothing when it was dropped meanwhile."""
    row = session.get_one(PriceImportRow, import_id)
    if row.state == "reading":
        row.items, row.item_count, row.state = _ITEMS.dump_json(items).decode(), len(items), "waiting"


def put_faults(session: Session, import_id: int, faults: Sequence[tuple[str, str, str]]) -> None:
    """Keep why a file could not be read: place, value, what would do."""
    row = session.get_one(PriceImportRow, import_id)
    if row.state == "reading":
        row.items, row.state = json.dumps(faults), "faulty"


def faults_of(session: Session, import_id: int) -> tuple[tuple[str, str, str], ...]:
    """Give why a file could not be read."""
    row = session.get_one(PriceImportRow, import_id)
    return tuple((path, value, wanted) for path, value, wanted in json.loads(row.items))


def find_import(session: Session, import_id: int) -> ImportCard | None:
    """Give one file, or None."""
    row = session.get(PriceImportRow, import_id)
    return _card(row) if row else None


def items_of(session: Session, import_id: int) -> tuple[PriceItem, ...]:
    """Give the items of one file."""
    query = (
        select(PriceImportRow).where(PriceImportRow.id == import_id).options(undefer(PriceImportRow.items))
    )
    return _ITEMS.validate_json(session.scalars(query).one().items)


def list_imports(session: Session, most: int = 10) -> tuple[ImportCard, ...]:
    """Give the last files, newest first."""
    query = select(PriceImportRow).order_by(PriceImportRow.id.desc()).limit(most)
    return tuple(_card(row) for row in session.scalars(query))


def settle(session: Session, import_id: int, state: str, now: datetime) -> None:
    """Note that a file was let in or dropped; its items are kept no longer, the prices are."""
    session.execute(
        update(PriceImportRow)
        .where(PriceImportRow.id == import_id)
        .values(state=state, settled_at=now, items="[]")
    )


def _card(row: PriceImportRow) -> ImportCard:
    return ImportCard(
        row.id, row.made_at, row.made_by, row.file_name, row.item_count, row.state, row.settled_at
    )
