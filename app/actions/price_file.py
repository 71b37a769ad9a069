"""Price files as bytes: CSV and XLSX in and out, within limits of size; nothing in them is ever run."""

import csv
import io
import re
import zipfile
from collections.abc import Iterator, Mapping, Sequence
from datetime import date, datetime

from app.job.errors import InputError
from app.pricing.price_rows import COLUMNS, NEEDED
from app.pricing.records import PriceItem

MOST_ROWS = 50_000
MOST_UNPACKED_BYTES = 60_000_000
MOST_PARTS = 300
_HEAD_BYTES = 2000
_DIMENSION = re.compile(rb'<dimension ref="[A-Z]+\d+:[A-Z]+(\d{1,7})"')  # ECMA-376 part 1, 18.3.1.35
_ZIP = b"PK\x03\x04"
# A spreadsheet takes a cell that starts so for a formula (OWASP, CSV injection).
_FORMULA = ("=", "+", "-", "@", "\t", "\r")
_EXPORTED = ("item", "name", "unit", "pack", "pack_price", "supplier", "lead_days", "priced_on")
_EXPORTED_MORE = ("mass_kg", "length_mm", "spares_pct", "tax_code")
HEADINGS = (*_EXPORTED, "mass_kg", "length", "spares_pct", "tax_code")


def numbered_rows(content: bytes, file_name: str) -> Iterator[tuple[int, Mapping[str, str]]]:
    """Give the rows of a file with their numbers, by column; InputError when it is no such file."""
    if content.startswith(_ZIP):
        return _by_column(_xlsx_rows(content), file_name)
    return _by_column(_csv_rows(content, file_name), file_name)


def rows_in(content: bytes) -> int:
    """Give about how many rows a file has, to tell how far reading has come; 0 when nobody knows yet."""
    if not content.startswith(_ZIP):
        return content.count(b"\n") or content.count(b"\r")
    try:
        with zipfile.ZipFile(io.BytesIO(content)) as parts, parts.open("xl/worksheets/sheet1.xml") as sheet:
            found = _DIMENSION.search(sheet.read(_HEAD_BYTES))
    except (zipfile.BadZipFile, KeyError, NotImplementedError, OSError):
        return 0
    return min(int(found[1]), MOST_ROWS) if found else 0


def as_csv(items: Sequence[PriceItem]) -> bytes:
    """Write a price list as CSV that a spreadsheet opens without running anything in it."""
    text = io.StringIO()
    rows = csv.writer(text, lineterminator="\r\n")
    rows.writerow(HEADINGS)
    rows.writerows([_harmless(cell) for cell in _cells(item)] for item in items)
    return b"\xef\xbb\xbf" + text.getvalue().encode()


def as_xlsx(items: Sequence[PriceItem], made_on: date) -> bytes:
    """Write a price list as XLSX; every cell is text or a number, none a formula."""
    from openpyxl import Workbook  # noqa: PLC0415 - only who asks for XLSX pays for it
    from openpyxl.cell import WriteOnlyCell  # noqa: PLC0415

    book = Workbook(write_only=True)
    book.properties.created = book.properties.modified = datetime.combine(made_on, datetime.min.time())
    sheet = book.create_sheet("prices")
    sheet.append(HEADINGS)
    for item in items:
        row = []
        for cell in _cells(item):
            made = WriteOnlyCell(sheet, value=cell)
            made.data_type = "s"  # also what starts with =
            row.append(made)
        sheet.append(row)
    content = io.BytesIO()
    book.save(content)
    return content.getvalue()


def _cells(item: PriceItem) -> list[str]:
    named = [getattr(item, name) for name in (*_EXPORTED, *_EXPORTED_MORE)]
    return [
        "" if value is None else f"{value:f}" if hasattr(value, "as_tuple") else str(value) for value in named
    ]


def _harmless(cell: str) -> str:
    return f"'{cell}" if cell.startswith(_FORMULA) else cell


def _plain(cell: str) -> str:
    """Take the mark off again that kept a spreadsheet from running a cell."""
    text = cell.strip()
    return text[1:] if text.startswith("'") and text[1:].startswith(_FORMULA) else text


def _csv_rows(content: bytes, file_name: str) -> Iterator[tuple[int, list[str]]]:
    try:
        text = content.decode("utf-8-sig")
    except UnicodeDecodeError as fault:
        wanted = "Save the file as CSV in UTF-8, or as XLSX; these bytes are neither."
        raise InputError(file_name, f"byte {fault.start}", wanted) from fault
    if "\0" in text:
        raise InputError(file_name, "a zero byte", "Save the file as CSV in UTF-8, or as XLSX.")
    first = text.partition("\n")[0]
    mark = max((",", ";", "\t"), key=first.count)
    rows = csv.reader(io.StringIO(text, newline=""), delimiter=mark, strict=True)
    while True:
        try:
            row = next(rows)
        except StopIteration:
            return
        except csv.Error as fault:
            raise InputError(f"row {rows.line_num}", str(fault), "Close the quotes in this row.") from fault
        yield rows.line_num, row


def _xlsx_rows(content: bytes) -> Iterator[tuple[int, list[str]]]:
    _refuse_bombs(content)
    from openpyxl import load_workbook  # noqa: PLC0415 - only who sends XLSX pays for it

    try:
        book = load_workbook(io.BytesIO(content), read_only=True, data_only=True, keep_links=False)
        sheet = book.worksheets[0]
    except Exception as fault:
        wanted = "Save it again as XLSX, or as CSV in UTF-8."
        raise InputError(
            "the file", type(fault).__name__, f"It cannot be opened as XLSX. {wanted}"
        ) from fault
    # A little further than a price list goes, so that what stands too far right is told; no further than
    # the sheet says that it goes, since each blank cell takes its time.
    widest = min(len(COLUMNS) + 20, sheet.max_column or len(COLUMNS) + 20)
    for number, row in enumerate(sheet.iter_rows(values_only=True, max_col=widest), start=1):
        yield number, [_cell_text(value) for value in row]


def _refuse_bombs(content: bytes) -> None:
    """Refuse an archive that unpacks to more than any price list, before anything of it is unpacked."""
    try:
        parts = zipfile.ZipFile(io.BytesIO(content)).infolist()
    except (zipfile.BadZipFile, NotImplementedError) as fault:
        raise InputError("the file", str(fault), "Save it again as XLSX; this one is damaged.") from fault
    size = sum(part.file_size for part in parts)
    if size > MOST_UNPACKED_BYTES or len(parts) > MOST_PARTS:
        wanted = f"A price list unpacks to at most {MOST_UNPACKED_BYTES // 1_000_000} MB."
        raise InputError("the file", f"{size / 1e6:,.0f} MB in {len(parts)} parts", wanted)


def _cell_text(value: object) -> str:
    if value is None:
        return ""
    if isinstance(value, datetime):
        return value.date().isoformat()
    if isinstance(value, date):
        return value.isoformat()
    if isinstance(value, float) and value.is_integer():
        return str(int(value))
    return str(value)


def _by_column(
    rows: Iterator[tuple[int, list[str]]], file_name: str
) -> Iterator[tuple[int, Mapping[str, str]]]:
    head = next(rows, None)
    names = [name.strip().lower() for name in head[1]] if head else []
    while names and not names[-1]:
        names.pop()
    _check_heading(names, file_name)
    count = 0
    for number, cells in rows:
        if not any(cell.strip() for cell in cells):
            continue
        count += 1
        if count > MOST_ROWS:
            raise InputError(
                file_name, f"row {number}", f"At most {MOST_ROWS:,} rows; send the list in parts."
            )
        over = [cell for cell in cells[len(names) :] if cell.strip()]
        if over:
            raise InputError(
                f"row {number}", over[0], f"The row has more cells than the {len(names)} headings."
            )
        yield number, {name: _plain(cell) for name, cell in zip(names, cells, strict=False)}


def _check_heading(names: Sequence[str], file_name: str) -> None:
    """Refuse a first row that does not name the columns."""
    wanted = "The first row names the columns: " + ", ".join(COLUMNS) + "."
    missing = [name for name in NEEDED if name not in names and name != "priced_on"]
    if missing:
        raise InputError(
            f"{file_name}: first row", ", ".join(names)[:200], f"Without {', '.join(missing)}. {wanted}"
        )
    for name in names:
        if names.count(name) > 1:
            raise InputError(f"{file_name}: first row", name, f"Two columns are called {name}. {wanted}")
