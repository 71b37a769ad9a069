"""A page of a PDF becomes a picture of its own size; a file made to hurt is stopped and named."""

import io
import time
import zlib

import pikepdf
import pytest
from PIL import Image

from app.documents import page_picture as module
from app.documents.page_picture import page_picture
from app.documents.page_worker import LONGEST_PX, MOST_BYTES
from app.job.errors import InputErrors

A3_PT = (1190.55, 841.89)


def a_pdf(
    content: bytes = b"0 0 1 rg 100 100 400 50 re f", size: tuple[float, float] = A3_PT, pages: int = 2
) -> bytes:
    document = pikepdf.new()
    for _ in range(pages):
        document.add_blank_page(page_size=size)
    document.pages[0].Contents = document.make_stream(content)
    written = io.BytesIO()
    document.save(written)
    return written.getvalue()


def a_page_that_draws_itself_a_hundred_million_times() -> bytes:
    """Forms that draw forms ten times each, eight deep."""
    document = pikepdf.new()
    document.add_blank_page(page_size=A3_PT)
    inner = document.make_stream(b"0 0 400 400 re 10 10 300 300 re f*")
    for _ in range(8):
        box = pikepdf.Array([0, 0, 500, 500])
        kind = {"/Type": pikepdf.Name.XObject, "/Subtype": pikepdf.Name.Form, "/BBox": box}
        for key, value in kind.items():
            inner[key] = value
        outer = document.make_stream(b"/F Do " * 10)
        outer.Resources = pikepdf.Dictionary(XObject=pikepdf.Dictionary(F=inner))
        inner = outer
    page = document.pages[0]
    page.Contents = document.make_stream(b"/F Do " * 10)
    page.Resources = inner.Resources
    written = io.BytesIO()
    document.save(written)
    return written.getvalue()


def a_picture_of_nine_thousand_million_bytes() -> bytes:
    """Zeros packed into a few hundred kilobytes, told to be an image of 55,000 by 55,000."""
    document = pikepdf.new()
    document.add_blank_page(page_size=A3_PT)
    packer = zlib.compressobj(9)
    packed = b"".join(packer.compress(bytes(1_000_000)) for _ in range(200)) + packer.flush()
    image = pikepdf.Stream(document, packed)
    for key, value in {
        "/Subtype": pikepdf.Name.Image,
        "/Width": 55_000,
        "/Height": 55_000,
        "/BitsPerComponent": 8,
        "/ColorSpace": pikepdf.Name.DeviceRGB,
        "/Filter": pikepdf.Name.FlateDecode,
    }.items():
        image[key] = value
    page = document.pages[0]
    page.Contents = document.make_stream(b"800 0 0 800 0 0 cm /I Do")
    page.Resources = pikepdf.Dictionary(XObject=pikepdf.Dictionary(I=image))
    written = io.BytesIO()
    document.save(written)
    return written.getvalue()


def test_a_page_keeps_its_size_and_its_colours() -> None:
    found = page_picture(a_pdf(), 1)
    assert (found.pages, found.wide_mm, found.high_mm) == (
        2,
        pytest.approx(420, abs=0.1),
        pytest.approx(297, abs=0.1),
    )
    image = Image.open(io.BytesIO(found.png)).convert("RGB")
    assert image.width == pytest.approx(LONGEST_PX, abs=1)
    per_pt = image.width / A3_PT[0]
    assert image.getpixel((round(300 * per_pt), image.height - round(125 * per_pt))) == (0, 0, 255)
    assert image.getpixel((round(300 * per_pt), image.height - round(300 * per_pt))) == (255, 255, 255)


@pytest.mark.parametrize(
    ("pdf", "number", "told"),
    [
        (b"hello", 1, "not a PDF"),
        (b"%PDF-1.7\nhello", 1, "damaged"),
        (b"%PDF-1.7\n" + b" " * MOST_BYTES, 1, "up to 2.8 MB"),
        (a_pdf(), 3, "no page 3"),
        (a_pdf(), 0, "no page 0"),
        (a_pdf(pages=501), 1, "up to 500"),
    ],
    ids=["text", "torn", "long", "beyond", "before", "many"],
)
def test_what_cannot_be_drawn_is_refused_with_a_reason(pdf: bytes, number: int, told: str) -> None:
    with pytest.raises(InputErrors, match=told):
        page_picture(pdf, number)


def test_a_locked_file_is_refused() -> None:
    locked = io.BytesIO()
    with pikepdf.open(io.BytesIO(a_pdf())) as document:
        document.save(locked, encryption=pikepdf.Encryption(owner="one", user="two"))
    with pytest.raises(InputErrors, match="locked"):
        page_picture(locked.getvalue(), 1)


def test_a_page_as_large_as_a_field_is_drawn_no_larger_than_any_other() -> None:
    found = page_picture(a_pdf(size=(14_000.0, 14_000.0)), 1)
    assert max(Image.open(io.BytesIO(found.png)).size) <= LONGEST_PX + 1


def test_a_page_that_would_take_for_ever_is_stopped(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(module, "TIME_S", 3.0)
    began = time.monotonic()
    with pytest.raises(InputErrors, match="too long or too much memory"):
        page_picture(a_page_that_draws_itself_a_hundred_million_times(), 1)
    assert time.monotonic() - began < 20


def told_of(pdf: bytes) -> str:
    """What becomes of a file: what is said of it, or the size of its picture."""
    try:
        return f"{len(page_picture(pdf, 1).png) // 1_000_000} MB"
    except InputErrors as refused:
        return str(refused)


def test_a_page_that_would_fill_the_memory_harms_nothing() -> None:
    """The reader may run into its limit, or leave such an image out."""
    told = told_of(a_picture_of_nine_thousand_million_bytes())
    assert "too long or too much memory" in told or told == "0 MB"
