"""A price list of 20,000 items: in as CSV and as XLSX, searched letter by letter, and out again."""

import statistics
import tempfile
import time
from datetime import UTC, date, datetime
from decimal import Decimal
from pathlib import Path

from app.actions.database import Database, migrate, open_database
from app.actions.imports import export_prices, let_in, price_import, read_price_file
from app.actions.price import price_list
from app.actions.price_file import as_csv, as_xlsx
from app.actions.records import StaffMember
from app.actions.shop_files import put_shop_files, read_shop_files
from app.pricing.records import PriceItem
from app.settings import SEED_DATA

MANY = 20_000
NOW = datetime(2026, 5, 4, 12, 0, tzinfo=UTC)
WORDS = ("board", "screw", "cable", "pad", "post", "cap", "light", "stone", "fabric", "angle")
TYPED = ("cable 19", "fabric", "MANY-0123", "quay", "light 4 stone")


def items() -> tuple[PriceItem, ...]:
    """Items with names of several words."""
    return tuple(
        PriceItem(
            item=f"MANY-{number:05d}",
            name=f"{WORDS[number % 10]} {WORDS[number // 10 % 10]} no. {number}",
            unit="each",
            pack=Decimal(10),
            pack_price=Decimal(number % 900 + 1),
            supplier="Quay timber (invented)",
            lead_days=5,
            priced_on=NOW.date(),
        )
        for number in range(MANY)
    )


def let_one_in(db: Database, staff: StaffMember, content: bytes, name: str) -> None:
    """Read one file, look at what it changes, and let it in."""
    started, worked = time.perf_counter(), time.process_time()
    import_id = read_price_file(db, staff, name, content, NOW.date(), NOW)
    read = time.perf_counter()
    price_import(db, import_id, NOW.date())
    shown = time.perf_counter()
    let_in(db, staff, import_id, takes_out=False, now=NOW, today=NOW.date())
    done = time.perf_counter()
    print(
        f"{name}: {len(content) / 1e6:.1f} MB, read {read - started:.2f} s, preview {shown - read:.2f} s, "
        f"let in {done - shown:.2f} s, together {done - started:.2f} s "
        f"({time.process_time() - worked:.2f} s of the processor)"
    )


def search(db: Database, today: date) -> None:
    """Type each of some texts letter by letter."""
    took = []
    for text in TYPED * 4:
        for length in range(1, len(text) + 1):
            started = time.perf_counter()
            price_list(db, text[:length], 1, today)
            took.append((time.perf_counter() - started) * 1000)
    took.sort()
    print(
        f"search as typed, {len(took)} letters: median {statistics.median(took):.0f} ms, "
        f"p95 {took[int(len(took) * 0.95)]:.0f} ms"
    )


def main() -> None:
    """Print the figures."""
    with tempfile.TemporaryDirectory() as folder:
        staff = StaffMember(1, "Bench", "bench@example.org", "owner")
        many = items()
        for name, content in (("list.csv", as_csv(many)), ("list.xlsx", as_xlsx(many, NOW.date()))):
            url = f"sqlite:///{Path(folder) / name}.sqlite"
            migrate(url)
            db = open_database(url)
            with db.write() as session:
                put_shop_files(session, read_shop_files(SEED_DATA / "shop"), "Bench", NOW)
            let_one_in(db, staff, content, name)
            if name.endswith("csv"):
                search(db, NOW.date())
                for kind in ("csv", "xlsx"):
                    started = time.perf_counter()
                    export_prices(db, kind, NOW.date())
                    print(f"out as {kind}: {time.perf_counter() - started:.2f} s")
            db.close()


if __name__ == "__main__":
    main()
