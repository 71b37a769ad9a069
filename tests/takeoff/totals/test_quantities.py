"""Quantities: each from its own records, with places that sum and a formula that can be read."""

import math
from typing import Any

import pytest

from app.job import choices as c
from app.job import plan as p
from app.takeoff.roughin.records import Pull, Run, TransformerReading
from app.takeoff.totals.bases import BASES
from app.takeoff.totals.carry import carry_up
from app.takeoff.totals.cutting import cut_list
from app.takeoff.totals.deck_quantities import mitred_ends
from app.takeoff.totals.measured import quantity
from app.takeoff.totals.quantities import measure_things, with_carry
from app.takeoff.totals.records import Quantity
from tests.builders import a_board, a_job, a_plan, a_planter, choices
from tests.takeoff.totals.by_hand import (
    a_bed,
    a_box,
    a_crossing,
    a_field,
    a_framing,
    a_layout,
    a_pad_spot,
    a_piece,
    a_rough_in,
    a_stick,
    a_wall,
    ring,
)


def measure(
    *, layout: Any = None, framing: Any = None, roughin: Any = None, **plan: Any
) -> dict[str, list[Quantity]]:
    """Everything measured, by basis."""
    materials = plan.pop("materials", None) or choices()
    job = a_job(plan=a_plan(**plan), materials=materials)
    layout, framing = layout or a_layout(), framing or a_framing()
    plans = cut_list(job, layout, framing, {}).plans
    things = measure_things(job, layout, framing, roughin or a_rough_in(), plans)
    carry = carry_up(job, layout, framing, plans, things)
    found: dict[str, list[Quantity]] = {}
    for made in with_carry(job, things, carry):
        found.setdefault(made.basis, []).append(made)
    return found


def amounts(found: dict[str, list[Quantity]], basis: str) -> dict[str, float]:
    return {made.item: round(made.amount, 6) for made in found.get(basis, [])}


def a_run(name: str, kind: str, cable: str, **changes: Any) -> Run:
    fields: dict[str, Any] = {"id": name, "circuit": "C1", "kind": kind, "from_id": "a", "to_id": "b"}
    fields |= {"path_mm": (), "level_mm": 3000.0, "drop_mm": 900.0, "slack_mm": 600.0, "length_mm": 4500.0}
    return Run(**(fields | {"cable": cable, "size": "", "sticks_crossed": 3} | changes))


DECK = a_layout(
    fields=(a_field(),),
    pieces=(
        a_piece("deck-1", 3000),
        a_piece("deck-2", 2000, width_mm=60.0, is_ripped=True),
        a_piece("deck-3", 2500, role="border", is_mitred=True),
        a_piece("deck-4", 1500, role="breaker"),
    ),
)


def test_an_empty_job_is_still_one_job() -> None:
    assert list(measure()) == ["job.once"]


def test_a_deck_is_measured_by_area_lengths_and_counts() -> None:
    found = measure(layout=DECK)
    assert amounts(found, "deck.area") == {"": 10.0}
    assert amounts(found, "deck.border") == {"": 2.5}
    assert amounts(found, "deck.breaker") == {"": 1.5}
    assert amounts(found, "deck.pieces") == {"": 4.0}
    assert amounts(found, "deck.rips") == {"": 2.0}
    assert amounts(found, "deck.mitres") == {"": 1.0}
    assert found["deck.pieces"][0].why == "2 of courses + 1 of borders + 1 breakers"


def test_cladding_and_seats_are_no_deck_pieces() -> None:
    layout = a_layout(fields=(a_field(),), pieces=(a_piece("W-1", 900, place="wall", role="cladding"),))
    assert "deck.pieces" not in measure(layout=layout)


@pytest.mark.parametrize(
    ("outline", "ends"),
    [
        (((0, 0), (2000, 0), (1860, 140), (140, 140)), 2),
        (((0, 0), (2000, 0), (2000, 140), (140, 140)), 1),
        (((0, 0), (1414, 1414), (1315, 1513), (0, 198)), 1),
    ],
    ids=["both ends", "one end", "turned course, one end slanted"],
)
def test_mitred_ends_are_read_from_the_outline(outline: tuple[tuple[float, float], ...], ends: int) -> None:
    assert mitred_ends(a_piece("x", 2000, is_mitred=True, outline_mm=outline)) == ends


def test_frames_are_measured_stick_by_stick_and_pad_by_pad() -> None:
    framing = a_framing(
        sticks=(a_stick("S1", 3000), a_stick("S2", 1000, role="blocking"), a_stick("S3", 2000, role="rim")),
        pads=(a_pad_spot("P1", 2), a_pad_spot("P2", 0), a_pad_spot("P3", 5)),
        tape_mm=(("deck", 6000.0),),
        connectors=(("deck", 4),),
        access_panels=(("drain", "deck"),),
    )
    found = measure(framing=framing)
    assert amounts(found, "frame.sticks") == {"": 6.0}
    assert amounts(found, "frame.pads") == {"PAD-XPS-10": 3.0}
    assert amounts(found, "frame.shims") == {"SHIM-3": 7.0}
    assert amounts(found, "frame.tape") == {"TAPE-JOIST": 6.0}
    assert amounts(found, "frame.connectors") == {"CONNECTOR": 4.0}
    assert amounts(found, "frame.screws") == {"SCREW-FRAME": 12.0}
    assert amounts(found, "frame.panels") == {"": 1.0}


def test_a_furring_strip_takes_a_screw_every_400_mm_and_one_more() -> None:
    framing = a_framing(sticks=(a_stick("F1", 2400, role="furring", section="furring", place="wall"),))
    found = measure(framing=framing)
    assert amounts(found, "frame.screws") == {"SCREW-FRAME": 7.0}
    assert amounts(found, "wall.furring") == {"": 2.4}
    assert "frame.sticks" not in found


def test_screws_and_plugs_go_in_at_every_crossing_and_clips_where_the_board_has_clips() -> None:
    materials = choices(
        boards=(
            a_board(plug="PLUG"),
            a_board(id="wpc", fastening="clip", fastener="CLIP", plug="PLUG"),
        ),
        fastening=c.Fastening(screws_per_crossing=2, clips_per_crossing=1),
    )
    layout = a_layout(pieces=(a_piece("A", 900), a_piece("B", 900, profile="wpc", place="bench")))
    framing = a_framing(crossings=(a_crossing("A", "S1"), a_crossing("A", "S2"), a_crossing("B", "S1")))
    found = measure(layout=layout, framing=framing, materials=materials)
    assert amounts(found, "boards.fasteners") == {"SCREW-DECK": 4.0, "CLIP": 1.0}
    assert amounts(found, "boards.plugs") == {"PLUG": 4.0}
    assert found["boards.fasteners"][1].places[0].place == "bench"
    assert found["boards.fasteners"][0].why.endswith("2 crossings × 2 screws")


def test_a_board_bought_is_shared_by_length_among_its_places() -> None:
    layout = a_layout(pieces=(a_piece("A", 2000), a_piece("B", 500, place="wall", role="cladding")))
    (bought,) = measure(layout=layout)["stock.boards"]
    assert (bought.item, bought.amount) == ("DECK-TMP-3000", 1.0)
    assert {part.place: part.amount for part in bought.places} == {"deck": 0.8, "wall": 0.2}
    assert bought.why == ("1 × 3000 mm for 2 pieces, 0.49 m left over, 0 offcuts of 600 mm or more")


def test_timber_bought_stands_apart_from_boards() -> None:
    found = measure(framing=a_framing(sticks=(a_stick("S1", 2400),)))
    assert amounts(found, "stock.sections") == {"SECTION-SP89-2400": 1.0}
    assert "stock.boards" not in found


def test_walls_beds_and_boxes_are_measured_with_their_items() -> None:
    layout = a_layout(
        walls=(a_wall(),),
        beds=(a_bed(),),
        boxes=(
            a_box(),
            a_box("bench", "bench", top_m2=0.9, clad_m2=1.1, liner_m2=0, drainage_m2=0, media_m3=0, plants=0),
            a_box("bar", "counter", top_m2=1.2, clad_m2=2, liner_m2=0, drainage_m2=0, media_m3=0, plants=0),
        ),
    )
    size = {"x_mm": 0, "y_mm": 0, "length_mm": 1000, "width_mm": 500, "height_mm": 900}
    found = measure(
        layout=layout,
        planters=(a_planter(),),
        counters=(p.Counter(id="bar", cladding="pine", frame="frame", top="top", **size),),
        stone_beds=(p.StoneBed(id="bed", outline_mm=ring(0, 3000, 2000, 1000), depth_mm=50, stone="gravel"),),
    )
    expected = {
        "wall.area": {"": 4.5},
        "wall.cap": {"CAP-FLASHING": 2.0},
        "wall.fabric": {"FABRIC-WALL": 4.5},
        "wall.openings": {"": 1.0},
        "planter.each": {"": 1.0},
        "planter.clad": {"": 2.5},
        "planter.liner": {"LINER": 2.0},
        "planter.drainage": {"DRAIN-LAYER": 0.8},
        "planter.media": {"MEDIA-LIGHT": 0.3},
        "planter.plants": {"PLANT": 5.0},
        "bench.each": {"": 1.0},
        "bench.seat": {"": 0.9},
        "counter.each": {"": 1.0},
        "counter.top": {"TOP": 1.2},
        "box.clad": {"": 3.1},
        "bed.area": {"": 2.0},
        "bed.stone": {"STONE": 150.0},
        "bed.edge": {"BED-EDGE": 6.0},
        "bed.fabric": {"FABRIC": 2.6},
    }
    assert {basis: amounts(found, basis) for basis in expected} == expected


def test_the_area_worked_over_counts_a_box_on_a_deck_once() -> None:
    layout = a_layout(fields=(a_field(),), beds=(a_bed(),), boxes=(a_box(),))
    found = measure(
        layout=layout,
        planters=(a_planter(),),
        stone_beds=(p.StoneBed(id="bed", outline_mm=ring(0, 3000, 2000, 1000), depth_mm=50, stone="gravel"),),
    )
    assert amounts(found, "job.access") == {"": 12.0}
    assert [part.place for part in found["job.access"][0].places] == ["deck", "bed"]


def test_services_are_measured_by_cable_device_and_way() -> None:
    light: dict[str, Any] = {"circuit": "C1", "x_mm": 0, "y_mm": 0, "power_w": 4, "least_v": 10.5}
    light |= {"greatest_v": 15, "kind": "spot"}
    at = {"x_mm": 0, "y_mm": 0}
    roughin = a_rough_in(
        runs=(
            a_run("L1", "lighting", "lv-12"),
            a_run("L2", "lighting", "lv-14", length_mm=2000.0),
            a_run("P1", "power", "power"),
            a_run("S1", "sound", "sound", sticks_crossed=0),
            a_run("G1", "gas", "", circuit="stub", length_mm=7000.0, sticks_crossed=0),
        ),
        transformers=(TransformerReading("T1", 60.0, 75.0, 75.0, "TRANSFORMER-75"),),
        trench_mm=8200.0,
    )
    found = measure(
        roughin=roughin,
        fixtures=(p.Fixture(id="f1", **light), p.Fixture(id="f2", item="LIGHT-SPOT", **light)),
        circuits=(p.Circuit(id="C1", kind="power", source="panel"),),
        outlets=(p.Outlet(id="o1", circuit="C1", **at),),
        speakers=(p.Speaker(id="s1", circuit="C1", **at),),
        amplifiers=(p.Amplifier(id="a1", fed_from="panel", **at),),
        gas_stubs=(p.GasStub(id="stub", source="gas", appliance_w=15000, **at),),
    )
    expected = {
        "light.fixtures": {"FIXTURE": 1.0, "LIGHT-SPOT": 1.0},
        "light.transformers": {"TRANSFORMER-75": 1.0},
        "light.cable": {"CABLE-LV-12": 4.5, "CABLE-LV-14": 2.0},
        "power.outlets": {"OUTLET": 1.0},
        "power.cable": {"CABLE-POWER-12": 4.5},
        "power.circuits": {"": 1.0},
        "sound.speakers": {"SPEAKER": 1.0},
        "sound.amplifiers": {"AMPLIFIER": 1.0},
        "sound.cable": {"CABLE-SOUND-14": 4.5},
        "gas.stubs": {"": 1.0},
        "gas.pipe": {"GAS-PIPE": 7.0},
        "roughin.trench": {"": 8.2},
        "roughin.holes": {"": 9.0},
    }
    assert {basis: amounts(found, basis) for basis in expected} == expected
    assert found["light.cable"][0].why == "1 runs: 3.00 m way + 0.90 m up and down + 0.60 m slack"


def test_conduit_is_measured_by_item_without_the_slack_and_apart_for_line_voltage() -> None:
    runs = (a_run("P1", "power", "power"), a_run("L1", "lighting", "lv-12"), a_run("L2", "lighting", "lv-12"))
    pulls = tuple(
        Pull(n, run, "a", "b", "x", "12 AWG", 4500.0, "1/2 in", 40.0, "PVC")
        for n, run in ((1, "P1"), (2, "L1"))
    )
    found = measure(roughin=a_rough_in(runs=runs, pulls=pulls))
    assert amounts(found, "power.conduit") == {"PVC": 3.9}
    assert amounts(found, "roughin.conduit") == {"PVC": 3.9}
    assert found["power.conduit"][0].why.startswith("1 runs: 3.00 m way + 0.90 m up and down")


def test_a_run_for_which_no_cable_could_be_chosen_is_still_measured() -> None:
    found = measure(roughin=a_rough_in(runs=(a_run("L1", "lighting", ""),)))
    assert amounts(found, "light.cable") == {"": 4.5}


def test_quantities_come_in_the_order_of_the_bases_with_places_that_sum() -> None:
    framing = a_framing(sticks=(a_stick("S1", 2400),), pads=(a_pad_spot("P1"),))
    found = measure(layout=DECK, framing=framing)
    assert list(found) == [basis.code for basis in BASES if basis.code in found]
    units = {basis.code: basis.unit for basis in BASES}
    for made in (made for same in found.values() for made in same):
        assert made.amount == pytest.approx(math.fsum(part.amount for part in made.places), abs=1e-12)
        assert made.amount > 0
        assert made.unit == units[made.basis]
        assert made.why


def test_a_basis_that_is_not_measured_is_a_fault() -> None:
    with pytest.raises(KeyError):
        quantity("deck.colour", "", [("deck", 1.0)], "none")


def test_rounding_noise_of_the_geometry_is_no_quantity() -> None:
    assert quantity("deck.area", "", [("deck", 1e-12)], "noise") == ()
