"""The whole room: routes by shape, drops, slack, feeds, separation, cautions, places it cannot reach."""

import re
from collections import Counter
from itertools import pairwise, permutations
from typing import Any

import pytest

from app.job import plan as p
from app.job import survey as s
from app.job.job import Job
from app.takeoff.framing.records import PadSpot, Stick
from app.takeoff.roughin.ends import deck_level_mm
from app.takeoff.roughin.outlets import outlet_heights
from app.takeoff.roughin.records import RoughIn, Run
from app.takeoff.roughin.rough_in import rough_in
from tests import builders as b
from tests.demo import demo_job
from tests.takeoff.roughin.site import a_fixture, a_lit_job, framing_of, layout_of

ROW = tuple(a_fixture(f"F{n}", 1000 * n, 2000) for n in (1, 3, 2, 4))


def roughed(job: Job, *sticks: Stick) -> RoughIn:
    return rough_in(job, layout_of(0.0), framing_of(*sticks))


def codes(answer: RoughIn) -> Counter[str]:
    return Counter(finding.code for finding in answer.findings)


def runs_of(answer: RoughIn, circuit: str) -> list[Run]:
    return [run for run in answer.runs if run.circuit == circuit]


def test_a_job_with_nothing_hidden_says_nothing() -> None:
    assert roughed(b.a_job()) == RoughIn((), (), (), (), 0.0, (), ())


def test_a_chain_takes_the_nearest_way_through_and_names_its_tags() -> None:
    runs = runs_of(roughed(a_lit_job(*ROW)), "L1")
    assert [run.id for run in runs] == ["L1-01", "L1-02", "L1-03", "L1-04"]
    assert [run.to_id for run in runs] == ["F4", "F3", "F2", "F1"]
    assert sum(run.level_mm for run in runs) == pytest.approx(1000 + 1900 + 3000)


def test_a_loop_comes_back_to_its_source() -> None:
    runs = runs_of(roughed(a_lit_job(*ROW, circuit={"topology": "loop"})), "L1")
    assert (runs[0].from_id, runs[-1].to_id, len(runs)) == ("T1", "T1", 5)


def test_a_loop_is_ordered_as_a_loop() -> None:
    """The shortest chain through these four comes home by a longer way than the shortest loop."""
    at = {"F1": (5000, 900), "F2": (1000, 1900), "F3": (3000, 1900), "F4": (0, 900)}
    lights = tuple(a_fixture(name, *place) for name, place in at.items())
    runs = runs_of(roughed(a_lit_job(*lights, circuit={"topology": "loop"})), "L1")
    stops = {"T1": (5000, 3900)} | at
    best = min(
        sum(
            abs(stops[a][0] - stops[b][0]) + abs(stops[a][1] - stops[b][1])
            for a, b in pairwise(("T1", *o, "T1"))
        )
        for o in permutations(at)
    )
    assert sum(run.level_mm for run in runs) == pytest.approx(best)


def test_a_run_goes_round_the_keep_clear_of_a_drain() -> None:
    drain = s.Drain(id="d", kind="drain", x_mm=3000, y_mm=3900, keep_clear_mm=150)
    (run,) = runs_of(roughed(a_lit_job(a_fixture("F1", 1000, 3900), survey={"drains": (drain,)})), "L1")
    assert run.level_mm == pytest.approx(4000 + 2 * 150)  # between drain and wall the way is shut


def test_a_feed_is_sized_for_the_rating_of_its_transformer() -> None:
    """300 W, continuous, on 120 V need 3.1 A; on 12 V the same would need 31 A, past 20 A for 12 AWG."""
    strong = p.Transformer(id="T1", x_mm=5000, y_mm=3900, output_v=12, rating_w=300, fed_from="panel")
    weak = s.PowerPoint(id="panel", x_mm=5500, y_mm=4000, supply_v=12, spare_ways=4)
    assert codes(roughed(a_lit_job(*ROW, transformers=(strong,))))["roughin.circuit-load"] == 0
    job = a_lit_job(*ROW, transformers=(strong,), survey={"power_points": (weak,)})
    assert codes(roughed(job))["roughin.circuit-load"] == 1


def test_the_hub_stands_where_the_cable_is_least() -> None:
    apart = (a_fixture("F1", 1000, 1000), a_fixture("F2", 1000, 3000), a_fixture("F3", 600, 2000))
    hub = runs_of(roughed(a_lit_job(*apart, circuit={"topology": "hub"})), "L1")
    assert hub[0].path_mm[-1] == (1000, 2000)


def test_a_tee_shares_its_trunk_and_a_hub_does_not() -> None:
    apart = (a_fixture("F1", 1000, 1000), a_fixture("F2", 3000, 3000), a_fixture("F3", 3000, 1000))
    tee = runs_of(roughed(a_lit_job(*apart, circuit={"topology": "tee"})), "L1")
    hub = runs_of(roughed(a_lit_job(*apart, circuit={"topology": "hub"})), "L1")
    assert sum(run.level_mm for run in tee) <= sum(run.level_mm for run in hub)
    assert {run.from_id for run in hub[1:]} == {"L1/hub"}
    assert hub[0].to_id == "L1/hub"
    assert {run.to_id for run in tee} >= {"F1", "F2", "F3"}


def test_ways_that_are_not_spare_are_asked_about() -> None:
    full = s.PowerPoint(id="panel", x_mm=5500, y_mm=4000, supply_v=120, spare_ways=0)
    (check,) = [
        f
        for f in roughed(a_lit_job(*ROW, survey={"power_points": (full,)})).findings
        if f.code == "roughin.spare-ways"
    ]
    assert (check.grade, check.place, check.value) == ("check", "panel", 1)


def test_a_joint_of_a_tee_is_named_after_its_circuit() -> None:
    cross = (a_fixture("F1", 4000, 2000), a_fixture("F2", 5500, 1000))
    runs = runs_of(roughed(a_lit_job(*cross, circuit={"topology": "tee"})), "L1")
    assert {run.from_id for run in runs} == {"T1", "L1/tee-1"}


@pytest.mark.parametrize("topology", ["chain", "tee", "hub", "loop"])
def test_lights_over_one_spot_are_all_reached(topology: str) -> None:
    over = tuple(a_fixture(f"F{n}", 2000, 2000, z_mm=500 * n) for n in range(3))
    answer = roughed(a_lit_job(*over, circuit={"topology": topology}))
    (reading,) = answer.circuits
    assert {device.device for device in reading.devices} == {"F0", "F1", "F2"}
    assert all(len(run.path_mm) >= 2 for run in answer.runs)


def test_length_is_level_and_drops_and_slack_at_both_ends() -> None:
    answer = roughed(a_lit_job(a_fixture("F1", 4000, 3900, z_mm=1500)))
    (run,) = runs_of(answer, "L1")
    assert (run.level_mm, run.drop_mm, run.slack_mm) == (1000, 300 + 1500, 600)
    assert run.length_mm == 1000 + 1800 + 600


def test_slack_and_drops_carry_current_too() -> None:
    """5 W at 12 V over 3.4 m of 14 AWG at 75 °C: 2 · 3.4 m · 3.14 ohm/kft · 0.4167 A."""
    light = a_fixture("F1", 4000, 3900, z_mm=1500, load_kind="constant current")
    (reading,) = roughed(a_lit_job(light)).circuits
    assert 12 - reading.devices[0].voltage_v == pytest.approx(2 * 3.4 / 304.8 * 3.14 * 5 / 12, rel=1e-6)


def test_surveyed_heights_are_taken_from_the_deck_when_its_level_is_known() -> None:
    job = a_lit_job(a_fixture("F1", 4000, 3900), level=p.DeckLevel(level_mm=-20.0))
    (feed,) = runs_of(roughed(job), "T1")
    assert feed.drop_mm == pytest.approx(1200 + 20 + 300 + 100)  # and across to the line along the wall
    assert "roughin.deck-level" not in {a.code for a in roughed(job).assumptions}
    assert "roughin.deck-level" in {
        a.code for a in roughed(a_lit_job(a_fixture("F1", 4000, 3900))).assumptions
    }


def test_the_deck_level_comes_from_the_pads() -> None:
    stick = Stick("deck-S1", "deck", "sleeper", "sleeper", (0, 0), (0, 1000), 1000)
    pad = PadSpot("deck-P1", "deck", "deck-S1", "pad", 0, 0, roof_mm=-180, height_mm=40, shims=10)
    framing = framing_of(stick)
    with_pad = type(framing)(framing.sticks, (pad,), (), (), (), (), (), (), ())
    assert deck_level_mm(b.a_job(), with_pad) == -180 + 40 + 38 + 20
    assert deck_level_mm(b.a_job(), framing) is None


def test_the_transformer_is_fed_from_its_power_point() -> None:
    (feed,) = runs_of(roughed(a_lit_job(*ROW)), "T1")
    assert (feed.kind, feed.from_id, feed.to_id, feed.cable) == ("power", "panel", "T1", "power")


def test_sleepers_crossed_are_those_of_the_framing() -> None:
    sticks = [
        Stick(f"S{n}", "deck", "sleeper", "sleeper", (400.0 * n + 200, 200), (400.0 * n + 200, 3900), 3700)
        for n in range(14)
    ]
    answer = roughed(a_lit_job(a_fixture("F1", 1000, 3900)), *sticks)
    (run,) = runs_of(answer, "L1")
    half = 89 / 2 + 10  # both stand over a sleeper and are met from beside it
    assert run.sticks_crossed == sum(1000 - half < s.start_mm[0] < 5000 - half for s in sticks)


def test_a_shared_way_is_one_trench() -> None:
    second = p.Circuit(id="L2", kind="lighting", source="T1")
    first = p.Circuit(id="L1", kind="lighting", source="T1")
    lights = (a_fixture("F1", 1000, 3900), a_fixture("F2", 1000, 3900, circuit="L2"))
    answer = roughed(a_lit_job(*lights, circuits=(first, second)))
    feed = runs_of(answer, "T1")[0].level_mm
    assert answer.trench_mm == pytest.approx(4000 + feed)


def test_low_and_line_voltage_in_one_way_is_a_check() -> None:
    outlet = p.Outlet(id="O1", circuit="P1", x_mm=1000, y_mm=3900)
    circuits = (
        p.Circuit(id="L1", kind="lighting", source="T1"),
        p.Circuit(id="P1", kind="power", source="panel"),
    )
    panel = s.PowerPoint(id="panel", x_mm=5500, y_mm=3900, supply_v=120)
    lit = a_fixture("F1", 1000, 3900)
    job = a_lit_job(lit, circuits=circuits, outlets=(outlet,), survey={"power_points": (panel,)})
    answer = roughed(job)
    assert codes(answer)["roughin.separation"] == 0, "50 mm aside there is a way"
    (low,), (line,) = (runs_of(answer, name) for name in ("L1", "P1"))
    assert (low.level_mm, line.level_mm) == (4000 + 2 * 50, 4500)
    strip = ((0.0, 3880.0), (6000.0, 3880.0), (6000.0, 3920.0), (0.0, 3920.0))
    narrow = {"power_points": (panel,), "outline_mm": strip, "edges": (), "drains": ()}
    tight = roughed(a_lit_job(lit, circuits=circuits, outlets=(outlet,), survey=narrow))
    (finding,) = [f for f in tight.findings if f.code == "roughin.separation"]
    assert finding.grade == "check"
    assert finding.value == pytest.approx(4000)
    assert finding.at_mm == pytest.approx((1000, 3900))


def test_runs_in_conduit_are_not_counted_as_side_by_side() -> None:
    outlet = p.Outlet(id="O1", circuit="P1", x_mm=1000, y_mm=3900)
    panel = s.PowerPoint(id="panel", x_mm=5500, y_mm=3900, supply_v=120)
    for cased in ("L1", "P1"):
        circuits = tuple(
            p.Circuit(id=name, kind=kind, source=source, conduit="EMT" if name == cased else "none")
            for name, kind, source in (("L1", "lighting", "T1"), ("P1", "power", "panel"))
        )
        lit = a_fixture("F1", 1000, 3900)
        job = a_lit_job(lit, circuits=circuits, outlets=(outlet,), survey={"power_points": (panel,)})
        assert codes(roughed(job))["roughin.separation"] == 0


def test_line_voltage_and_gas_always_call_for_licensed_people_and_boards_wait() -> None:
    outlet = p.Outlet(id="O1", circuit="P1", x_mm=1000, y_mm=3900)
    circuit = p.Circuit(id="P1", kind="power", source="panel")
    stub = p.GasStub(id="grill", source="gas", x_mm=5000, y_mm=3000, appliance_w=17000)
    answer = roughed(a_lit_job(circuits=(circuit,), outlets=(outlet,), gas_stubs=(stub,)))
    found = codes(answer)
    for code in ("electrician", "ground-fault", "in-use-cover", "gas-fitter", "hold-point"):
        assert found[f"roughin.{code}"] == 1, code
    assert found["roughin.spare-ways"] == 0
    (pipe,) = runs_of(answer, "grill")
    assert (pipe.kind, pipe.slack_mm, pipe.level_mm, pipe.size) == ("gas", 0, 1000, answer.gas[0].size)
    assert answer.gas[0].longest_mm == pytest.approx(9000 + pipe.length_mm)
    assert not any("safe" in f.text or "compliant" in f.text for f in answer.findings)


@pytest.mark.parametrize(
    ("where", "reason"),
    [((3000, 9000), "outside the roof outline"), ((1000, 1000), "keep-clear of V1")],
)
def test_a_place_no_run_reaches_is_a_stop_with_the_place(where: tuple[float, float], reason: str) -> None:
    vent = s.Penetration(id="V1", kind="unit", x_mm=1000, y_mm=1000, width_mm=900)
    job = a_lit_job(a_fixture("F1", *where), a_fixture("F2", 3000, 2000), survey={"penetrations": (vent,)})
    answer = roughed(job)
    (stop,) = [f for f in answer.findings if f.code == "roughin.no-way"]
    assert (stop.grade, stop.place, stop.at_mm) == ("stop", "F1", where)
    assert reason in stop.text
    assert [run.to_id for run in runs_of(answer, "L1")] == ["F2"]
    assert [d.device for d in answer.circuits[0].devices] == ["F2"]


def test_a_source_off_the_roof_is_a_stop_at_the_source() -> None:
    panel = s.PowerPoint(id="panel", x_mm=20_000, y_mm=0, supply_v=120)
    answer = roughed(a_lit_job(*ROW, survey={"power_points": (panel,)}))
    (stop,) = [f for f in answer.findings if f.code == "roughin.no-way"]
    assert (stop.place, runs_of(answer, "T1")) == ("panel", [])


def test_a_roof_covered_all_over_leaves_nothing_but_stops() -> None:
    unit = s.Penetration(id="V1", kind="unit", x_mm=3000, y_mm=2000, width_mm=9000, depth_mm=9000)
    answer = roughed(a_lit_job(*ROW, survey={"penetrations": (unit,)}))
    assert (answer.runs, answer.trench_mm) == ((), 0.0)
    assert codes(answer)["roughin.no-way"] == 2


def test_a_light_over_its_transformer_without_slack_gets_the_full_voltage() -> None:
    job = a_lit_job(a_fixture("F1", 5000, 3900))
    limits = job.choices.limits.model_copy(update={"cable_slack_mm": 0.0})
    job = job.model_copy(update={"choices": job.choices.model_copy(update={"limits": limits})})
    at_floor = job.plan.transformers[0].model_copy(update={"z_mm": 0.0})
    job = job.model_copy(update={"plan": job.plan.model_copy(update={"transformers": (at_floor,)})})
    answer = roughed(job)
    assert runs_of(answer, "L1")[0].length_mm == 0
    assert answer.circuits[0].devices[0].voltage_v == pytest.approx(12, abs=1e-5)


def test_a_light_cut_off_by_a_gap_is_a_stop() -> None:
    gap = (((1500, -10), (1600, -10), (1600, 4010), (1500, 4010)),)
    answer = roughed(a_lit_job(a_fixture("F1", 700, 2000), survey={"holes_mm": gap}))
    assert "is cut off" in next(f.text for f in answer.findings if f.code == "roughin.no-way")


def test_a_lamp_on_the_face_of_a_unit_is_reached_straight_across() -> None:
    unit = s.Penetration(id="V1", kind="unit", x_mm=2000, y_mm=2000, width_mm=600, keep_clear_mm=50)
    answer = roughed(a_lit_job(a_fixture("F1", 2300, 2000), survey={"penetrations": (unit,)}))
    assert "roughin.no-way" not in codes(answer)
    assert runs_of(answer, "L1")[0].drop_mm == pytest.approx(300 + 50, abs=0.1)


@pytest.mark.parametrize(
    "plan",
    [
        {"circuits": (p.Circuit(id="L1", kind="lighting", source="panel"),)},
        {"transformers": (p.Transformer(id="T1", x_mm=5000, y_mm=3900, output_v=12, fed_from="ghost"),)},
        {"gas_stubs": (p.GasStub(id="grill", source="panel", x_mm=0, y_mm=0, appliance_w=1),)},
    ],
)
def test_a_source_of_the_wrong_kind_is_a_stop(plan: dict[str, Any]) -> None:
    assert codes(roughed(a_lit_job(*ROW, **plan)))["roughin.no-source"] == 1


def test_a_feed_without_a_power_cable_is_asked_about() -> None:
    cables = tuple(cable for cable in b.choices().cables if cable.use != "power")
    job = a_lit_job(*ROW)
    job = job.model_copy(update={"choices": b.choices(cables=cables)})
    found = codes(roughed(job))
    assert found["roughin.feed-cord"] == 1
    assert found["roughin.no-cable"] == 0


def test_sound_reaches_its_speakers_and_its_neighbours() -> None:
    parts: dict[str, Any] = {
        "amplifiers": (p.Amplifier(id="A1", x_mm=5200, y_mm=3900, fed_from="panel", power_w=30),),
        "circuits": (p.Circuit(id="S1", kind="sound", source="A1"),),
        "speakers": tuple(p.Speaker(id=f"K{n}", circuit="S1", x_mm=n * 1000, y_mm=500) for n in (1, 4)),
    }
    neighbour = s.Neighbour(id="N1", kind="terrace", x_mm=3000, y_mm=-8000)
    answer = roughed(a_lit_job(**parts, survey={"neighbours": (neighbour,)}))
    assert [run.to_id for run in runs_of(answer, "S1")] == ["K4", "K1"]
    assert codes(answer)["roughin.neighbour-level"] == 1
    assert codes(answer)["roughin.amplifier-power"] == 1


def test_a_circuit_without_devices_is_a_note() -> None:
    assert codes(roughed(a_lit_job()))["roughin.empty-circuit"] == 1


def test_another_deck_angle_is_said() -> None:
    answer = rough_in(a_lit_job(*ROW), layout_of(0.0, 45.0), framing_of())
    assert "roughin.other-angle" in {a.code for a in answer.assumptions}
    answer = rough_in(a_lit_job(*ROW), layout_of(0.0, 90.0), framing_of())
    assert "roughin.other-angle" not in {a.code for a in answer.assumptions}


def test_an_imperial_job_reads_no_metres_in_what_is_found() -> None:
    high = b.a_plan(outlets=(p.Outlet(id="O", x_mm=1000, y_mm=1000, z_mm=2400, load_w=0, circuit="P"),))
    job = demo_job().model_copy(update={"units": "imperial"})
    said = [
        finding.text
        for finding in (
            *rough_in(job, layout_of(0.0), framing_of()).findings,
            *outlet_heights(high.outlets, "imperial"),
        )
    ]
    assert len(said) > 5
    assert not [text for text in said if re.search(r"\d (m|mm|kW|kPa)\b", text)]
