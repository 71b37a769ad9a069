"""The chain: five rooms in order over one job, and what must agree between them."""

import math
from collections import Counter
from decimal import Decimal
from typing import Any

import pytest

from app.job import plan as p
from app.job.findings import GRADES
from app.job.job import Job
from app.takeoff.chain import Takeoff, take_off
from app.takeoff.totals.bases import BASES
from tests.builders import a_deck_field, a_job, a_plan, a_planter, a_survey
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


def prices_of(job: Job) -> dict[str, Decimal]:
    profiles = (*job.choices.boards, *job.choices.sections)
    return {s.item: Decimal(str(round(s.length_mm * 0.0045, 2))) for one in profiles for s in one.stock}


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


def test_the_demo_of_everything_measures_most_bases(takeoff: Takeoff) -> None:
    measured = {made.basis for made in takeoff.totals.quantities}
    missing = {basis.code for basis in BASES} - measured
    assert missing <= {
        "bed.bags",
        "bench.lids",
        "boards.plugs",
        "deck.fascia",
        "deck.notches",
        "deck.rips",
        "frame.packers",
        "frame.panels",
        "power.conduit",
        "roughin.conduit",
        "sound.amplifiers",
        "sound.cable",
        "sound.speakers",
        "steps.risers",
        "steps.treads",
        "wall.blocking",
        "wall.openings",
    }


def test_nothing_longer_than_the_way_up_is_bought(job: Job) -> None:
    way_up = job.survey.way_up.model_copy(update={"longest_piece_mm": 3000.0})
    narrow = take_off(a_whole_job(way_up=way_up), prices_of(job))
    assert max(stick.stock_mm for plan in narrow.totals.cut_plans for stick in plan.sticks) <= 3000


def _things(job: Job, kind: str) -> tuple[Any, ...]:
    """What is drawn of one kind."""
    drawn = getattr(job.plan, kind)
    return drawn if isinstance(drawn, tuple) else ()
