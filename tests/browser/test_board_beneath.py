"""What lies beneath the drawing: a page of a PDF or a photo, scaled by two spots, kept with the job."""

import io
import re

import pytest
from PIL import Image
from playwright.sync_api import FilePayload, Locator, Page, expect
from weasyprint import HTML

from tests.browser.board import Mouse, open_board, press, said

pytestmark = [pytest.mark.browser, pytest.mark.xdist_group("browser")]


def a_plan_on_paper() -> bytes:
    """A sheet of A3 with a line of 100 mm at its middle, the second of two pages."""
    line = "<svg width='420mm' height='297mm' viewBox='0 0 420 297'>"
    line += "<path d='M160 148.5h100' stroke='black'/></svg>"
    style = "<style>@page { size: A3 landscape; margin: 0; } p { break-after: page; }</style>"
    printed: bytes = HTML(string=f"{style}<p>Cover</p>{line}").write_pdf()
    return printed


NATURAL_WIDTH = """async (one) => {
    const picture = new Image();
    picture.src = one.href.baseVal;
    await picture.decode();
    return picture.naturalWidth;
}"""


def bring_in(page: Page) -> None:
    page.locator("details", has=page.locator("#board-picture")).evaluate("(one) => { one.open = true; }")


def beneath(page: Page, file: FilePayload) -> Locator:
    bring_in(page)
    page.get_by_label("Photo, drawing or PDF beneath").set_input_files(file)
    return page.locator(".board-picture image")


def test_a_page_of_a_pdf_lies_beneath_is_scaled_by_two_spots_and_stays(page: Page, job: str) -> None:
    file = FilePayload(name="old.pdf", mimeType="application/pdf", buffer=a_plan_on_paper())
    image = beneath(page, file)
    expect(image).to_have_attribute("width", "21000")  # A3 as if drawn 1 : 50
    page.get_by_label("Page of the PDF").fill("2")
    page.get_by_label("Page of the PDF").press("Tab")
    said(page, re.compile("Page 2 of 2"))
    hand = Mouse(page)
    hand.tool("Measure")
    hand.line((1000, 1000), (3000, 1000))
    page.get_by_label("The last measured length truly is").fill("16' 4 7/8\"")
    press(page, "Scale the picture")
    said(page, "The picture is scaled.")
    width = float(image.get_attribute("width") or 0)
    assert width == pytest.approx(21000 * (16 * 304.8 + 4.875 * 25.4) / 2000)
    page.get_by_label("How much of it is seen").press("End")
    said(page, re.compile("fainter or stronger"))
    open_board(page, job)
    bring_in(page)
    expect(image).to_have_attribute("width", re.compile(f"^{width:.3f}"))
    expect(image).to_have_attribute("opacity", "1")
    seen = image.evaluate(NATURAL_WIDTH)
    assert seen == 2400
    page.get_by_label("Show the picture").uncheck()
    expect(page.locator(".board-picture")).to_be_hidden()


def test_a_photo_is_laid_by_number_shifted_taken_away_and_brought_back(page: Page, job: str) -> None:
    written = io.BytesIO()
    Image.new("RGB", (3000, 1500), "grey").save(written, "PNG")
    file = FilePayload(name="roof.png", mimeType="image/png", buffer=written.getvalue())
    image = beneath(page, file)
    said(page, re.compile("^The picture lies beneath"))
    expect(page.get_by_label("Page of the PDF")).to_be_hidden()
    roof = page.locator(".thing.roof .body").first
    expect(roof).to_have_css("fill", "rgba(0, 0, 0, 0)")  # drawn as a line: what lies beneath is seen
    page.get_by_label("Upper left corner: x, y").fill("-1 m, 20'")
    page.get_by_label("Width", exact=True).last.fill("8 m")
    press(page, "Lay it there")
    said(page, "The picture is laid there.")
    expect(image).to_have_attribute("y", "-6096")
    hand = Mouse(page)
    hand.tool("Measure")
    hand.line((1000, 1000), (3000, 1000))
    press(page, "Shift it along the last measure")
    said(page, "The picture is shifted.")
    assert [image.get_attribute(name) for name in ("x", "width", "height")] == ["1000", "8000", "4000"]
    press(page, "Undo the last change of the picture")
    expect(image).to_have_attribute("x", "-1000")
    press(page, "Take the picture away")
    expect(image).to_have_count(0)
    assert page.request.get(f"/api{job}/board/picture").json() == {"picture": None}
    press(page, "Undo the last change of the picture")
    expect(image).to_have_attribute("width", "8000")
    bad = FilePayload(name="bad.pdf", mimeType="application/pdf", buffer=b"%PDF-1.7 no")
    beneath(page, bad)
    expect(page.locator("#board-picture .fault")).to_contain_text("cannot be read")
    expect(image).to_have_count(1)  # what lay there still does
    press(page, "Take the picture away")
    expect(image).to_have_count(0)
