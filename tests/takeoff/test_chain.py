"""The chain: five rooms in order over one job, and what must agree between them."""

import math
from collections import Counter
from decimal import Decimal
from typing import Any

import pytest

from app.job import choices as c
from app.job import plan as p
from app.job import survey as s
from app.job.findings import GRADES
from app.job.job import Job
from app.takeoff.chain import Takeoff, take_off
from app.takeoff.totals.bases import BASES
from tests.builders import a_deck_field, a_job, a_pad, a_plan, a_planter, a_survey, choices
from tests.takeoff.totals.by_hand import ring

AT = {"x_mm": 5000, "y_mm": 3000}


def a_whole_job(**survey: Any) -> Job:
    """Deck with a border, planter, bench, counter, wall, bed, lights, outlet: a little of everything."""
    box = {"length_mm": 1400, "width_mm": 500, "height_mm": 450}
    light = {"circuit": "lights", "kind": "spot", "power_w": 4, "least_v": 10.5, "greatest_v": 15}
    plan = a_plan(
        deck_fields=(
            a_deck_field(outline_mm=ring(200, 1300, 5600, 2600), border_courses=1, longest_run_mm=3000),
        ),
        stone_beds=(p.StoneBed(id="bed", outline_mm=ring(200, 300, 5600, 900), depth_mm=40, stone="gravel"),),
        planters=(a_planter(x_mm=1000, y_mm=1700),),
        benches=(p.Bench(id="bench", x_mm=3000, y_mm=1700, board="pine", frame="frame", **box),),
        counters=(
            p.Counter(id="bar", x_mm=4700, y_mm=1700, cladding="pine", frame="frame", top="top", **box),
        ),
        feature_walls=(
            p.FeatureWall(
                id="wall",
                start_mm=(500, 3900),
                end_mm=(2300, 3900),
                height_mm=2000,
                cladding="pine",
                furring="furring",
            ),
        ),
        furniture=(p.Furniture(id="table", x_mm=3000, y_mm=3000, mass_kg=40, **box),),
        transformers=(p.Transformer(id="T1", x_mm=5500, y_mm=3800, output_v=12, fed_from="panel"),),
        circuits=(
            p.Circuit(id="lights", kind="lighting", source="T1"),
            p.Circuit(id="sockets", kind="power", source="panel"),
        ),
        fixtures=(
            p.Fixture(id="L1", x_mm=1000, y_mm=3000, **light),
            p.Fixture(id="L2", x_mm=4000, y_mm=3000, **light),
        ),
        outlets=(p.Outlet(id="O1", circuit="sockets", **AT),),
        gas_stubs=(p.GasStub(id="grill", source="gas", appliance_w=12000, x_mm=5000, y_mm=2500),),
    )
    return a_job(survey=a_survey(**survey), plan=plan)


def what_the_whole_job_lacks() -> Job:
    """Steps up to a plugged deck on pedestals, a niche for a screen, a lid, bags, sound in conduit."""
    pine, _ = choices().boards
    deck = a_deck_field(outline_mm=ring(1000, 1000, 3000, 2000), has_fascia=True, side_gap_mm=4)
    flight = p.Steps(id="up", x_mm=2500, y_mm=1000, width_mm=900, upper="deck", board="pine", frame="frame")
    niche = p.Opening(
        id="screen",
        kind="niche",
        x_mm=500,
        z_mm=900,
        width_mm=1000,
        height_mm=600,
        depth_mm=120,
        screen_width_mm=800,
        screen_height_mm=450,
        screen_mass_kg=12,
    )
    wall = p.FeatureWall(
        id="wall",
        start_mm=(500, 3950),
        end_mm=(3000, 3950),
        height_mm=2000,
        cladding="pine",
        furring="furring",
        openings=(niche,),
    )
    seat = {"x_mm": 2000, "y_mm": 2500, "length_mm": 1400, "width_mm": 500, "height_mm": 450}
    plan = a_plan(
        level=p.DeckLevel(level_mm=60, greatest_pad_mm=150, tall_pads="pedestal"),
        deck_fields=(deck,),
        steps=(flight,),
        feature_walls=(wall,),
        benches=(p.Bench(id="bench", board="pine", frame="frame", has_lid=True, **seat),),
        stone_beds=(
            p.StoneBed(id="bed", outline_mm=ring(4500, 500, 1000, 900), depth_mm=40, stone="gravel"),
        ),
        amplifiers=(p.Amplifier(id="amp", x_mm=5500, y_mm=3800, fed_from="panel"),),
        circuits=(
            p.Circuit(id="sound", kind="sound", source="amp", conduit="EMT"),
            p.Circuit(id="sockets", kind="power", source="panel", conduit="EMT"),
        ),
        speakers=(p.Speaker(id="speaker", circuit="sound", x_mm=4500, y_mm=3500),),
        outlets=(p.Outlet(id="O1", circuit="sockets", **AT),),
    )
    base = choices()
    foot = {"id": "low", "item": "LOW", "name": "Low", "least_mm": 120, "greatest_mm": 400, "foot_mm": 200}
    blocks = (c.Packer(item="PACKER-20", height_mm=20),)
    materials = choices(
        boards=(pine.model_copy(update={"plug": "PLUG"}),),
        pads=(a_pad(packers=blocks),),
        pedestals=(c.Pedestal(**foot, mass_kg=0.5, limit_kn=8, limit_source="its maker"),),
        stones=(base.stones[0].model_copy(update={"bag_kg": 25}),),
        cables=tuple(one.model_copy(update={"outer_mm": 7.0}) for one in base.cables),
        conduits=(c.Conduit(id="emt", item="EMT-34", name="EMT", kind="EMT", size="3/4 in"),),
    )
    open_edges = tuple(
        edge.model_copy(update={"kind": "guard" if edge.kind == "parapet" else edge.kind})
        for edge in a_survey().edges
    )
    vent = s.Penetration(id="vent", kind="vent", x_mm=1500, y_mm=1800, width_mm=100, keep_clear_mm=50)
    drain = s.Drain(id="drain", kind="drain", x_mm=3000, y_mm=1600)
    survey = a_survey(edges=open_edges, penetrations=(vent,), drains=(drain,))
    return a_job(survey=survey, plan=plan, materials=materials)


def prices_of(job: Job) -> dict[str, Decimal]:
    profiles = (*job.choices.boards, *job.choices.sections)
    offered = [stock for one in profiles for stock in one.stock]
    return {stock.item: Decimal(str(round(stock.length_mm * 0.0045, 2))) for stock in offered}


@pytest.fixture(scope="module")
def job() -> Job:
    return a_whole_job()


@pytest.fixture(scope="module")
def takeoff(job: Job) -> Takeoff:
    return take_off(job, prices_of(job))


def amount(takeoff: Takeoff, basis: str) -> float:
    return math.fsum(made.amount for made in takeoff.totals.quantities if made.basis == basis)


def test_the_same_job_gives_the_same_takeoff(job: Job, takeoff: Takeoff) -> None:
    again = take_off(job, prices_of(job))
    assert again.totals == takeoff.totals
    assert again.findings == takeoff.findings


def test_findings_of_all_rooms_come_stops_first(takeoff: Takeoff) -> None:
    grades = [GRADES.index(finding.grade) for finding in takeoff.findings]
    assert grades == sorted(grades)
    rooms = (takeoff.roof, takeoff.layout, takeoff.framing, takeoff.rough_in, takeoff.totals)
    assert Counter(takeoff.findings) == Counter(f for room in rooms for f in room.findings)
    assert len(takeoff.assumptions) == sum(len(room.assumptions) for room in rooms)


def test_every_board_and_stick_is_cut_once_unless_a_stop_names_it(takeoff: Takeoff, job: Job) -> None:
    boards = {board.id for board in job.choices.boards}
    needed = Counter(piece.id for piece in takeoff.layout.pieces if piece.profile in boards)
    needed += Counter(stick.id for stick in takeoff.framing.sticks)
    cut: Counter[str] = Counter()
    for plan in takeoff.totals.cut_plans:
        for stick in plan.sticks:
            cut += Counter(name for name, _ in stick.pieces)
            cut += Counter(name for name, _, _ in stick.beside)
    assert cut <= needed
    is_all_cut = not any(finding.code == "totals.piece-too-long" for finding in takeoff.findings)
    assert (cut == needed) is is_all_cut
    assert max(cut.values()) == 1


def test_every_place_drawn_that_weighs_something_has_a_load(takeoff: Takeoff, job: Job) -> None:
    plan = job.plan
    drawn = (*plan.deck_fields, *plan.stone_beds, *plan.planters, *plan.benches, *plan.counters)
    drawn_ids = {thing.id for thing in (*drawn, *plan.furniture, *plan.feature_walls)}
    assert {spot.place for spot in takeoff.totals.loads} == drawn_ids
    for spot in takeoff.totals.loads:
        assert spot.dead_kpa == pytest.approx(math.fsum(kpa for _, kpa in spot.parts))
        assert spot.mass_kg == pytest.approx(spot.dead_kpa * spot.area_m2 / 9.80665e-3)


def test_what_stays_weighs_no_more_than_what_went_up_and_the_wetness_of_stone(takeoff: Takeoff) -> None:
    wet_kg = amount(takeoff, "bed.stone") * (1700 / 1500 - 1)
    assert takeoff.totals.dead_kg <= takeoff.totals.carry.mass_kg + wet_kg + 1e-6


def test_counts_agree_with_the_rooms_they_come_from(takeoff: Takeoff) -> None:
    assert amount(takeoff, "frame.pads") == len(takeoff.framing.pads)
    assert amount(takeoff, "boards.fasteners") == 2 * len(takeoff.framing.crossings)
    assert amount(takeoff, "deck.area") == pytest.approx(sum(f.area_m2 for f in takeoff.layout.fields))
    sticks = [stick for plan in takeoff.totals.cut_plans for stick in plan.sticks]
    assert amount(takeoff, "stock.boards") + amount(takeoff, "stock.sections") == pytest.approx(len(sticks))
    assert amount(takeoff, "roughin.trench") == pytest.approx(takeoff.rough_in.trench_mm / 1000)


def test_every_place_named_is_drawn_or_the_job(takeoff: Takeoff, job: Job) -> None:
    drawn = {thing.id for kind in type(job.plan).model_fields for thing in _things(job, kind)} | {"job"}
    named = {part.place for made in takeoff.totals.quantities for part in made.places}
    assert named <= drawn


def test_every_quantity_is_of_a_known_basis_in_its_unit_with_places_that_sum(takeoff: Takeoff) -> None:
    units = {basis.code: basis.unit for basis in BASES}
    for made in takeoff.totals.quantities:
        assert made.unit == units[made.basis]
        assert made.amount == pytest.approx(math.fsum(part.amount for part in made.places))
        assert made.amount > 0


def test_every_basis_is_measured_by_one_of_two_jobs_drawn_for_it(takeoff: Takeoff) -> None:
    rest = take_off(what_the_whole_job_lacks(), {})
    measured = {made.basis for made in (*takeoff.totals.quantities, *rest.totals.quantities)}
    assert {basis.code for basis in BASES} - measured == set()


def test_nothing_longer_than_the_way_up_is_bought(job: Job) -> None:
    way_up = job.survey.way_up.model_copy(update={"longest_piece_mm": 3000.0})
    narrow = take_off(a_whole_job(way_up=way_up), prices_of(job))
    assert max(stick.stock_mm for plan in narrow.totals.cut_plans for stick in plan.sticks) <= 3000


def _things(job: Job, kind: str) -> tuple[Any, ...]:
    """What is drawn of one kind."""
    drawn = getattr(job.plan, kind)
    return drawn if isinstance(drawn, tuple) else ()
