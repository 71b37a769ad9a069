"""Ink on a canvas: true to scale, right way up, nothing typed becomes markup."""

from xml.etree import ElementTree as Xml

import pytest

from app.drawings.canvas import Canvas, Pen

SVG = "{http://www.w3.org/2000/svg}"


def drawn(canvas: Canvas) -> Xml.Element:
    return Xml.fromstring(canvas.svg())


def test_its_size_on_paper_is_the_plan_over_the_scale() -> None:
    root = drawn(Canvas((0, 0, 9000, 6000), 50, "Roof"))
    assert (root.get("width"), root.get("height")) == ("180mm", "120mm")
    assert root.get("viewBox") == "0 0 9000 6000"


def test_up_on_the_plan_is_up_on_the_sheet() -> None:
    canvas = Canvas((0, 0, 1000, 1000), 50, "Roof")
    canvas.line(((0, 0), (0, 1000)), "x", Pen())
    path = drawn(canvas).find(f"{SVG}path")
    assert path is not None
    assert path.get("d") == "M0 1000L0 0"


def test_line_widths_are_those_of_the_paper() -> None:
    canvas = Canvas((0, 0, 1000, 1000), 20, "Roof")
    canvas.circle((500, 500), 100, "drain", Pen(0.5))
    circle = drawn(canvas).find(f"{SVG}circle")
    assert circle is not None
    assert float(circle.get("stroke-width", "0")) == pytest.approx(10)


def test_names_typed_by_people_stay_text() -> None:
    canvas = Canvas((0, 0, 1000, 1000), 50, '"><script>alert(1)</script>')
    canvas.text((500, 500), "<b>deck</b> & co")
    root = drawn(canvas)
    assert root.get("aria-label") == '"><script>alert(1)</script>'
    text = root.find(f"{SVG}text")
    assert text is not None
    assert text.text == "<b>deck</b> & co"
    assert not list(root.iter(f"{SVG}script"))


def test_a_screen_reader_hears_what_the_drawing_shows() -> None:
    root = drawn(Canvas((0, 0, 10, 10), 50, "Plan of a roof"))
    title = root.find(f"{SVG}title")
    assert title is not None
    assert (root.get("role"), title.text) == ("img", "Plan of a roof")
