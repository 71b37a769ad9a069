"""Sticks are drawn as they are cut: slanting ends follow the rim they meet, long point to long point."""

import io
import math

import ezdxf
import pytest
import shapely

from app.drawings.dxf_out import plan_dxf
from app.drawings.frame import frame_svg
from app.drawings.section import section_cuts
from app.drawings.stick_shapes import stick_corners, stick_shapes
from app.takeoff.framing.records import Stick
from tests import demo

JOBS = ["harbour-workshop", "net-store"]


def slanted(name: str) -> list[Stick]:
    """The sleepers that are cut longer than their centre line."""
    sticks = demo.answer(name).takeoff.framing.sticks
    return [
        stick
        for stick in sticks
        if stick.role == "sleeper" and stick.length_mm - math.dist(stick.start_mm, stick.end_mm) > 0.5
    ]


@pytest.mark.parametrize("name", JOBS)
def test_a_slanting_end_follows_what_it_meets_and_gives_the_length_to_cut(name: str) -> None:
    takeoff = demo.answer(name).takeoff
    shapes = stick_shapes(demo.demo_job(name), takeoff)
    rims = shapely.union_all(
        [shapely.Polygon(shapes[stick.id]) for stick in takeoff.framing.sticks if stick.role == "rim"]
    )
    widths = {section.id: section.width_mm for section in demo.demo_job(name).choices.sections}
    cut = [
        stick
        for stick in slanted(name)
        if shapes[stick.id] != stick_corners(stick.start_mm, stick.end_mm, widths[stick.section])
    ]
    # One stick of the second job stops short of the rim, and stays square.
    assert len(cut) >= len(slanted(name)) - 1 > 0
    for stick in cut:
        (x0, y0), (x1, y1) = stick.start_mm, stick.end_mm
        long_mm = math.dist(stick.start_mm, stick.end_mm)
        along = [(x * (x1 - x0) + y * (y1 - y0)) / long_mm for x, y in shapes[stick.id]]
        assert max(along) - min(along) == pytest.approx(stick.length_mm, abs=2.0)
        assert shapely.Polygon(shapes[stick.id]).intersection(rims).area < 1.0
        assert shapely.Polygon(shapes[stick.id]).distance(rims) < 3.0


@pytest.mark.parametrize("name", ["harbour-workshop", "net-store", "quay-loft"])
def test_a_square_stick_stays_the_rectangle_it_is(name: str) -> None:
    job, takeoff = demo.demo_job(name), demo.answer(name).takeoff
    widths = {section.id: section.width_mm for section in job.choices.sections}
    slanting = {stick.id for stick in slanted(name)}
    shapes = stick_shapes(job, takeoff)
    for stick in takeoff.framing.sticks:
        if stick.id in shapes and stick.id not in slanting:
            assert shapes[stick.id] == stick_corners(stick.start_mm, stick.end_mm, widths[stick.section])
    assert all(f"sleeper {name}" in frame_svg(job, takeoff, job.units) for name in slanting)


@pytest.mark.parametrize("name", JOBS)
def test_slanting_ends_are_the_same_in_the_drawing_given_out_and_in_the_section(name: str) -> None:
    job, takeoff = demo.demo_job(name), demo.answer(name).takeoff
    shapes = stick_shapes(job, takeoff)
    document = ezdxf.read(io.StringIO(plan_dxf(job, takeoff)))  # type: ignore[attr-defined]
    drawn = [
        shapely.Polygon([(x, y) for x, y, *_ in line.get_points()])
        for line in document.modelspace().query("LWPOLYLINE")
        if line.dxf.layer.startswith("SLEEPER")
    ]
    widths = {section.id: section.width_mm for section in job.choices.sections}
    longer = 0
    for stick in slanted(name):
        shape = shapely.Polygon(shapes[stick.id])
        assert any(shape.symmetric_difference(other).area < 1.0 for other in drawn), stick.id
        # Cut along the side of the stick, where a slanting end is longest or shortest.
        for side in (-0.45, 0.45):
            line = beside(stick, side * widths[stick.section])
            cuts = [cut for cut in section_cuts(job, takeoff, *line) if cut.id == stick.id]
            along_mm = sum(cut.to_mm - cut.from_mm for cut in cuts)
            assert along_mm == pytest.approx(shape.intersection(shapely.LineString(line)).length, abs=0.1)
            longer += along_mm > math.dist(stick.start_mm, stick.end_mm) + 0.5
    assert longer > 0


def beside(stick: Stick, off_mm: float) -> tuple[tuple[float, float], tuple[float, float]]:
    """A line along a stick, off its centre, well past both ends."""
    (x0, y0), (x1, y1) = stick.start_mm, stick.end_mm
    long_mm = math.dist(stick.start_mm, stick.end_mm)
    ux, uy = (x1 - x0) / long_mm, (y1 - y0) / long_mm
    return (
        (x0 - uy * off_mm - ux * 200, y0 + ux * off_mm - uy * 200),
        (x1 - uy * off_mm + ux * 200, y1 + ux * off_mm + uy * 200),
    )
