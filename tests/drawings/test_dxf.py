"""A plan goes out as DXF and comes back; a plain reader and a second library see the same areas."""

import io
from collections import defaultdict
from dataclasses import replace
from pathlib import Path
from typing import Any

import numpy as np
import pyogrio.raw
import pytest
import shapely
from ezdxf import recover
from shapely import Polygon

from app.drawings.dxf_in import read_dxf
from app.drawings.dxf_out import plan_dxf
from app.job.errors import InputErrors
from tests import demo

Pair = tuple[int, str]
WRITTEN = plan_dxf(demo.demo_job(), demo.answer().takeoff)


def pairs(text: str) -> list[Pair]:
    lines = text.splitlines()
    return [(int(code), value) for code, value in zip(lines[::2], lines[1::2], strict=True)]


def plain_rings(text: str) -> list[tuple[str, list[tuple[float, float]]]]:
    """Read closed LWPOLYLINEs by their group codes alone: no library, no shared code."""
    found: list[tuple[str, list[tuple[float, float]]]] = []
    layer, xs, ys, is_closed, kind = "", [], [], False, ""
    for code, value in [*pairs(text), (0, "END")]:
        if code == 0:
            if kind == "LWPOLYLINE" and is_closed:
                found.append((layer, list(zip(xs, ys, strict=True))))
            layer, xs, ys, is_closed, kind = "", [], [], False, value.strip()
        elif kind == "LWPOLYLINE":
            if code == 8:
                layer = value.strip()
            elif code == 10:
                xs.append(float(value))
            elif code == 20:
                ys.append(float(value))
            elif code == 70:
                is_closed = bool(int(value) & 1)
    return found


def test_the_same_job_gives_the_same_bytes() -> None:
    assert plan_dxf(demo.demo_job(), demo.answer().takeoff) == WRITTEN


def test_the_library_s_own_auditor_finds_nothing_to_mend() -> None:
    document, auditor = recover.read(io.BytesIO(WRITTEN.encode()))
    assert not auditor.errors
    assert not auditor.fixes
    assert document.header["$INSUNITS"] == 4


def test_a_plain_reader_finds_the_area_of_every_material_to_a_millionth() -> None:
    drawn: dict[str, float] = defaultdict(float)
    for layer, ring in plain_rings(WRITTEN):
        drawn[layer] += Polygon(ring).area
    wanted: dict[str, float] = defaultdict(float)
    for piece in demo.answer().takeoff.layout.pieces:
        if piece.plane == "plan":
            wanted[f"BOARD-{piece.profile}"] += Polygon(piece.outline_mm).area
    wanted["ROOF"] = Polygon(demo.demo_job().survey.outline_mm).area
    assert wanted
    for layer, area in wanted.items():
        assert drawn[layer] == pytest.approx(area, rel=1e-6), layer


def test_every_board_on_the_drawing_carries_the_number_of_the_cut_plan() -> None:
    texts = {value.strip() for code, value in pairs(WRITTEN) if code == 1}
    takeoff = demo.answer().takeoff
    assert {piece.id for piece in takeoff.layout.pieces if piece.plane == "plan"} <= texts


def test_what_went_out_comes_back_with_the_same_areas() -> None:
    found = read_dxf(WRITTEN)
    roof = next(outline for outline in found.outlines if outline.layer == "ROOF")
    wanted = Polygon(demo.demo_job().survey.outline_mm)
    assert roof.area_m2 == pytest.approx(wanted.area / 1e6, rel=1e-6)
    assert Polygon(roof.corners_mm).symmetric_difference(wanted).area == pytest.approx(0, abs=1)
    fields = [o.area_m2 for o in found.outlines if o.layer == "FIELD"]
    drawn = [Polygon(field.outline_mm).area / 1e6 for field in demo.demo_job().plan.deck_fields]
    assert sorted(fields) == pytest.approx(sorted(drawn), rel=1e-6)


def by_hand(vertices: list[tuple[float, float]], *, units: int | None = 6, closed: int = 1) -> str:
    """A DXF as other programs of old write it: R12, POLYLINE with VERTEX, hardly a header."""
    head = ["0", "SECTION", "2", "HEADER"]
    if units is not None:
        head += ["9", "$INSUNITS", "70", str(units)]
    head += ["0", "ENDSEC", "0", "SECTION", "2", "ENTITIES"]
    body = ["0", "POLYLINE", "8", "Umriss", "66", "1", "70", str(closed)]
    for x, y in vertices:
        body += ["0", "VERTEX", "8", "Umriss", "10", str(x), "20", str(y), "30", "0"]
    return "\n".join([*head, *body, "0", "SEQEND", "0", "ENDSEC", "0", "EOF", ""])


SQUARE = [(0.0, 0.0), (6.0, 0.0), (6.0, 4.0), (0.0, 4.0)]


def test_a_polyline_written_by_hand_in_metres_is_read_in_millimetres() -> None:
    (found,) = read_dxf(by_hand(SQUARE)).outlines
    assert found.area_m2 == pytest.approx(24.0)
    assert found.corners_mm[2] == (6000.0, 4000.0)


def test_a_drawing_without_a_unit_is_asked_for_one() -> None:
    with pytest.raises(InputErrors, match="unit"):
        read_dxf(by_hand(SQUARE, units=None))
    (found,) = read_dxf(by_hand(SQUARE, units=None), "ft").outlines
    assert found.area_m2 == pytest.approx(24 * 0.3048**2)


def test_an_arc_in_a_polyline_is_followed_to_a_millimetre() -> None:
    # A square of 2 m whose right side is a half circle: bulge 1 (DXF reference, group code 42).
    text = by_hand([(0.0, 0.0), (2.0, 0.0), (2.0, 2.0), (0.0, 2.0)])
    bowed = text.replace("10\n2.0\n20\n0.0\n30\n0", "10\n2.0\n20\n0.0\n30\n0\n42\n1.0")
    (found,) = read_dxf(bowed).outlines
    assert found.area_m2 == pytest.approx(4 + 3.14159265 / 2, rel=2e-3)


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("", "not a DXF"),
        ("hello", "not a DXF"),
        ("AutoCAD Binary DXF\r\n\x1a\x00", "binary"),
        (by_hand(SQUARE, closed=0), "no closed polyline"),
        (by_hand([(0, 0), (6, 4), (6, 0), (0, 4)]), "no closed polyline"),
        (by_hand([(0, 0), (1e9, 0), (1e9, 1e9)]), "no closed polyline"),
        ("0\nSECTION\n" + "9" * 3_100_000, "at most"),
        ("0\nSECTION\n" + "0\nLINE\n" * 50_001, "parts"),
        ("0\nSECTION\n2\nENTITIES\n0\nLWPOLYLINE\n10\nnan\n", "unit"),
    ],
    ids=["empty", "text", "binary", "open", "crossed", "huge", "long", "many", "torn"],
)
def test_what_cannot_be_used_is_refused_with_a_reason(text: str, told: str) -> None:
    with pytest.raises(InputErrors, match=told):
        read_dxf(text)


def test_damaged_numbers_are_told_with_the_outline() -> None:
    whole = by_hand(SQUARE)
    assert not any("are damaged" in note for note in read_dxf(whole).notes)
    assert "\n4.0\n" in whole
    found = read_dxf(whole.replace("\n4.0\n", "\n4.0?x\n", 1))
    assert any("numbers in the file are damaged" in note for note in found.notes)


def by_second_library(path: Path) -> list[tuple[str, Any]]:
    """Every part of a drawing as GDAL's reader sees it: its layer and its shape."""
    meta, _, shapes, data = pyogrio.raw.read(str(path))
    layers = data[list(meta["fields"]).index("Layer")]
    return list(zip(layers, shapely.from_wkb(shapes), strict=True))


def test_a_second_library_opens_it_with_layers_by_material_and_the_same_areas(tmp_path: Path) -> None:
    (tmp_path / "plan.dxf").write_text(WRITTEN)
    drawn: dict[str, float] = defaultdict(float)
    for layer, shape in by_second_library(tmp_path / "plan.dxf"):
        if shape.geom_type == "LineString" and shape.is_ring:
            drawn[layer] += Polygon(shape.coords).area
    job, takeoff = demo.demo_job(), demo.answer().takeoff
    assert drawn["ROOF"] == pytest.approx(Polygon(job.survey.outline_mm).area, rel=1e-6)
    for profile in {piece.profile for piece in takeoff.layout.pieces if piece.plane == "plan"}:
        pieces = (p for p in takeoff.layout.pieces if p.plane == "plan" and p.profile == profile)
        wanted = sum(Polygon(piece.outline_mm).area for piece in pieces)
        assert drawn[f"BOARD-{profile}"] == pytest.approx(wanted, rel=1e-6)
    assert {f"PAD-{pad.pad}" for pad in takeoff.framing.pads} <= set(drawn)


@pytest.mark.filterwarnings("ignore:'crs' was not provided")
def test_an_outline_written_by_a_second_library_is_read_with_its_area(tmp_path: Path) -> None:
    ring = [(0.0, 0.0), (6000.5, 0.0), (6000.5, 4000.25), (2500.0, 5200.125), (0.0, 4000.0)]
    lines = [shapely.LineString([*ring, ring[0]]), shapely.LineString(ring)]  # the second stays open
    path = tmp_path / "theirs.dxf"
    layers = [np.array(["ROOF", "WALL"], dtype=object)]
    shapes = np.array([shapely.to_wkb(line) for line in lines], dtype=object)
    pyogrio.raw.write(str(path), shapes, layers, ["Layer"], geometry_type="LineString", driver="DXF")
    (found,) = read_dxf(path.read_text(), "mm").outlines
    assert found.layer == "ROOF"
    assert len(found.corners_mm) == len(ring)
    assert found.area_m2 == pytest.approx(Polygon(ring).area / 1e6, rel=1e-6)


def test_pedestals_go_out_as_circles_of_their_foot_and_take_the_place_of_their_pads() -> None:
    job, takeoff = demo.demo_job(), demo.answer().takeoff
    foot = job.choices.pedestals[0]
    pads = tuple(
        replace(spot, pedestal=foot.id) if number < 3 else spot
        for number, spot in enumerate(takeoff.framing.pads)
    )
    stood = replace(takeoff, framing=replace(takeoff.framing, pads=pads))
    document, _ = recover.read(io.BytesIO(plan_dxf(job, stood).encode()))
    feet = [one for one in document.modelspace().query("CIRCLE") if one.dxf.layer.startswith("PEDESTAL")]
    assert [one.dxf.radius for one in feet] == [foot.foot_mm / 2] * 3
    squares = [one for one in document.modelspace() if one.dxf.layer.startswith("PAD")]
    assert len(squares) == len(pads) - 3
