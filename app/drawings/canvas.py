"""A drawing in the making: plan millimetres in, SVG out, with the line weights of the paper.

The sheet's y runs down, the plan's runs up; every method takes plan coordinates and turns them over itself,
so that text stays upright without a transform. Sizes of ink (line weights, letters) are given in millimetres
on paper and multiplied by the scale, so that screen, print and phone show one drawing.
"""

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from xml.etree import ElementTree as Xml

Spot = tuple[float, float]

# Line widths on paper after the ISO 128 series, in mm.
HAIR_MM, NARROW_MM, MIDDLE_MM, WIDE_MM, EXTRA_WIDE_MM = 0.13, 0.18, 0.35, 0.5, 0.7
# Heights of letters on paper after ISO 3098-1, in mm.
SMALL_MM, NOTE_MM, TITLE_MM = 2.5, 3.5, 5.0
DASHED, CHAIN, DOUBLE_CHAIN = (3.0, 1.5), (6.0, 1.5, 1.0, 1.5), (6.0, 1.2, 1.0, 1.2, 1.0, 1.2)


@dataclass(frozen=True, slots=True)
class Pen:
    """How a line is drawn and what fills it.

    Attributes
    ----------
    width_mm : float
        Line width on paper. [mm]
    dash : tuple of float
        Dashes and gaps on paper. [mm]
    fill : str
        ``none``, ``paper``, ``ink``, the name of a hatch, or a shade such as ``#aaa79f``.
    """

    width_mm: float = NARROW_MM
    dash: tuple[float, ...] = ()
    fill: str = "none"


@dataclass(frozen=True, slots=True)
class Written:
    """Words that stand on a drawing.

    Attributes
    ----------
    at : Spot
        Where they are anchored.
    words : str
    height_mm : float
        Of the letters, on paper. [mm]
    anchor : str
        ``start``, ``middle`` or ``end``.
    turn_deg : float
        Anticlockwise. [deg]
    """

    at: Spot
    words: str
    height_mm: float
    anchor: str
    turn_deg: float


@dataclass
class Canvas:
    """An SVG drawing at a scale.

    Attributes
    ----------
    box_mm : tuple of float
        What is shown, in plan millimetres: least x, least y, greatest x, greatest y. [mm]
    scale : float
        Plan millimetres to one millimetre of paper.
    title : str
        What the drawing shows; read aloud by a screen reader.
    written : list of Written
        All words so far.
    """

    box_mm: tuple[float, float, float, float]
    scale: float
    title: str
    written: list[Written] = field(default_factory=list, init=False, repr=False)
    _root: Xml.Element = field(init=False, repr=False)
    _layer: Xml.Element = field(init=False, repr=False)
    _defs: Xml.Element = field(init=False, repr=False)

    def __post_init__(self) -> None:
        """Start the SVG with its frame of reference."""
        left, bottom, right, top = self.box_mm
        width, height = right - left, top - bottom
        self._root = Xml.Element(
            "svg",
            {
                "xmlns": "http://www.w3.org/2000/svg",
                "class": "drawing",
                "role": "img",
                "aria-label": self.title,
                "viewBox": f"0 0 {_short(width)} {_short(height)}",
                "width": f"{_short(width / self.scale)}mm",
                "height": f"{_short(height / self.scale)}mm",
            },
        )
        Xml.SubElement(self._root, "title").text = self.title
        self._defs = Xml.SubElement(self._root, "defs")
        self._layer = self._root

    def layer(self, name: str) -> None:
        """Put what follows into a layer of its own, named for styles and for a reader of the file."""
        self._layer = Xml.SubElement(self._root, "g", {"class": f"layer-{name}"})

    def polygon(self, corners: Iterable[Spot], ink: str, pen: Pen, label: str = "") -> None:
        """Draw a closed outline."""
        self.shape((tuple(corners),), ink, pen, label)

    def shape(self, rings: Sequence[Sequence[Spot]], ink: str, pen: Pen, label: str = "") -> None:
        """Draw an outline with holes: first ring outer, the rest left open."""
        path = " ".join("M" + "L".join(self._at(spot) for spot in ring) + "Z" for ring in rings)
        element = self._add("path", ink, pen, {"d": path, "fill-rule": "evenodd"})
        if label:
            Xml.SubElement(element, "title").text = label

    def line(self, spots: Sequence[Spot], ink: str, pen: Pen) -> None:
        """Draw an open line through the spots."""
        self._add("path", ink, pen, {"d": "M" + "L".join(self._at(spot) for spot in spots)})

    def circle(self, centre: Spot, radius_mm: float, ink: str, pen: Pen, label: str = "") -> None:
        """Draw a circle of a radius on the plan."""
        x, y = self._turned(centre)
        attributes = {"cx": _short(x), "cy": _short(y), "r": _short(radius_mm)}
        element = self._add("circle", ink, pen, attributes)
        if label:
            Xml.SubElement(element, "title").text = label

    def text(
        self,
        at: Spot,
        words: str,
        height_mm: float = SMALL_MM,
        *,
        anchor: str = "middle",
        turn_deg: float = 0,
    ) -> None:
        """Write words centred on a spot, turned anticlockwise."""
        x, y = self._turned(at)
        attributes = {
            "class": "ink-text",
            "x": _short(x),
            "y": _short(y),
            "font-size": _short(height_mm * self.scale),
            "text-anchor": anchor,
            "dominant-baseline": "central",
            "font-family": "Archivo Narrow, sans-serif",
            "fill": "#1d1c1a",
        }
        if turn_deg:
            attributes["transform"] = f"rotate({_short(-turn_deg)} {_short(x)} {_short(y)})"
        Xml.SubElement(self._layer, "text", attributes).text = words
        self.written.append(Written(at, words, height_mm, anchor, turn_deg))

    def hatch(self, name: str, tile_mm: float, marks: Sequence[Sequence[Spot]], turn_deg: float = 0) -> None:
        """Define a hatch: marks within a tile, in paper millimetres; a mark of one spot is a dot."""
        size = _short(tile_mm * self.scale)
        attributes = {"id": f"hatch-{name}", "patternUnits": "userSpaceOnUse", "width": size, "height": size}
        if turn_deg:
            attributes["patternTransform"] = f"rotate({_short(turn_deg)})"
        pattern = Xml.SubElement(self._defs, "pattern", attributes)
        for mark in marks:
            paper = [(x * self.scale, y * self.scale) for x, y in mark]
            if len(paper) == 1:
                dot = {"cx": _short(paper[0][0]), "cy": _short(paper[0][1]), "r": _short(0.22 * self.scale)}
                Xml.SubElement(pattern, "circle", {"class": "ink-dot", "fill": "#1d1c1a", **dot})
                continue
            path = "M" + "L".join(f"{_short(x)} {_short(y)}" for x, y in paper)
            stroke = {"stroke": "#1d1c1a", "stroke-width": _short(HAIR_MM * self.scale), "fill": "none"}
            Xml.SubElement(pattern, "path", {"class": "ink-hatch", "d": path, **stroke})

    def paper_mm(self, paper_mm: float) -> float:
        """Give the plan length that a length on paper covers."""
        return paper_mm * self.scale

    def svg(self) -> str:
        """Give the finished drawing as text."""
        return Xml.tostring(self._root, encoding="unicode")

    def _add(self, tag: str, ink: str, pen: Pen, attributes: dict[str, str]) -> Xml.Element:
        shade = pen.fill if pen.fill.startswith("#") else f"url(#hatch-{pen.fill})"
        fill = {"none": "none", "paper": "#fdfbf6", "ink": "#1d1c1a"}.get(pen.fill, shade)
        common = {
            "class": f"ink-{ink}",
            "fill": fill,
            "stroke": "#1d1c1a",
            "stroke-width": _short(pen.width_mm * self.scale),
            "stroke-linejoin": "miter",
        }
        if pen.dash:
            common["stroke-dasharray"] = " ".join(_short(length * self.scale) for length in pen.dash)
        return Xml.SubElement(self._layer, tag, {**common, **attributes})

    def _turned(self, spot: Spot) -> Spot:
        left, _, _, top = self.box_mm
        return spot[0] - left, top - spot[1]

    def _at(self, spot: Spot) -> str:
        x, y = self._turned(spot)
        return f"{_short(x)} {_short(y)}"


def _short(number: float) -> str:
    """Write a number with at most one decimal: a tenth of a plan millimetre is finer than any pencil."""
    rounded = round(number, 1)
    if rounded == 0 or not math.isfinite(rounded):
        return "0"
    return f"{rounded:g}" if abs(rounded) < 1e5 else f"{rounded:.1f}"
