"""Laws of the whole room, over jobs strewn at random, some things off the roof or over one another."""

from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from app.job import plan as p
from app.job import survey as s
from app.job.job import Job
from app.takeoff.framing.records import Stick
from app.takeoff.roughin.rough_in import rough_in
from tests.takeoff.roughin.site import a_lit_job, framing_of, layout_of

STICKS = tuple(
    Stick(f"S{n}", "deck", "sleeper", "sleeper", (400.0 * n, 0), (400.0 * n, 4000), 4000) for n in range(15)
)
spots = st.tuples(st.integers(-3, 63), st.integers(-3, 43)).map(lambda q: (q[0] * 100.0, q[1] * 100.0))
heights = st.sampled_from([0.0, 300.0, 1800.0])
shapes = st.sampled_from(["chain", "tee", "hub", "loop"])


@st.composite
def jobs(draw: st.DrawFn) -> Job:
    def at(number: int, prefix: str, circuit: str) -> dict[str, Any]:
        x, y = draw(spots)
        return {"id": f"{prefix}{number}", "circuit": circuit, "x_mm": x, "y_mm": y, "z_mm": draw(heights)}

    lights = [
        p.Fixture(**at(n, "F", "L1"), kind="spot", power_w=3, least_v=10, greatest_v=15)
        for n in range(draw(st.integers(1, 10)))
    ]
    plan: dict[str, Any] = {
        "amplifiers": (p.Amplifier(id="A1", x_mm=5200, y_mm=3800, fed_from="panel"),),
        "circuits": (
            p.Circuit(id="L1", kind="lighting", source="T1", topology=draw(shapes)),
            p.Circuit(id="P1", kind="power", source="panel", topology=draw(shapes)),
            p.Circuit(id="S1", kind="sound", source="A1", topology=draw(shapes)),
        ),
        "outlets": tuple(p.Outlet(**at(n, "O", "P1")) for n in range(draw(st.integers(0, 3)))),
        "speakers": tuple(p.Speaker(**at(n, "K", "S1")) for n in range(draw(st.integers(0, 3)))),
    }
    ux, uy = draw(spots)
    unit = s.Penetration(
        id="U", kind="unit", x_mm=ux, y_mm=uy, width_mm=draw(st.sampled_from([200.0, 1500.0]))
    )
    return a_lit_job(*lights, survey={"penetrations": (unit,)}, **plan)


@settings(max_examples=40, deadline=None)
@given(jobs())
def test_every_device_is_reached_or_named_and_the_lengths_add_up(job: Job) -> None:
    answer = rough_in(job, layout_of(0.0), framing_of(*STICKS))
    assert len({run.id for run in answer.runs}) == len(answer.runs)
    for run in answer.runs:
        assert run.length_mm == pytest.approx(run.level_mm + run.drop_mm + run.slack_mm)
        assert run.sticks_crossed <= len(STICKS) * (len(run.path_mm) - 1)
    assert answer.trench_mm <= sum(run.level_mm for run in answer.runs) + 1e-6
    named = {finding.place for finding in answer.findings if finding.code == "roughin.no-way"}
    reached = {run.to_id for run in answer.runs} | {run.from_id for run in answer.runs}
    for device in (*job.plan.fixtures, *job.plan.outlets, *job.plan.speakers):
        circuit = next(c for c in job.plan.circuits if c.id == device.circuit)
        assert (device.id in reached) != (device.id in named or circuit.source in named)


@settings(max_examples=20, deadline=None)
@given(jobs())
def test_the_same_job_gives_the_same_answer(job: Job) -> None:
    rooms = layout_of(0.0), framing_of(*STICKS)
    assert rough_in(job, *rooms) == rough_in(Job.model_validate(job.model_dump()), *rooms)


@settings(max_examples=20, deadline=None)
@given(jobs(), st.floats(0, 500))
def test_more_slack_never_raises_a_voltage_on_the_same_cable(job: Job, more_mm: float) -> None:
    typed = tuple(c.model_copy(update={"cable": "lv-12"}) if c.id == "L1" else c for c in job.plan.circuits)
    plan = job.plan.model_copy(update={"circuits": typed})
    limits = job.choices.limits
    slack = limits.model_copy(update={"cable_slack_mm": limits.cable_slack_mm + more_mm})
    before = job.model_copy(update={"plan": plan})
    after = before.model_copy(update={"choices": job.choices.model_copy(update={"limits": slack})})
    rooms = layout_of(0.0), framing_of()
    volts = [
        {
            d.device: d.voltage_v
            for c in rough_in(j, *rooms).circuits
            if c.kind == "lighting"
            for d in c.devices
        }
        for j in (before, after)
    ]
    assert all(volts[1][name] <= volts[0][name] + 1e-9 for name in volts[1])
