"""The drawings show the very pieces that are cut and priced."""

import re
from pathlib import Path
from xml.etree import ElementTree as Xml

import pytest

from app.drawings.frame import frame_svg
from app.drawings.loads import loads_svg
from app.drawings.plan import plan_svg
from app.drawings.roof import roof_svg
from app.drawings.rough_in import rough_in_svg
from app.drawings.walls import wall_svgs
from app.job.file import read_job_text
from app.measure.show import format_length
from app.takeoff.chain import take_off
from tests import demo

FULL = Path(__file__).parents[2] / "shared" / "schema" / "examples" / "full.json"
SVG = "{http://www.w3.org/2000/svg}"


def titles(svg: str) -> list[str]:
    return [e.text or "" for e in Xml.fromstring(svg).iter(f"{SVG}title")]


def words(svg: str) -> list[str]:
    return [e.text or "" for e in Xml.fromstring(svg).iter(f"{SVG}text")]


def test_every_deck_piece_is_drawn_once_under_its_number() -> None:
    takeoff = demo.answer().takeoff
    drawn = [t.removeprefix("board ") for t in titles(plan_svg(demo.demo_job(), takeoff, "metric"))]
    wanted = [piece.id for piece in takeoff.layout.pieces if piece.plane == "plan"]
    assert sorted(t for t in drawn if t in set(wanted)) == sorted(wanted)


def test_the_plan_carries_dimensions_fall_north_and_scale() -> None:
    found = words(plan_svg(demo.demo_job(), demo.answer().takeoff, "metric", 50))
    assert format_length(9000, "metric") in found
    assert f"fall {demo.answer().takeoff.roof.fall_pct:.1f} %" in found
    assert {"N", "1 : 50"} <= set(found)


def test_the_plan_reads_in_feet_for_those_who_measure_so() -> None:
    assert format_length(9000, "imperial") in words(
        plan_svg(demo.demo_job(), demo.answer().takeoff, "imperial")
    )


def test_pads_are_written_in_inches_for_those_who_measure_so() -> None:
    takeoff = demo.answer().takeoff
    spot = takeoff.framing.pads[0]
    mark = next(band.mark for band in takeoff.framing.pad_schedule if spot.id in band.ids)
    svg = frame_svg(demo.demo_job(), takeoff, "imperial")
    assert {mark, format_length(spot.height_mm, "imperial")} <= set(words(svg))
    assert not [told for told in (*words(svg), *titles(svg)) if told.endswith(" mm") or " mm," in told]


def test_every_pad_is_drawn_with_its_height() -> None:
    takeoff = demo.answer().takeoff
    found = titles(frame_svg(demo.demo_job(), takeoff, "metric"))
    marks = {pad: band.mark for band in takeoff.framing.pad_schedule for pad in band.ids}
    for spot in takeoff.framing.pads:
        packers = f"packers {', '.join(spot.packers)}, " if spot.packers else ""
        wanted = f"pad {spot.id}, {marks[spot.id]}, {spot.height_mm:.0f} mm, {packers}{spot.shims} shims"
        assert wanted in found


def test_every_run_carries_its_tag() -> None:
    takeoff = demo.answer().takeoff
    found = set(words(rough_in_svg(demo.demo_job(), takeoff, "metric")))
    assert {run.id for run in takeoff.rough_in.runs if len(run.path_mm) > 1} <= found


def test_every_wall_piece_is_drawn_in_its_elevation() -> None:
    takeoff = demo.answer().takeoff
    drawings = dict(wall_svgs(demo.demo_job(), takeoff, "metric"))
    assert list(drawings) == [wall.wall for wall in takeoff.layout.walls]
    for wall, svg in drawings.items():
        wanted = [f"board {p.id}" for p in takeoff.layout.pieces if p.plane == wall]
        assert wanted
        assert set(wanted) <= set(titles(svg))


def test_loads_are_written_where_they_lie() -> None:
    takeoff = demo.answer().takeoff
    found = words(loads_svg(demo.demo_job(), takeoff, "metric"))
    assert sum("kPa" in text for text in found) >= len(demo.demo_job().plan.planters)


@pytest.mark.parametrize("name", ["harbour-workshop", "quay-loft", "net-store"])
def test_no_coordinate_is_lost_or_broken(name: str) -> None:
    svg = plan_svg(demo.demo_job(name), demo.answer(name).takeoff, "metric")
    assert not re.search(r"nan|inf", svg.split("</title>", 1)[1].split("<text")[0])


def test_the_roof_is_drawn_as_measured() -> None:
    job = read_job_text(FULL.read_text(encoding="utf-8"))
    takeoff = take_off(job, {})
    svg = roof_svg(job, takeoff, "metric")
    assert len([t for t in titles(svg) if t.startswith("zone ")]) == len(job.survey.zones)
    found = words(svg)
    assert "Upper roof" in found
    assert "cricket" in found
    for spot in job.survey.spot_heights:
        assert format_length(spot.z_mm, "metric").removesuffix(" mm") in found
    assert sum(t.endswith(" %") for t in titles(svg)) == len(takeoff.roof.arrows) > 0


def test_steps_returns_and_screens_are_drawn_from_their_pieces() -> None:
    job = read_job_text(FULL.read_text(encoding="utf-8"))
    takeoff = take_off(job, {})
    assert any("up to lounge" in word for word in words(plan_svg(job, takeoff, "metric")))
    ((_, wall),) = wall_svgs(job, takeoff, "metric")
    drawn = set(titles(wall))
    returns = [piece.id for piece in takeoff.layout.pieces if "-return-" in piece.plane]
    assert returns
    assert {f"board {name}" for name in returns} <= drawn
    assert "screen in niche" in drawn
