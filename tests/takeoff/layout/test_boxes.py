"""Planters, benches, counters and stone beds."""

from typing import Any

import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from app.job import plan as p
from app.takeoff.layout.beds import devices_in, lay_bed
from app.takeoff.layout.lay_out import lay_out
from app.takeoff.layout.planters import build_planter, plants_by_spacing
from app.takeoff.layout.seats import build_bench, build_counter
from app.takeoff.roof.read_roof import read_roof
from tests.builders import a_job, a_plan, a_planter
from tests.takeoff.layout.shapes import polygons

JOB = a_job()
SQUARE = ((0, 0), (2000, 0), (2000, 1000), (0, 1000))


def a_bench(**changes: Any) -> p.Bench:
    fields: dict[str, Any] = {"id": "bench", "x_mm": 3000, "y_mm": 2000, "length_mm": 1800, "width_mm": 430}
    return p.Bench(**(fields | {"height_mm": 450, "board": "pine", "frame": "frame"} | changes))


def a_counter(**changes: Any) -> p.Counter:
    fields: dict[str, Any] = {"id": "counter", "x_mm": 3000, "y_mm": 2000, "length_mm": 2000, "width_mm": 600}
    fields |= {"height_mm": 900, "cladding": "pine", "frame": "frame", "top": "top"}
    return p.Counter(**(fields | changes))


def test_a_planter_holds_what_its_inside_and_depth_hold() -> None:
    layout, _ = build_planter(a_planter(), JOB)  # 1200 × 450 × 450, wall 40, media 300
    assert layout.media_m3 == pytest.approx(1.12 * 0.37 * 0.30)
    assert layout.drainage_m2 == pytest.approx(1.12 * 0.37)
    assert layout.liner_m2 == pytest.approx(1.12 * 0.37 + 2 * (1.12 + 0.37) * 0.45)
    assert layout.plants == 3 * 1


def test_a_planter_frame_fits_inside_its_cladding() -> None:
    layout, _ = build_planter(a_planter(), JOB)  # boards 20 mm, section 38 wide and 64 deep
    lengths = sorted(length for _, length in layout.frame_mm)
    long, short, post = 1200 - 40, 450 - 40 - 2 * 38, 450 - 2 * 64
    # Two bays along, one across: four corner posts, two between, one tie.
    assert lengths == sorted([long] * 4 + [short] * 5 + [post] * 6)
    assert {section for section, _ in layout.frame_mm} == {"frame"}


def test_front_and_back_run_over_the_corners() -> None:
    layout, pieces = build_planter(a_planter(), JOB)
    longest = {
        plane: max(x.length_mm for x in pieces if x.plane == plane) for plane in {x.plane for x in pieces}
    }
    assert longest == {
        "planter-front": 1200.0,
        "planter-back": 1200.0,
        "planter-left": 410.0,
        "planter-right": 410.0,
    }
    assert layout.clad_m2 == pytest.approx((2 * 1.2 + 2 * 0.41) * 0.45)


def test_only_the_faces_asked_for_are_clad() -> None:
    layout, pieces = build_planter(a_planter(clad_faces=("front",)), JOB)
    assert {x.plane for x in pieces} == {"planter-front"}
    assert layout.clad_m2 == pytest.approx(1.2 * 0.45)


def test_a_bench_has_seat_boards_along_it_on_plan_and_cladding_beneath() -> None:
    layout, pieces = build_bench(a_bench(), JOB)
    seat = [x for x in pieces if x.role == "seat"]
    assert [x.width_mm for x in seat] == pytest.approx([140.0] * 3)  # 430 = 3 × 140 + 2 × 5
    assert {x.length_mm for x in seat} == {1800.0}
    assert {x.plane for x in seat} == {"plan"}
    assert layout.top_m2 == pytest.approx(1.8 * 0.43)
    assert layout.clad_m2 == pytest.approx(1.8 * 0.43)  # 450 less the seat's 20


@settings(max_examples=20, deadline=None)
@given(st.floats(-180, 180))
def test_seat_boards_turn_with_their_bench(angle: float) -> None:
    layout, pieces = build_bench(a_bench(angle_deg=angle), JOB)
    seat = polygons(tuple(x for x in pieces if x.role == "seat"))
    footprint = shapely.Polygon(layout.outline_mm)
    assert shapely.covers(footprint.buffer(0.01), seat).all()
    assert footprint.area == pytest.approx(1800 * 430)


def test_a_counter_is_clad_under_its_top() -> None:
    layout, pieces = build_counter(a_counter(), JOB)
    assert layout.top_m2 == pytest.approx(1.2)
    assert layout.clad_m2 == pytest.approx((2.0 + 2 * 0.58) * 0.87)  # top 30 mm, front only covers a corner
    assert max(z for x in pieces for _, z in x.outline_mm) == pytest.approx(870.0)


def test_a_long_seat_is_joined_in_equal_pieces() -> None:
    _, pieces = build_bench(a_bench(length_mm=5000), JOB)
    seat = [x for x in pieces if x.role == "seat"]
    assert len(seat) == 6
    assert {round(x.length_mm, 3) for x in seat} == {2498.5}


@settings(max_examples=30, deadline=None)
@given(st.floats(300, 4000), st.floats(300, 1500), st.floats(250, 1200))
def test_clad_pieces_and_their_gaps_fill_the_faces(length: float, width: float, height: float) -> None:
    layout, pieces = build_planter(a_planter(length_mm=length, width_mm=width, height_mm=height), JOB)
    boards = float(shapely.area(polygons(pieces)).sum()) / 1e6
    assert boards <= layout.clad_m2 + 1e-9
    assert boards >= layout.clad_m2 * (1 - 5.0 / 145.0) - 0.02
    ids = [x.id for x in pieces]
    assert ids == [f"planter-{n:03d}" for n in range(1, len(ids) + 1)]


def test_plants_are_counted_in_rows_and_never_fewer_than_one() -> None:
    assert plants_by_spacing(900.0, 300.0, 300.0) == 3
    assert plants_by_spacing(899.0, 300.0, 300.0) == 2
    assert plants_by_spacing(100.0, 100.0, 300.0) == 1


def test_a_bed_is_measured_with_its_turn_up_and_its_edge() -> None:
    ell = ((0, 0), (3000, 0), (3000, 1000), (1000, 1000), (1000, 2000), (0, 2000))
    bed = p.StoneBed(id="bed", outline_mm=ell, depth_mm=60, stone="gravel")
    layout = lay_bed(bed)
    assert layout.area_m2 == pytest.approx(4.0)
    assert layout.volume_m3 == pytest.approx(0.24)
    assert layout.edge_mm == pytest.approx(10000.0)
    assert layout.fabric_m2 == pytest.approx(4.0 + 10.0 * 0.15)
    assert lay_bed(bed.model_copy(update={"has_edge": False})).edge_mm == 0.0


def test_a_floor_of_boards_lies_on_the_rails_and_drains() -> None:
    _, pieces = build_planter(a_planter(has_floor=True), JOB)
    floor = [piece for piece in pieces if piece.role == "floor"]
    assert {piece.plane for piece in floor} == {"planter-floor"}
    assert {piece.length_mm for piece in floor} == {1160.0}  # inside the cladding
    # 410 mm across: three boards of 140 with gaps of 10 leave (410 − 2 × 10 − 140) / 2 at either edge.
    assert sorted(piece.width_mm for piece in floor) == pytest.approx([125.0, 125.0, 140.0])
    assert [piece.id for piece in pieces] == [f"planter-{n:03d}" for n in range(1, len(pieces) + 1)]
    assert not [piece for piece in build_planter(a_planter(), JOB)[1] if piece.role == "floor"]


def test_a_planter_weighs_its_wet_medium_and_all_that_holds_it() -> None:
    layout, pieces = build_planter(a_planter(), JOB)
    boards = sum(piece.length_mm * piece.width_mm / 140 for piece in pieces) / 1e3 * 1.26
    sticks = sum(length for _, length in layout.frame_mm) / 1e3 * 1.55
    small = JOB.choices.masses
    wet = layout.media_m3 * 950 + layout.liner_m2 * small.liner_kg_m2 + layout.plants * small.plant_kg
    wet += layout.drainage_m2 * small.drainage_layer_kg_m2
    assert layout.wet_kg == pytest.approx(boards + sticks + wet)
    assert layout.footprint_kpa == pytest.approx(layout.wet_kg * 9.80665e-3 / (1.2 * 0.45))


def test_the_published_planter_presses_as_hard_as_it_should() -> None:
    # 2 × 2 × 2 ft at 100 pcf is 200 psf on its footprint; here the medium alone, box and all besides.
    heavy = a_planter(length_mm=609.6, width_mm=609.6, height_mm=609.6, media_depth_mm=609.6, wall_mm=0.001)
    media = JOB.choices.media[0].model_copy(update={"saturated_kg_m3": 1601.846})
    job = a_job(materials=JOB.choices.model_copy(update={"media": (media,)}))
    layout, _ = build_planter(heavy, job)
    medium_kpa = layout.media_m3 * 1601.846 * 9.80665e-3 / 0.6096**2
    assert medium_kpa / 0.04788026 == pytest.approx(200.0, rel=1e-3)  # psf
    assert layout.footprint_kpa > medium_kpa


def test_a_lid_is_no_longer_than_one_hand_lifts() -> None:
    layout, pieces = build_bench(a_bench(length_mm=2500, has_lid=True), JOB)
    seat = [piece for piece in pieces if piece.role == "seat"]
    assert layout.lids == 3
    assert {round(piece.length_mm, 3) for piece in seat} == {round((2500 - 2 * 5) / 3, 3)}
    assert max(piece.length_mm for piece in seat) <= 1200
    plain, _ = build_bench(a_bench(length_mm=2500), JOB)
    assert plain.lids == 0
    assert len(layout.frame_mm) - len(plain.frame_mm) == 3 * 2  # two battens a lid
    footprint = shapely.Polygon(layout.outline_mm).buffer(0.01)
    assert shapely.covers(footprint, polygons(tuple(seat))).all()


def test_an_overhang_makes_a_top_larger_on_all_sides() -> None:
    layout, _ = build_counter(a_counter(overhang_mm=25), JOB)
    assert layout.top_m2 == pytest.approx(2.05 * 0.65)
    assert layout.wet_kg > build_counter(a_counter(), JOB)[0].wet_kg


def test_a_bed_is_weighed_dry_and_wet_and_counted_in_bags() -> None:
    bed = p.StoneBed(id="bed", outline_mm=SQUARE, depth_mm=60, stone="gravel")
    stone = JOB.choices.stones[0]
    loose = lay_bed(bed, stone)
    assert loose.dry_kg == pytest.approx(0.12 * 1500)
    assert loose.wet_kg == pytest.approx(0.12 * 1700)
    assert loose.wet_kpa == pytest.approx(0.06 * 1700 * 9.80665e-3)
    assert loose.bags == 0
    assert lay_bed(bed, stone.model_copy(update={"bag_kg": 20.0})).bags == 9
    assert (
        lay_bed(bed, stone.model_copy(update={"bag_kg": 22.0})).bags == 9
    )  # 8.2 bags: whole ones are bought


def test_boxes_under_stone_must_stay_in_reach() -> None:
    bed = p.StoneBed(
        id="bed", outline_mm=((0, 0), (2e3, 0), (2e3, 1e3), (0, 1e3)), depth_mm=60, stone="gravel"
    )
    light = p.Fixture(
        id="spot", kind="spot", circuit="c", x_mm=500, y_mm=500, power_w=3, least_v=10, greatest_v=15
    )
    plan = a_plan(stone_beds=(bed,), fixtures=(light,), deck_fields=())
    assert devices_in(bed, plan) == ("spot",)
    job = a_job(plan=plan)
    found = lay_out(job, read_roof(job)).findings
    assert [(f.grade, f.place) for f in found if f.code == "layout.bed-boxes"] == [("check", "bed")]
    away = light.model_copy(update={"x_mm": 3000.0})
    assert devices_in(bed, a_plan(fixtures=(away,))) == ()
