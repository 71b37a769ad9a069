"""Getting it up: trips by mass and by handling, hours of all people."""

from dataclasses import replace

import pytest

from app.job import choices as c
from app.job import plan as p
from app.takeoff.totals.carry import carry_findings, carry_up
from app.takeoff.totals.cutting import cut_list
from app.takeoff.totals.measured import quantity
from app.takeoff.totals.records import Carry
from tests.builders import a_job, a_plan, a_planter, a_survey, choices
from tests.takeoff.totals.by_hand import a_box, a_framing, a_layout, a_pad_spot, a_piece

TUB = p.Furniture(id="tub", x_mm=0, y_mm=0, length_mm=900, width_mm=900, height_mm=500, mass_kg=60)


def carried(pieces: int = 0, pads: int = 0, **plan: object) -> Carry:
    job = a_job(plan=a_plan(**plan))
    layout = a_layout(
        pieces=tuple(a_piece(f"D-{n}", 2400) for n in range(pieces)),
        boxes=(a_box(),) if "planters" in plan else (),
    )
    framing = a_framing(pads=tuple(a_pad_spot(f"P{n}") for n in range(pads)))
    return carry_up(job, layout, framing, cut_list(job, layout, framing, {}).plans)


def test_nothing_takes_no_trip() -> None:
    assert carried() == Carry(mass_kg=0.0, longest_mm=0.0, trips=0, hours_h=0.0, items=())


def test_light_boards_go_up_six_at_a_time() -> None:
    # 13 boards of 2.4 m at 1.26 kg/m are 39 kg: two trips by mass, three by handling.
    carry = carried(pieces=13)
    assert carry.items[0] == ("DECK-TMP-2400", pytest.approx(13 * 2.4 * 1.26), 3)


def test_heavy_goods_go_by_mass() -> None:
    # 0.3 m³ at 950 kg/m³ are 285 kg: twelve trips of 25 kg.
    carry = carried(planters=(a_planter(),))
    assert carry.items == (("MEDIA-LIGHT", pytest.approx(285.0), 12),)


def test_exactly_full_trips_are_not_one_more() -> None:
    tub = TUB.model_copy(update={"mass_kg": 50.0})
    assert carried(furniture=(tub,)).trips == 2


def test_hours_are_trips_times_minutes_times_people() -> None:
    carry = carried(pieces=13, pads=50)
    assert carry.hours_h == pytest.approx(carry.trips * 4 * 2 / 60)
    assert carry.trips == sum(trips for _, _, trips in carry.items)
    assert carry.mass_kg == pytest.approx(sum(mass_kg for _, mass_kg, _ in carry.items))


def test_small_goods_go_up_together_by_what_one_of_each_weighs() -> None:
    measured = (
        *quantity("frame.shims", "SHIM-3", [("deck", 500.0)], ""),
        *quantity("frame.tape", "TAPE", [("deck", 100.0)], ""),
        *quantity("deck.area", "", [("deck", 100.0)], ""),
    )
    carry = carry_up(a_job(), a_layout(), a_framing(), (), measured)
    assert carry.small_goods == (("SHIM-3", pytest.approx(10.0)), ("TAPE", pytest.approx(9.0)))
    assert carry.items == (("small goods", pytest.approx(19.0), 1),)


def test_packers_go_up_with_the_pads() -> None:
    pad = (
        a_job()
        .choices.pads[0]
        .model_copy(update={"packers": (c.Packer(item="PACKER-20", height_mm=20, mass_kg=0.5),)})
    )
    job = a_job(choices=choices(pads=(pad,)))
    spot = replace(a_pad_spot("P1"), packers=("PACKER-20", "PACKER-20"))
    items = {
        item: mass_kg for item, mass_kg, _ in carry_up(job, a_layout(), a_framing(pads=(spot,)), ()).items
    }
    assert items["PACKER-20"] == pytest.approx(1.0)


def test_a_hoist_takes_bundles_and_a_stair_six_sticks() -> None:
    trips = []
    for kind in ("stair", "hoist"):
        way_up = a_survey().way_up.model_copy(update={"kind": kind, "trip_mass_kg": 200.0})
        job = a_job(survey=a_survey(way_up=way_up))
        layout = a_layout(pieces=tuple(a_piece(f"D-{n}", 2400) for n in range(13)))
        trips.append(carry_up(job, layout, a_framing(), cut_list(job, layout, a_framing(), {}).plans).trips)
    assert trips == [3, 1]


def test_water_is_not_carried_up() -> None:
    spa = TUB.model_copy(update={"water_m3": 1.0})
    assert carried(furniture=(spa,)).mass_kg == pytest.approx(60.0)


def test_what_is_longer_than_the_way_up_is_a_check() -> None:
    sofa = TUB.model_copy(update={"mass_kg": 10.0, "length_mm": 3700.0})
    (found,) = carry_findings(a_job(plan=a_plan(furniture=(sofa,))), a_layout())
    assert (found.code, found.value, found.limit) == ("totals.too-long-for-the-way-up", 3700.0, 3600.0)


def test_the_longest_piece_is_the_longest_stick_bought() -> None:
    assert carried(pieces=1).longest_mm == 2400


def test_a_bigger_trip_never_takes_more_trips() -> None:
    trips = []
    for trip_kg in (10, 20, 40, 80):
        survey = a_survey()
        way_up = survey.way_up.model_copy(update={"trip_mass_kg": trip_kg})
        job = a_job(survey=survey.model_copy(update={"way_up": way_up}), plan=a_plan(furniture=(TUB,)))
        trips.append(carry_up(job, a_layout(), a_framing(), ()).trips)
    assert trips == sorted(trips, reverse=True)


def test_a_single_thing_heavier_than_a_trip_asks_for_a_check() -> None:
    (check,) = carry_findings(a_job(plan=a_plan(furniture=(TUB,))), a_layout())
    assert (check.code, check.grade, check.value, check.limit) == (
        "totals.too-heavy-for-a-trip",
        "check",
        60,
        25,
    )


def test_a_counter_top_is_weighed_as_one_piece() -> None:
    size = {"x_mm": 0, "y_mm": 0, "length_mm": 1000, "width_mm": 500, "height_mm": 900}
    bar = p.Counter(id="bar", cladding="pine", frame="frame", top="top", **size)
    layout = a_layout(boxes=(a_box("bar", "counter", top_m2=0.5),))
    (check,) = carry_findings(a_job(plan=a_plan(counters=(bar,))), layout)
    assert check.value == pytest.approx(39.0)


def test_what_is_cut_on_the_ground_goes_up_in_pieces_and_the_rest_stays_below() -> None:
    way_up = a_survey().way_up.model_copy(update={"longest_piece_mm": 2000.0})
    job = a_job(survey=a_survey(way_up=way_up))  # stock of 2400 mm and more
    layout = a_layout(pieces=tuple(a_piece(f"D-{n}", 1500) for n in range(7)))
    plans = cut_list(job, layout, a_framing(), {}).plans
    assert all(plan.is_cut_below for plan in plans)
    carry = carry_up(job, layout, a_framing(), plans)
    assert carry.longest_mm == 1500
    assert carry.mass_kg == pytest.approx(7 * 1.5 * 1.26)
    assert set(carry.cut_below) == {item for item, _, _ in carry.items}
    assert carry.trips == 2  # seven pieces, six on a trip
    assert carried(pieces=7).cut_below == ()
