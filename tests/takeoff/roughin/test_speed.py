"""The room stays quick enough to run at every edit."""

import json
import time
from pathlib import Path
from typing import Any

from app.job import plan as p
from app.job import survey as s
from app.job.job import Job
from app.takeoff.framing.records import Stick
from app.takeoff.roughin.rough_in import rough_in
from tests import builders as b
from tests.takeoff.roughin.site import a_fixture, framing_of, layout_of, pads_under

BUDGET_S = 0.3  # 60 devices on 200 m2
DEMO_BUDGET_S = 0.15  # with the night and the sound
SHAPES: tuple[Any, ...] = ("chain", "tee", "hub", "loop")


def a_large_job() -> Any:
    """20 × 10 m with 60 lights on six circuits of all shapes, round eight units and four drains."""
    circuits = tuple(
        p.Circuit(id=f"L{n}", kind="lighting", source="T1", topology=SHAPES[n % 4]) for n in range(6)
    )
    fixtures = tuple(
        a_fixture(
            f"F{n}", 500 + (n * 7919) % 19000, 500 + (n * 104729) % 9000, circuit=f"L{n % 6}", power_w=2
        )
        for n in range(60)
    )
    units = tuple(
        s.Penetration(id=f"V{n}", kind="unit", x_mm=2200 * n + 2050, y_mm=3050 + 3900 * (n % 2), width_mm=600)
        for n in range(8)
    )
    drains = tuple(s.Drain(id=f"d{n}", kind="drain", x_mm=4000 * n + 3333, y_mm=5055) for n in range(4))
    survey = b.a_survey(
        outline_mm=((0, 0), (20000, 0), (20000, 10000), (0, 10000)),
        edges=(),
        penetrations=units,
        drains=drains,
        power_points=(s.PowerPoint(id="panel", x_mm=0, y_mm=5000, supply_v=120, spare_ways=2),),
    )
    source = p.Transformer(id="T1", x_mm=600, y_mm=5000, output_v=12, fed_from="panel")
    return b.a_job(survey, b.a_plan(transformers=(source,), circuits=circuits, fixtures=fixtures))


def test_60_devices_on_200_m2_stay_within_the_budget() -> None:
    job = a_large_job()
    sticks = [
        Stick(f"S{n}", "deck", "sleeper", "sleeper", (400.0 * n, 0), (400.0 * n, 10000), 10000)
        for n in range(50)
    ]
    layout, framing = layout_of(0.0), framing_of(*sticks, pads=pads_under(sticks, 500.0))
    answer = rough_in(job, layout, framing)
    assert sum(len(reading.devices) for reading in answer.circuits) == 60
    assert len(framing.pads) == 1000
    times = []
    for _ in range(5):
        start = time.process_time()
        assert rough_in(job, layout, framing) == answer
        times.append(time.process_time() - start)
    assert min(times) < BUDGET_S


def test_the_demo_job_stays_within_its_budget() -> None:
    file = Path(__file__).parents[3] / "seed_data" / "jobs" / "harbour-workshop.json"
    job = Job.model_validate(json.loads(file.read_text(encoding="utf-8")))
    layout, framing = layout_of(*(field.angle_deg for field in job.plan.deck_fields)), framing_of()
    assert rough_in(job, layout, framing).runs
    times = []
    for _ in range(5):
        start = time.process_time()
        rough_in(job, layout, framing)
        times.append(time.process_time() - start)
    assert min(times) < DEMO_BUDGET_S
