"""Files meant to hurt: that grow, that never end, that reach outside, with cells that a spreadsheet runs.

Source: OWASP ASVS 5.0.0, 1.2.10, 1.3.6, 1.5.1, 5.2.1 to 5.2.6.
"""

import csv
import io
import struct
import time
import tracemalloc
import zipfile
import zlib
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import date
from pathlib import Path

import ezdxf
import pytest

from app.actions.errors import Refused
from app.actions.pictures import kept_picture
from app.actions.price_file import numbered_rows
from app.agreement.records import Party
from app.documents.purchase_order import PurchaseOrderInputs, purchase_order_csv
from app.documents.render import OutsideAsset, _fetcher
from app.drawings.dxf_in import read_dxf
from app.job.errors import InputErrors
from app.job.file import read_job_text
from app.job.photometry import read_photometry
from app.measure.errors import InputError
from app.settings import STATIC
from tests.trust.corpus import LM_63

_REFUSALS = (InputError, InputErrors, Refused)
MOST_SECONDS, MOST_BYTES = 15.0, 150_000_000


@contextmanager
def within_bounds() -> Iterator[None]:
    """Fail when the block takes longer or holds more than any good file would."""
    tracemalloc.start()
    began = time.perf_counter()
    try:
        yield
    finally:
        _, peak = tracemalloc.get_traced_memory()
        tracemalloc.stop()
    assert peak < MOST_BYTES, f"{peak / 1e6:.0f} MB"
    assert time.perf_counter() - began < MOST_SECONDS


def an_xlsx(sheet: str, *, texts: str = "") -> bytes:
    """Give the least workbook with this sheet in it."""
    space = "http://schemas.openxmlformats.org"
    kinds = f'<Types xmlns="{space}/package/2006/content-types">'
    for part, kind in (("workbook", "sheet.main"), ("worksheets/sheet1", "worksheet"), ("sharedStrings", "")):
        name = f"spreadsheetml.{kind or 'sharedStrings'}"
        kinds += f'<Override PartName="/xl/{part}.xml" '
        kinds += f'ContentType="application/vnd.openxmlformats-officedocument.{name}+xml"/>'
    links = f'<Relationships xmlns="{space}/package/2006/relationships"><Relationship Id="r1" Type="'
    ours = f"{space}/officeDocument/2006/relationships"
    files = {
        "[Content_Types].xml": f"{kinds}</Types>",
        "_rels/.rels": f'{links}{ours}/officeDocument" Target="xl/workbook.xml"/></Relationships>',
        "xl/_rels/workbook.xml.rels": f'{links}{ours}/worksheet" Target="worksheets/sheet1.xml"/>'
        "</Relationships>",
        "xl/workbook.xml": f'<workbook xmlns="{space}/spreadsheetml/2006/main" xmlns:r="{ours}"><sheets>'
        '<sheet name="a" sheetId="1" r:id="r1"/></sheets></workbook>',
        "xl/sharedStrings.xml": texts or f'<sst xmlns="{space}/spreadsheetml/2006/main"/>',
        "xl/worksheets/sheet1.xml": sheet,
    }
    made = io.BytesIO()
    with zipfile.ZipFile(made, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, text in files.items():
            archive.writestr(name, text)
    return made.getvalue()


_MAIN = 'xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"'
_GROWING = "".join(f'<!ENTITY e{n} "{f"&e{n - 1};" * 10}">' for n in range(1, 10))
_CELLS = '<row r="1"><c r="A1" t="inlineStr"><is><t>{}</t></is></c></row>'


def a_sheet(cell: str, head: str = "") -> str:
    return f"{head}<worksheet {_MAIN}><sheetData>{_CELLS.format(cell)}</sheetData></worksheet>"


XLSX = {
    "entities that grow": an_xlsx(a_sheet("&e9;", f'<!DOCTYPE w [<!ENTITY e0 "lol">{_GROWING}]>')),
    "an entity from a file": an_xlsx(
        a_sheet("&x;", '<!DOCTYPE w [<!ENTITY x SYSTEM "file:///etc/passwd">]>')
    ),
    "a part of 55 MB of nothing": an_xlsx(a_sheet(" " * 55_000_000)),
    "rows without a heading": an_xlsx(
        f"<worksheet {_MAIN}><sheetData>"
        + "".join(f'<row r="{n}"><c r="A{n}"><v>1</v></c></row>' for n in range(1, 30_001))
        + "</sheetData></worksheet>"
    ),
    "a cell at the far corner": an_xlsx(
        f'<worksheet {_MAIN}><sheetData><row r="1048576"><c r="XFD1048576"><v>1</v></c></row>'
        "</sheetData></worksheet>"
    ),
}


@pytest.mark.parametrize("name", XLSX)
def test_a_workbook_meant_to_hurt_is_refused_within_bounds(name: str) -> None:
    with within_bounds(), pytest.raises(_REFUSALS) as refusal:
        list(numbered_rows(XLSX[name], "list.xlsx"))
    assert "root:" not in str(refusal.value)


def test_an_archive_with_names_that_climb_writes_nothing() -> None:
    made = io.BytesIO()
    with zipfile.ZipFile(made, "w") as archive:
        archive.writestr("../../../tmp/upstand-climbed", "x")
    with pytest.raises(_REFUSALS):
        list(numbered_rows(made.getvalue(), "list.xlsx"))
    assert not Path("/tmp/upstand-climbed").exists()


def a_png(width: int, height: int) -> bytes:
    """Give a PNG that says it is so large, and is a few bytes."""

    def chunk(kind: bytes, content: bytes) -> bytes:
        return (
            struct.pack(">I", len(content)) + kind + content + struct.pack(">I", zlib.crc32(kind + content))
        )

    head = struct.pack(">IIBBBBB", width, height, 8, 2, 0, 0, 0)
    rows = zlib.compress(b"\0" * 1000)
    return b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", head) + chunk(b"IDAT", rows) + chunk(b"IEND", b"")


@pytest.mark.parametrize(
    ("width", "height"), [(50_000, 50_000), (8_000, 6_000), (2**31 - 1, 1), (40_000_001, 1)]
)
def test_a_picture_of_too_many_pixels_is_refused_before_it_is_opened(width: int, height: int) -> None:
    with within_bounds(), pytest.raises(Refused):
        kept_picture(a_png(width, height))


@pytest.mark.parametrize(
    "sent",
    [
        b"<svg xmlns='http://www.w3.org/2000/svg'><script>1</script></svg>",
        b"GIF89a" + b"\0" * 100,
        b"%PDF-1.7\n" + b"\0" * 100,
        b"MZ" + b"\0" * 100,
        b"<html><script>1</script>",
        b"\xff\xd8\xff\xe0" + b"<?php echo 1; ?>" * 10,
    ],
    ids=["svg", "gif", "pdf", "program", "page", "a script that begins like a JPEG"],
)
def test_what_only_calls_itself_a_picture_is_refused(sent: bytes) -> None:
    with pytest.raises(Refused):
        kept_picture(sent)


def a_dxf(*groups: tuple[int, object]) -> str:
    head = [
        (0, "SECTION"),
        (2, "HEADER"),
        (9, "$INSUNITS"),
        (70, 4),
        (0, "ENDSEC"),
        (0, "SECTION"),
        (2, "ENTITIES"),
    ]
    return "".join(f"{code}\n{value}\n" for code, value in (*head, *groups, (0, "ENDSEC"), (0, "EOF")))


def an_arc(size: float) -> tuple[tuple[int, object], ...]:
    corners = [(10, 0.0), (20, 0.0), (42, 1.0), (10, size), (20, 0.0), (42, 1.0)]
    return ((0, "LWPOLYLINE"), (8, "0"), (90, 2), (70, 1), *corners)


def nested_blocks() -> str:
    document = ezdxf.new(units=4)
    for depth in range(12):
        block = document.blocks.new(f"B{depth}")
        if depth == 0:
            block.add_lwpolyline([(0, 0), (9, 0), (9, 9)], close=True)
        for place in range(10 if depth else 0):
            block.add_blockref(f"B{depth - 1}", (place, 0))
    document.modelspace().add_blockref("B11", (0, 0))
    text = io.StringIO()
    document.write(text)
    return text.getvalue()


DXF = {
    "an arc as wide as a planet": a_dxf(*an_arc(1e13)),
    "an arc beyond any number": a_dxf(*an_arc(1e300)),
    "many wide arcs": a_dxf(*(group for _ in range(2000) for group in an_arc(9e8))),
    "blocks in blocks": nested_blocks(),
    "parts without end": a_dxf(*(((0, "POINT"),) * 60_000)),
    "characters without end": a_dxf((1, "x" * 3_000_001)),
}


@pytest.mark.parametrize("name", DXF)
def test_a_drawing_meant_to_hurt_is_refused_within_bounds(name: str) -> None:
    with within_bounds(), pytest.raises(_REFUSALS):
        read_dxf(DXF[name], "mm")


@pytest.mark.parametrize(
    "text",
    [
        "[" * 1_000_000,
        '{"a":' * 200_000,
        "1" * 1_000_000,
        '{"a": 1e999999999}',
        '{"a":1,"a":2}',
        "\x00" * 1000,
    ],
    ids=["lists in lists", "objects in objects", "a long number", "a wide number", "twice the same", "zeros"],
)
def test_a_job_file_meant_to_hurt_is_refused_within_bounds(text: str) -> None:
    with within_bounds(), pytest.raises(_REFUSALS):
        read_job_text(text)


@pytest.mark.parametrize("counts", ["1 400 1 999999999 999999999", "1 400 1 100000 100000", "1 400 1 -5 1"])
def test_a_photometric_file_that_announces_too_much_is_refused(counts: str) -> None:
    with within_bounds(), pytest.raises(_REFUSALS):
        read_photometry(LM_63.replace("1 400 1 5 1", counts))


@pytest.mark.parametrize("cell", ["=1+1", "+1", "-1", "@x", "\t=1", "\r=1", '=HYPERLINK("x")'])
def test_an_order_as_csv_holds_no_formula(cell: str) -> None:
    day = date(2026, 5, 4)
    lines = ((cell, cell, 3, cell, "1.00"),)
    made = purchase_order_csv(
        PurchaseOrderInputs(Party(cell, cell), cell, cell, cell, cell, cell, lines, day, day, cell, "USD")
    )
    rows = list(csv.reader(io.StringIO(made.decode(), newline="")))
    assert rows[1] == [f"'{cell}", f"'{cell}", f"'{cell}", f"'{cell}", "3", f"'{cell}", "2026-05-04"]


@pytest.mark.parametrize(
    "address",
    [
        "http://127.0.0.1:9/x.png",
        "https://elsewhere.example/x.css",
        "ftp://elsewhere.example/x",
        "file:///etc/passwd",
        "file:///etc/../etc/passwd",
        "file://elsewhere/share/x",
        "/etc/passwd",
        "data:text/html,<script>1</script>",
        "gopher://127.0.0.1/x",
        "relative.css",
    ],
)
def test_the_printer_fetches_nothing_but_our_own_assets(address: str) -> None:
    with pytest.raises(OutsideAsset):
        _fetcher().fetch(address)


def test_the_printer_does_not_leave_our_assets_by_climbing() -> None:
    for climb in ("../pyproject.toml", "%2e%2e/pyproject.toml", "css/../../app/main.py"):
        with pytest.raises(OutsideAsset):
            _fetcher().fetch(f"{STATIC.as_uri()}/{climb}")
