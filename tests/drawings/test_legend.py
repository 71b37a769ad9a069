"""The legend names every hatch that a drawing can use."""

from xml.etree import ElementTree as Xml

from app.drawings.hatches import HATCHES
from app.drawings.legend import legend_svg

_SVG = "{http://www.w3.org/2000/svg}"


def test_each_hatch_is_drawn_beside_its_name() -> None:
    root = Xml.fromstring(legend_svg())
    words = {text.text for text in root.iter(f"{_SVG}text")}
    fills = {shape.get("fill") for shape in root.iter(f"{_SVG}path")}
    for name, (_, _, _, meaning) in HATCHES.items():
        assert meaning in words
        assert f"url(#hatch-{name})" in fills


def test_a_line_is_as_wide_as_it_says() -> None:
    root = Xml.fromstring(legend_svg())
    lines = [path for path in root.iter(f"{_SVG}path") if path.get("class") == "ink-line"]
    said = [text.text for text in root.iter(f"{_SVG}text") if (text.text or "").endswith(" mm")]
    assert len(said) == 8
    drawn = [f"{float(path.get('stroke-width') or 0) / 100:.2f} mm" for path in lines[: len(said)]]
    assert drawn == said
