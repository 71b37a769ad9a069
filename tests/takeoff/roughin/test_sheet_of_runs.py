"""What the sheet tells of the runs: boxes within reach, order of pulling, conduit, places, taps."""

import math
from typing import Any

import pytest

from app.job import choices as c
from app.job import plan as p
from app.job import survey as s
from app.job.job import Job
from app.takeoff.roughin.apart import Apart
from app.takeoff.roughin.conduits import case_circuit
from app.takeoff.roughin.lighting import light
from app.takeoff.roughin.outlets import outlet_heights, ways_taken
from app.takeoff.roughin.records import RoughIn
from app.takeoff.roughin.rough_in import rough_in
from app.takeoff.roughin.routes import route
from app.takeoff.roughin.setting_out import fixed_points
from app.takeoff.roughin.trench import shared_mm, spans_of
from tests import builders as b
from tests.takeoff.roughin.site import (
    a_fixture,
    a_lit_job,
    cable,
    end,
    framing_of,
    free,
    layout_of,
    leg,
    site,
    square,
)

EMT = tuple(
    c.Conduit(id=f"emt-{n}", item=f"EMT-{n}", name=f"EMT {size}", kind="EMT", size=size)
    for n, size in enumerate(("1/2 in", "3/4 in", "1 in"))
)


def worked(job: Job) -> RoughIn:
    return rough_in(job, layout_of(0.0), framing_of())


def codes(answer: RoughIn) -> list[str]:
    return [finding.code for finding in answer.findings]


def test_a_low_voltage_run_takes_the_other_of_two_equal_ways() -> None:
    area = free(square(5000))
    line = route(area, "P", "chain", end("a", 500, 500), [end("b", 4500, 4500)]).legs[0].turned_mm
    apart = Apart(spans_of([line]), 50.0, site().stick_lines_mm)
    first = route(area, "L", "chain", end("c", 500, 500), [end("d", 4500, 4500)]).legs[0]
    steered = route(area, "L", "chain", end("c", 500, 500), [end("d", 4500, 4500)], apart).legs[0]
    assert steered.level_mm == first.level_mm
    assert shared_mm([first.turned_mm], [line], 50.0)[0] == 8000
    assert shared_mm([steered.turned_mm], [line], 50.0)[0] == 0


def test_fewer_sleepers_are_passed_where_a_way_as_long_lets_it() -> None:
    sticks = site().stick_lines_mm.reshape(0, 4)
    sleepers = [[x, 3000.0, x, 5000.0] for x in (1000.0, 2000.0, 3000.0)]
    apart = Apart({}, 50.0, type(sticks)(shape=(3, 4), dtype=float))
    apart.sticks_mm[:] = sleepers
    way = route(free(square(5000)), "L", "chain", end("a", 500, 4000), [end("b", 4500, 1000)], apart).legs[0]
    assert way.turned_mm == ((500.0, 4000.0), (500.0, 1000.0), (4500.0, 1000.0))


def test_a_hub_is_put_within_reach_when_that_costs_little_and_a_tee_under_boards_is_asked_about() -> None:
    lamps = [a_fixture(f"F{n}", x, y) for n, (x, y) in enumerate(((600, 3000), (5400, 3000), (3000, 600)))]
    bed = p.StoneBed(
        id="bed",
        outline_mm=((2800, 2800), (3200, 2800), (3200, 3890), (2800, 3890)),
        depth_mm=60,
        stone="river",
    )
    field = b.a_deck_field(outline_mm=((200, 200), (5800, 200), (5800, 2700), (200, 2700)))
    tee = worked(a_lit_job(*lamps, circuit={"topology": "tee"}))
    assert tee.joints
    assert all(joint.lies == "under boards" and not joint.is_reachable for joint in tee.joints)
    assert codes(tee).count("roughin.joint-covered") == len(tee.joints)
    hub = worked(a_lit_job(*lamps, circuit={"topology": "hub"}, deck_fields=(field,), stone_beds=(bed,)))
    (joint,) = hub.joints
    assert joint.is_reachable
    assert "roughin.joint-covered" not in codes(hub)


def test_runs_on_the_bare_roof_are_noted_with_their_length() -> None:
    field = b.a_deck_field(outline_mm=((200, 200), (5800, 200), (5800, 1000), (200, 1000)))
    answer = worked(a_lit_job(a_fixture("F", 2000, 2000), deck_fields=(field,)))
    (note,) = [f for f in answer.findings if f.code == "roughin.in-the-open"]
    assert note.value is not None
    assert 1000 < note.value < 5000
    covered = worked(a_lit_job(a_fixture("F", 2000, 2000)))
    assert "roughin.in-the-open" not in codes(covered)


def test_pulls_hold_every_run_once_stiff_first_and_the_longest_of_a_reel_first() -> None:
    lamps = [a_fixture(f"F{n}", 600 * n + 500, 1500) for n in range(5)]
    gas = p.GasStub(id="grill", source="gas", x_mm=5000, y_mm=2000, appliance_w=15000)
    answer = worked(a_lit_job(*lamps, gas_stubs=(gas,)))
    assert [pull.number for pull in answer.pulls] == list(range(1, len(answer.runs) + 1))
    assert {pull.run for pull in answer.pulls} == {run.id for run in answer.runs}
    assert answer.pulls[0].run == "grill-01"
    reel = [pull.length_mm for pull in answer.pulls if pull.run.startswith("L1")]
    assert reel == sorted(reel, reverse=True)


def test_the_smallest_conduit_that_is_not_too_full_is_taken() -> None:
    circuit = p.Circuit(id="P", kind="power", source="panel", conduit="EMT")
    cased, found = case_circuit(circuit, cable("12 AWG", "power"), EMT)
    assert (cased.size, found) == ("1/2 in", ())
    assert cased.fill_pct == pytest.approx(100 * 3 * 0.0133 / 0.304)
    thick, _ = case_circuit(circuit, cable("12 AWG", "power", outer_mm=12.0), EMT)
    assert thick.size == "3/4 in"


@pytest.mark.parametrize(
    ("changes", "code", "grade"),
    [
        ({"outer_mm": 30.0}, "roughin.conduit-none", "stop"),
        ({"size": "2.5 mm2"}, "roughin.conduit-unknown", "check"),
    ],
)
def test_a_conduit_that_cannot_be_told_is_said(changes: dict[str, Any], code: str, grade: str) -> None:
    circuit = p.Circuit(id="P", kind="power", source="panel", conduit="EMT")
    cased, (finding,) = case_circuit(circuit, cable(**({"size": "12 AWG", "use": "power"} | changes)), EMT)
    assert (cased.size, finding.code, finding.grade) == ("", code, grade)


def test_a_conduit_whose_inside_is_from_memory_is_a_check_with_its_edition() -> None:
    plastic = c.Conduit(id="pvc", item="PVC", name="PVC", kind="PVC Schedule 40", size="1/2 in")
    circuit = p.Circuit(id="P", kind="power", source="panel", conduit="PVC Schedule 40")
    _, (asked,) = case_circuit(circuit, cable("12 AWG", "power"), (plastic,))
    assert (asked.code, asked.grade) == ("roughin.conduit-memory", "check")
    assert "2011" in asked.source
    assert "from memory" in asked.source


def test_places_are_told_by_two_corners_of_the_longest_side() -> None:
    answer = worked(a_lit_job(a_fixture("F", 1000, 1000, z_mm=150)))
    a, bb = answer.fixed_points_mm
    assert (a, bb) == ((0.0, 0.0), (6000.0, 0.0)) == fixed_points(a_lit_job())
    row = next(row for row in answer.set_out if row.thing == "F")
    assert (row.from_a_mm, row.from_b_mm) == (math.dist(a, (1000, 1000)), math.dist(bb, (1000, 1000)))
    assert row.height_mm == 150
    x = (row.from_a_mm**2 - row.from_b_mm**2 + 6000**2) / 12000
    assert (x, math.sqrt(row.from_a_mm**2 - x**2)) == pytest.approx((1000, 1000))


def test_a_notched_side_is_no_base_to_measure_from() -> None:
    survey = b.a_survey(outline_mm=((0, 0), (4000, 0), (4000, 4000), (0, 4000)), edges=())
    notched = survey.model_copy(
        update={"outline_mm": ((0, 0), (4000, 0), (4000, 2000), (3000, 2000), (3000, 9000), (0, 9000))}
    )
    assert fixed_points(b.a_job(survey=notched)) == ((0, 9000), (0, 0))


def test_the_lowest_tap_that_helps_is_taken_only_when_no_cable_does() -> None:
    circuit = p.Circuit(id="L1", kind="lighting", source="T")
    lamp = a_fixture("F", power_w=40, greatest_v=14.5)

    def lit(length_mm: float) -> tuple[float, list[str]]:
        wired = light(circuit, 12.0, [lamp], [leg("T", "F", length_mm)], site(cable("14 AWG")), (14.0, 13.0))
        assert wired.reading is not None
        return wired.reading.source_v, [f.code for f in wired.findings if f.code == "roughin.tap"]

    assert lit(5_000) == (12.0, [])
    assert lit(20_000) == (13.0, ["roughin.tap"])
    assert lit(30_000) == (14.0, ["roughin.tap"])


def test_an_outlet_above_reach_is_a_check() -> None:
    low = p.Outlet(id="O", circuit="P", x_mm=0, y_mm=0, z_mm=1900)
    high = low.model_copy(update={"z_mm": 2100.0})
    assert outlet_heights([low]) == ()
    assert [f.code for f in outlet_heights([high])] == ["roughin.outlet-height"]


def test_the_ways_of_a_panel_are_counted() -> None:
    answer = worked(a_lit_job(a_fixture("F", 1000, 1000)))
    (ways,) = answer.ways
    assert (ways.point, ways.spare, ways.taken, ways.left) == ("panel", 4, 1, 3)
    assert ways_taken(a_lit_job(), "nowhere") == 0


def test_a_fixture_unlike_its_data_sheet_is_a_check() -> None:
    job = a_lit_job(a_fixture("F", 1000, 1000, model="lamp", power_w=6))
    kind = c.FixtureKind(id="lamp", name="Lamp", power_w=5, least_v=10.8, greatest_v=15)
    job = job.model_copy(update={"choices": job.choices.model_copy(update={"fixture_kinds": (kind,)})})
    (asked,) = [f for f in worked(job).findings if f.code == "roughin.data-sheet"]
    assert (asked.grade, asked.value, asked.limit) == ("check", 6, 5)


def test_gas_tells_the_pressure_left_where_the_meter_is_known() -> None:
    stub = p.GasStub(id="grill", source="gas", x_mm=5000, y_mm=2000, appliance_w=15000)
    point = s.GasPoint(id="gas", x_mm=6000, y_mm=3000, z_mm=300, pipe_to_meter_mm=9000, pressure_kpa=1.74)
    (known,) = worked(a_lit_job(gas_stubs=(stub,), survey={"gas_points": (point,)})).gas
    assert known.left_kpa == pytest.approx(1.74 - known.drop_kpa)
    assert 0 < known.drop_kpa < 0.125
    (unknown,) = worked(a_lit_job(gas_stubs=(stub,))).gas
    assert unknown.left_kpa is None
