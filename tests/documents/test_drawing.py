"""A drawing printed is true to scale: known lengths are measured in the finished PDF."""

import pypdfium2
import pytest

from app.documents.drawing import QUARTER_INCH, DrawingInputs, drawing_pdf
from app.drawings.plan import plan_svg
from tests import demo

MM_PER_POINT = 25.4 / 72  # ISO 32000-1, 8.3.2.3
JOB, TAKEOFF = demo.demo_job(), demo.answer().takeoff


def printed(scale: float) -> bytes:
    svg = plan_svg(JOB, TAKEOFF, JOB.units, scale, with_numbers=True)
    return drawing_pdf(
        DrawingInputs(svg, "Plan", "Firm", "2026-1", "Roof", "Client", "2026-05-04", "v1", scale)
    )


def boxes_mm(pdf: bytes, scale: float) -> list[tuple[float, float, float, float]]:
    """The box of every line and face on the sheet, measured in the PDF and taken back to the roof."""
    document = pypdfium2.PdfDocument(pdf)
    found = [thing.get_bounds() for thing in document[0].get_objects(max_depth=8) if thing.type == 2]
    document.close()
    return [tuple(side * MM_PER_POINT * scale for side in box) for box in found]  # type: ignore[misc]


@pytest.mark.parametrize("scale", [50.0, QUARTER_INCH], ids=["1 to 50", "a quarter inch to the foot"])
def test_the_roof_measures_on_paper_what_it_is_at_the_scale_said(scale: float) -> None:
    xs, ys = zip(*JOB.survey.outline_mm, strict=True)
    long, high = max(xs) - min(xs), max(ys) - min(ys)
    boxes = boxes_mm(printed(scale), scale)
    (roof,) = [box for box in boxes if 0 < box[2] - box[0] - long < 60 and 0 < box[3] - box[1] - high < 60]
    line = roof[2] - roof[0] - long  # a line is as wide on both axes, and a millimetre of paper at most
    assert line / scale <= 1.05
    assert roof[3] - roof[1] - high == pytest.approx(line, abs=0.5)
    # The bed and every long board lie from the roof's corner as far as the engine says.
    boards = [p.outline_mm for p in TAKEOFF.layout.pieces if p.plane == "plan" and p.length_mm > 2500]
    for ring in (JOB.plan.stone_beds[0].outline_mm, *boards):
        left, low = min(x for x, _ in ring) - min(xs), min(y for _, y in ring) - min(ys)
        wide = max(x for x, _ in ring) - min(x for x, _ in ring)
        assert any(
            abs(box[0] - roof[0] - left) < line
            and abs(box[1] - roof[1] - low) < line
            and abs(box[2] - box[0] - wide) < line
            for box in boxes
        )


def test_the_sheet_says_its_scale_and_its_size() -> None:
    document = pypdfium2.PdfDocument(printed(QUARTER_INCH))
    words = document[0].get_textpage().get_text_range()
    wide, high = document[0].get_size()
    document.close()
    assert "1/4\" = 1'" in words
    assert (wide * MM_PER_POINT, high * MM_PER_POINT) == (
        pytest.approx(420, abs=0.2),
        pytest.approx(297, abs=0.2),
    )
