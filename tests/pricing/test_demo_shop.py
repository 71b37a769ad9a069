"""The demo shop prices the demo jobs whole, from survey to order list."""

import csv
import json
from datetime import date
from decimal import Decimal
from pathlib import Path

import pytest

from app.job.job import Job
from app.pricing.book_file import read_assemblies, read_price_rows, read_rules
from app.pricing.records import PriceBook
from app.schedule.calendars import calendar_for
from app.schedule.crew_file import read_calendar_rules, read_crews
from app.takeoff.totals.bases import BASES
from app.whole_job import WholeJob, whole_job

SEED = Path(__file__).parents[2] / "seed_data"
JOBS = sorted((SEED / "jobs").glob("*.json"))


def document(name: str) -> object:
    return json.loads((SEED / "shop" / name).read_text(encoding="utf-8"))


def demo_book() -> PriceBook:
    with (SEED / "shop" / "prices.csv").open(encoding="utf-8", newline="") as file:
        items = read_price_rows(csv.DictReader(file))
    assemblies = read_assemblies(document("assemblies.json"))
    return PriceBook(items, assemblies, read_rules(document("rules.json")), date(2026, 5, 1))


def worked_out(path: Path) -> WholeJob:
    crews, rules = read_crews(document("crews.json")), read_calendar_rules(document("crews.json"))
    calendar = calendar_for(rules.region, [2026, 2027], rules.weekdays, rules.leave)
    job = Job.model_validate(json.loads(path.read_text(encoding="utf-8")))
    return whole_job(job, demo_book(), crews[0], calendar, date(2026, 6, 15), date(2026, 5, 4))


@pytest.mark.parametrize("path", JOBS, ids=lambda path: path.stem)
def test_nothing_measured_is_left_unpriced_and_everything_sums(path: Path) -> None:
    answer = worked_out(path)
    assert not answer.estimate.findings
    assert answer.estimate.total > 1000
    assert sum((phase.price for phase in answer.estimate.phases), Decimal(0)) == answer.estimate.price
    bought = [line for line in answer.estimate.lines if line.packs]
    assert {order.item for order in answer.days.orders} == {line.item for line in bought}
    assert sum(Decimal(order.cost) for order in answer.days.orders) == answer.estimate.material
    assert answer.days.tasks[-1].task.code == "walk-through"
    assert abs(sum(sum(day.hours_h) for day in answer.days.days) - answer.estimate.hours_h) < 1e-3


def test_every_measured_basis_has_an_assembly_in_the_demo_shop() -> None:
    assert {basis.code for basis in BASES} == {assembly.basis for assembly in demo_book().assemblies}
