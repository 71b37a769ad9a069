"""A section cuts what lies under its line, at the levels the engine gives."""

import math
from xml.etree import ElementTree as Xml

import pytest

from app.drawings.levels import level_of_fields
from app.drawings.section import section_cuts, section_svg
from tests import demo

JOB, TAKEOFF = demo.demo_job(), demo.answer().takeoff
ALONG, ACROSS = ((0.0, 2150.0), (9000.0, 2150.0)), ((6000.0, 4200.0), (6000.0, 0.0))


def cuts(kind: str, line: tuple[tuple[float, float], tuple[float, float]] = ALONG) -> list:  # type: ignore[type-arg]
    return [cut for cut in section_cuts(JOB, TAKEOFF, *line) if cut.kind == kind]


def test_boards_lie_with_their_top_at_the_level_of_their_field() -> None:
    found = cuts("board", ACROSS)
    assert found
    levels = set(level_of_fields(JOB, TAKEOFF).values())
    assert {cut.top_mm for cut in found} <= levels
    assert all(0 < cut.top_mm - cut.bottom_mm < 50 for cut in found)


def test_across_the_courses_every_board_is_cut_once_at_its_width() -> None:
    found = cuts("board", ACROSS)
    widths = {piece.id: piece.width_mm for piece in TAKEOFF.layout.pieces}
    assert len({cut.id for cut in found}) == len(found)
    full = [cut for cut in found if abs(widths[cut.id] - 140) < 0.1 and "-" in cut.id]
    straight = [cut for cut in full if abs(cut.to_mm - cut.from_mm - 140) < 0.1]
    assert len(straight) > 20


def test_a_pad_with_its_shims_reaches_from_the_membrane_to_its_sleeper() -> None:
    tall = {spot.id: spot for spot in TAKEOFF.framing.pads}
    for line in (ALONG, ACROSS):
        for cut in cuts("pad", line):
            spot = tall[cut.id]
            assert cut.bottom_mm == pytest.approx(TAKEOFF.roof.height_mm(spot.x_mm, spot.y_mm), abs=0.1)
        for cut in cuts("shims", line):
            spot = tall[cut.id]
            assert cut.top_mm == pytest.approx(spot.roof_mm + spot.height_mm)


def test_a_line_to_the_edge_of_the_roof_cuts_its_parapet() -> None:
    (quay,) = [cut for cut in cuts("edge", ACROSS) if cut.id == "quay-side"]
    assert quay.top_mm - quay.bottom_mm == pytest.approx(1320)
    assert quay.from_mm == pytest.approx(4200, abs=1)


def test_the_section_is_true_to_scale_and_names_its_levels() -> None:
    svg = section_svg(JOB, TAKEOFF, *ACROSS, "metric", 20)
    root = Xml.fromstring(svg)
    wide = float(root.attrib["width"].removesuffix("mm"))
    assert float(root.attrib["viewBox"].split()[2]) / wide == pytest.approx(20, rel=1e-3)
    words = " ".join(element.text or "" for element in root.iter("{http://www.w3.org/2000/svg}text"))
    for name in ("datum", "top of boards", "membrane, lowest", "threshold of door", "top of quay-side"):
        assert name in words


@pytest.mark.parametrize("turn", range(0, 180, 15))
def test_a_section_along_any_line_through_the_roof_can_be_drawn(turn: int) -> None:
    dx, dy = 20_000 * math.cos(math.radians(turn)), 20_000 * math.sin(math.radians(turn))
    line = ((4000 - dx, 2000 - dy), (4000 + dx, 2000 + dy))
    for cut in section_cuts(JOB, TAKEOFF, *line):
        assert 0 <= cut.from_mm <= cut.to_mm + 1e-6
        assert cut.bottom_mm <= cut.top_mm
    assert section_svg(JOB, TAKEOFF, *line, "imperial").startswith("<svg")
