"""A price list goes in whole or not at all, and comes out harmless."""

import io
import time
import zipfile
from datetime import timedelta
from decimal import Decimal
from typing import Any

import pytest
from openpyxl import Workbook

from app.actions import imports
from app.actions.database import Database
from app.actions.errors import Refused
from app.actions.imports import (
    Progress,
    begin_reading,
    drop_import,
    export_prices,
    finish_reading,
    let_in,
    list_price_imports,
    price_import,
    progress_of,
    read_price_file,
)
from app.actions.price import price_item, price_list
from app.actions.records import StaffMember
from app.job.errors import InputErrors
from app.store import prices
from tests.actions.conftest import NOW

TODAY = NOW.date()
HEAD = "item,name,unit,pack,pack_price,price_per,supplier,lead_days\n"


def many(count: int, price: str = "1.25", broken: int = 0) -> bytes:
    rows = [
        f"MANY-{number:05d},Thing no. {number},m,8 ft,{'x' if number + 1 == broken else price},lf,Quay,5\n"
        for number in range(1, count + 1)
    ]
    return (HEAD + "".join(rows)).encode()


def send(db: Database, owner: StaffMember, content: bytes, name: str = "list.csv") -> int:
    return read_price_file(db, owner, name, content, TODAY, NOW)


def count_of(db: Database) -> int:
    return price_list(db).found


def test_twenty_thousand_items_go_in_under_ten_seconds_and_are_found_at_once(
    db: Database, owner: StaffMember
) -> None:
    before = count_of(db)
    started = time.process_time()
    import_id = send(db, owner, many(20_000))
    let_in(db, owner, import_id, takes_out=False, now=NOW, today=TODAY)
    took = time.process_time() - started
    assert count_of(db) == before + 20_000
    assert took < 10
    started = time.process_time()
    page = price_list(db, "thing 19999", 1, TODAY)
    assert time.process_time() - started < 0.5
    assert [row.item for row in page.rows] == ["MANY-19999"]
    assert page.rows[0].pack_price == Decimal(10)
    assert progress_of(db, import_id) is None


def test_a_broken_row_12345_is_named_and_nothing_is_let_in(db: Database, owner: StaffMember) -> None:
    before = count_of(db)
    with pytest.raises(InputErrors) as refusal:
        send(db, owner, many(20_000, broken=12_345))
    assert [(f.path, f.value) for f in refusal.value.errors] == [("row 12345.pack_price", "x")]
    assert count_of(db) == before
    assert list_price_imports(db) == ()


@pytest.mark.parametrize("kind", ["csv", "xlsx"])
def test_reading_is_told_from_the_first_byte_on_and_then_waits(
    db: Database, owner: StaffMember, kind: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    content = many(1_000)
    if kind == "xlsx":
        book = Workbook()
        for line in content.decode().splitlines():
            book.active.append(line.split(","))
        kept = io.BytesIO()
        book.save(kept)
        content = kept.getvalue()
    import_id = begin_reading(db, owner, f"list.{kind}", NOW)
    assert progress_of(db, import_id) == Progress(0, 0)
    assert price_import(db, import_id, TODAY).card.state == "reading"
    told: list[Progress | None] = []
    original = imports.read_numbered_rows

    def watched(rows: Any, priced_on: Any) -> Any:
        def looked_at() -> Any:
            for row in rows:
                if row[0] % 200 == 0:
                    told.append(progress_of(db, import_id))
                yield row

        return original(looked_at(), priced_on)

    monkeypatch.setattr(imports, "read_numbered_rows", watched)
    finish_reading(db, import_id, f"list.{kind}", content, TODAY)
    assert told == [Progress(done, 1_001) for done in (200, 400, 600, 800, 1_000)]
    assert progress_of(db, import_id) is None
    view = price_import(db, import_id, TODAY)
    assert (view.card.state, view.card.item_count) == ("waiting", 1_000)
    assert view.changes is not None
    assert len(view.changes.new) == 1_000


def test_what_cannot_be_read_in_the_background_is_told_on_the_file_and_can_be_dropped(
    db: Database, owner: StaffMember
) -> None:
    import_id = begin_reading(db, owner, "list.csv", NOW)
    finish_reading(db, import_id, "list.csv", many(20, broken=12), TODAY)
    view = price_import(db, import_id, TODAY)
    assert (view.card.state, view.changes) == ("faulty", None)
    assert [fault[:2] for fault in view.faults] == [("row 12.pack_price", "x")]
    with pytest.raises(Refused, match="faulty already"):
        let_in(db, owner, import_id, takes_out=False, now=NOW, today=TODAY)
    drop_import(db, owner, import_id, NOW)
    assert price_import(db, import_id, TODAY).card.state == "dropped"


def test_a_file_dropped_while_it_is_read_stays_dropped(db: Database, owner: StaffMember) -> None:
    import_id = begin_reading(db, owner, "list.csv", NOW)
    drop_import(db, owner, import_id, NOW)
    finish_reading(db, import_id, "list.csv", many(20), TODAY)
    assert price_import(db, import_id, TODAY).card.state == "dropped"


def test_a_failure_half_way_leaves_the_list_as_it_was(
    db: Database, owner: StaffMember, monkeypatch: pytest.MonkeyPatch
) -> None:
    import_id = send(db, owner, many(1200))
    before = count_of(db)

    def fail(*_: object) -> None:
        raise OSError("the disk is full")

    monkeypatch.setattr(prices, "change_many", fail)
    with pytest.raises(OSError, match="disk"):
        let_in(db, owner, import_id, takes_out=False, now=NOW, today=TODAY)
    assert count_of(db) == before
    assert price_import(db, import_id, TODAY).card.state == "waiting"
    progress = progress_of(db, import_id)
    assert progress is not None
    assert (progress.done, progress.total) == (1200, 1200)
    assert "disk" in progress.fault


def test_what_is_gone_leaves_the_list_from_that_day_and_keeps_its_prices(
    db: Database, owner: StaffMember
) -> None:
    first = price_list(db).rows[0].item
    import_id = send(db, owner, many(3))
    view = price_import(db, import_id, TODAY)
    assert view.changes is not None
    assert first in [item.item for item in view.changes.gone]
    let_in(db, owner, import_id, takes_out=True, now=NOW, today=TODAY)
    assert price_list(db, "", 1, TODAY).found == 3
    assert first in [row.item for row in price_list(db, "", 1, TODAY - timedelta(days=1)).rows]
    assert price_item(db, first).prices
    with pytest.raises(Refused, match="let in already"):
        let_in(db, owner, import_id, takes_out=True, now=NOW, today=TODAY)


def test_a_new_price_keeps_the_old_one(db: Database, owner: StaffMember) -> None:
    for price in ("1.25", "2.50"):
        import_id = send(db, owner, many(1, price))
        let_in(db, owner, import_id, takes_out=False, now=NOW, today=TODAY)
    history = price_item(db, "MANY-00001").prices
    assert [row.pack_price for row in history] == [Decimal(20), Decimal(10)]


def test_a_dropped_file_changes_nothing(db: Database, owner: StaffMember) -> None:
    before, import_id = count_of(db), send(db, owner, many(2))
    drop_import(db, owner, import_id, NOW)
    with pytest.raises(Refused, match="dropped"):
        let_in(db, owner, import_id, takes_out=False, now=NOW, today=TODAY)
    assert count_of(db) == before


@pytest.mark.parametrize("kind", ["csv", "xlsx"])
def test_the_list_goes_out_and_in_again_without_a_change(db: Database, owner: StaffMember, kind: str) -> None:
    content = export_prices(db, kind, TODAY)
    view = price_import(db, send(db, owner, content, f"list.{kind}"), TODAY)
    assert view.changes is not None
    assert view.changes.same == count_of(db)
    assert not view.changes.new + view.changes.gone
    assert not view.changes.dearer + view.changes.cheaper + view.changes.otherwise


@pytest.mark.parametrize("start", ["=", "+", "-", "@"])
def test_a_cell_that_a_spreadsheet_would_run_goes_out_marked_and_comes_back_plain(
    db: Database, owner: StaffMember, start: str
) -> None:
    """OWASP, CSV injection: cells that start with = + - @ are formulas to a spreadsheet."""
    name = f'{start}HYPERLINK("x")'
    quoted = name.replace('"', '""')
    content = f'{HEAD}RISK,"{quoted}",each,1,2,,Quay,5\n'.encode()
    let_in(db, owner, send(db, owner, content), takes_out=True, now=NOW, today=TODAY)
    out = export_prices(db, "csv", TODAY).decode("utf-8-sig")
    assert f'"\'{quoted}"' in out
    assert price_item(db, "RISK").item.name == name
    with zipfile.ZipFile(io.BytesIO(export_prices(db, "xlsx", TODAY))) as book:
        assert b"<f>" not in book.read("xl/worksheets/sheet1.xml")


def bomb() -> bytes:
    made = io.BytesIO()
    with zipfile.ZipFile(made, "w", zipfile.ZIP_DEFLATED) as book:
        book.writestr("xl/worksheets/sheet1.xml", b"0" * 70_000_000)
    return made.getvalue()


@pytest.mark.parametrize(
    ("content", "said"),
    [
        (b"", "empty"),
        (b"\xff\xfe\x00", "UTF-8"),
        (b"PK\x03\x04 not a zip", "damaged"),
        (b"item,name\nA,B\n", "Without unit"),
        (HEAD.encode(), "no row below"),
        ((HEAD + "A,B,each,1,2,,Quay,5,more\n").encode(), "more cells"),
        ((HEAD.replace("name", "item") + "A,B\n").encode(), "name"),
        ((HEAD + 'A,"B,each\n').encode(), "quotes"),
        ((HEAD + "A,B,each,1,2,,Quay,5\nA,B,each,1,3,,Quay,5\n").encode(), "row 2 has the same item"),
    ],
)
def test_a_file_that_is_no_price_list_is_refused_in_words(
    db: Database, owner: StaffMember, content: bytes, said: str
) -> None:
    with pytest.raises(InputErrors) as refusal:
        send(db, owner, content)
    assert said in str([(f.path, f.value, f.wanted) for f in refusal.value.errors])


def test_an_archive_that_unpacks_to_too_much_is_refused_unopened(db: Database, owner: StaffMember) -> None:
    with pytest.raises(InputErrors) as refusal:
        send(db, owner, bomb(), "list.xlsx")
    assert "at most 60 MB" in refusal.value.errors[0].wanted
