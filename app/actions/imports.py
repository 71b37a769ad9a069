"""Price files: read, shown as what they would change, then let in whole or not at all."""

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from datetime import date, datetime
from threading import Lock

from app.actions.database import Database
from app.actions.errors import NotFound, Refused
from app.actions.price_file import as_csv, as_xlsx, numbered_rows, rows_in
from app.actions.records import StaffMember
from app.job.errors import InputError, InputErrors
from app.pricing.price_changes import PriceChanges, price_changes
from app.pricing.price_rows import read_numbered_rows
from app.pricing.records import PriceItem
from app.store import audit, price_imports, prices
from app.store.price_imports import ImportCard

__all__ = ["ImportCard", "ImportView", "Progress", "progress_of"]

_TOLD_EVERY = 200
_OPEN = ("waiting", "reading", "faulty")


@dataclass(frozen=True, slots=True)
class Progress:
    """How far reading or letting in has come; `fault` says why it was given up."""

    done: int
    total: int
    fault: str = ""


@dataclass(frozen=True, slots=True)
class ImportView:
    """One price file and, while it waits, what it would change; why it could not be read, if it could not."""

    card: ImportCard
    changes: PriceChanges | None
    faults: tuple[tuple[str, str, str], ...] = ()


class _Running:
    """How far the imports of this process have come; the database alone says whether one is let in."""

    def __init__(self) -> None:
        self._lock = Lock()
        self._progress: dict[tuple[int, int], Progress] = {}

    def start(self, key: tuple[int, int], total: int) -> bool:
        with self._lock:
            known = self._progress.get(key)
            if known is not None and not known.fault:
                return False
            self._progress[key] = Progress(0, total)
            return True

    def stand(self, key: tuple[int, int], done: int, total: int) -> None:
        with self._lock:
            self._progress[key] = Progress(done, total)

    def step(self, key: tuple[int, int], many: int) -> None:
        with self._lock:
            was = self._progress[key]
            self._progress[key] = Progress(was.done + many, was.total)

    def give_up(self, key: tuple[int, int], fault: str) -> None:
        with self._lock:
            was = self._progress[key]
            self._progress[key] = Progress(was.done, was.total, fault)

    def end(self, key: tuple[int, int]) -> None:
        with self._lock:
            self._progress.pop(key, None)

    def get(self, key: tuple[int, int]) -> Progress | None:
        with self._lock:
            return self._progress.get(key)


_running = _Running()


def read_price_file(
    db: Database, staff: StaffMember, file_name: str, content: bytes, priced_on: date, now: datetime
) -> int:
    """Read a price file and keep it until it is let in; InputErrors with row, column and value."""
    items = _items_in(file_name, content, priced_on, lambda _done: None)
    with db.write() as session:
        return price_imports.add_import(session, file_name, items, staff.name, now)


def begin_reading(db: Database, staff: StaffMember, file_name: str, now: datetime) -> int:
    """Note that a price file came, and give its id; `finish_reading` reads it."""
    with db.write() as session:
        import_id = price_imports.add_unread(session, file_name, staff.name, now)
    _running.start((id(db), import_id), 0)
    return import_id


def finish_reading(db: Database, import_id: int, file_name: str, content: bytes, priced_on: date) -> None:
    """Read a price file that came, telling how far it is; what cannot be read is kept with the file."""
    key, total = (id(db), import_id), rows_in(content)
    _running.stand(key, 0, total)
    try:
        items = _items_in(file_name, content, priced_on, lambda done: _running.stand(key, done, total))
        with db.write() as session:
            price_imports.put_items(session, import_id, items)
    except InputErrors as wrong:
        faults = [(fault.path, f"{fault.value!s:.60}", fault.wanted) for fault in wrong.errors]
        with db.write() as session:
            price_imports.put_faults(session, import_id, faults)
    except Exception as fault:
        wanted = "It cannot be read to its end. Save it again as XLSX, or as CSV in UTF-8."
        with db.write() as session:
            price_imports.put_faults(session, import_id, [(file_name, type(fault).__name__, wanted)])
        raise
    finally:
        _running.end(key)


def _items_in(
    file_name: str, content: bytes, priced_on: date, tell: Callable[[int], None]
) -> tuple[PriceItem, ...]:
    """Read all items of a file, telling every few hundred rows; InputErrors."""
    if not content:
        raise InputErrors((InputError("the file", "", "Choose a CSV or XLSX file; this one is empty."),))

    def counted() -> Iterator[tuple[int, Mapping[str, str]]]:
        for number, row in numbered_rows(content, file_name):
            if number % _TOLD_EVERY == 0:
                tell(number)
            yield number, row

    try:
        items = read_numbered_rows(counted(), priced_on)
    except InputError as fault:
        raise InputErrors((fault,)) from fault
    if not items:
        raise InputErrors((InputError(file_name, "", "There is no row below the headings."),))
    return items


def price_import(db: Database, import_id: int, today: date) -> ImportView:
    """One price file and what it would change on this day; NotFound."""
    with db.read() as session:
        card = price_imports.find_import(session, import_id)
        if card is None:
            raise NotFound("price file", import_id)
        if card.state == "faulty":
            return ImportView(card, None, price_imports.faults_of(session, import_id))
        if card.state != "waiting":
            return ImportView(card, None)
        held = prices.list_items(session, today)
        return ImportView(card, price_changes(held, price_imports.items_of(session, import_id)))


def list_price_imports(db: Database) -> tuple[ImportCard, ...]:
    """The last price files, newest first."""
    with db.read() as session:
        return price_imports.list_imports(session)


def let_in(
    db: Database, staff: StaffMember, import_id: int, *, takes_out: bool, now: datetime, today: date
) -> None:
    """Let a price file in, whole or not at all, in one transaction; with `takes_out` what is gone goes.

    Refused when it was settled before, or is being let in just now.
    """
    view = price_import(db, import_id, today)
    if view.changes is None:
        raise Refused(f"This file was {view.card.state} already.")
    changes = view.changes
    total = len(changes.new) + len(changes.dearer) + len(changes.cheaper) + len(changes.otherwise)
    key = (id(db), import_id)
    if not _running.start(key, total):
        raise Refused("This file is being let in just now.")
    try:
        gone_on = today if takes_out else None
        _let_in(db, staff, view.card, changes, gone_on, now, lambda many: _running.step(key, many))
    except BaseException as fault:
        _running.give_up(key, f"Nothing was let in: {fault}")
        raise
    _running.end(key)


def drop_import(db: Database, staff: StaffMember, import_id: int, now: datetime) -> None:
    """Drop a price file that waits, is being read or cannot be read."""
    with db.write() as session:
        card = price_imports.find_import(session, import_id)
        if card is None:
            raise NotFound("price file", import_id)
        if card.state in _OPEN:
            price_imports.settle(session, import_id, "dropped", now)
            audit.note(session, now, staff.name, f"dropped the price file {card.file_name}", "prices")


def progress_of(db: Database, import_id: int) -> Progress | None:
    """How far an import has come; None when none runs."""
    return _running.get((id(db), import_id))


def export_prices(db: Database, kind: str, today: date) -> bytes:
    """The whole price list as it stands on a day, as ``csv`` or ``xlsx``."""
    with db.read() as session:
        items = prices.list_items(session, today)
    return as_xlsx(items, today) if kind == "xlsx" else as_csv(items)


def _let_in(
    db: Database,
    staff: StaffMember,
    card: ImportCard,
    changes: PriceChanges,
    gone_on: date | None,
    now: datetime,
    tell: Callable[[int], None],
) -> None:
    moved = (*changes.dearer, *changes.cheaper, *changes.otherwise)
    with db.write() as session:
        again = price_imports.find_import(session, card.id)
        if again is None or again.state != "waiting":
            raise Refused("This file was settled already.")
        known = {item.item for item in prices.list_items(session, None, codes=[i.item for i in changes.new])}
        fresh = [item for item in changes.new if item.item not in known]
        back = [item for item in changes.new if item.item in known]
        prices.add_many(session, fresh, staff.name, now, tell)
        prices.change_many(session, [*back, *(move.new for move in moved)], staff.name, now, tell)
        if gone_on is not None:
            prices.take_out(session, [item.item for item in changes.gone], gone_on)
        price_imports.settle(session, card.id, "let in", now)
        gone = len(changes.gone) if gone_on else 0
        what = (
            f"let in {card.file_name}: {len(changes.new)} new, {len(changes.dearer)} dearer, "
            f"{len(changes.cheaper)} cheaper, {len(changes.otherwise)} otherwise, {gone} gone"
        )
        audit.note(session, now, staff.name, what, "prices")
