"""The machine-readable answer of `--json` and of the JSON API.

Every answer has the keys ``answer`` (``takeoff``, ``price``, ``days`` or ``refusal``), ``version`` (of this
form: a key may be added, never renamed or removed, without raising it) and ``job`` (id, title, units,
currency of the job file). Below that stand the engine's records under their own field names, with the unit
at the end of a name (``length_mm``) in every system of the job. Ids are those of the job file, or begin with
them. Money and exact numbers are text (``"24.60"``), days are ISO 8601, the rest are JSON numbers.

takeoff: roof, pieces, fields, walls, boxes, beds, sticks, pads, span_checks, runs, circuits, transformers,
gas, joints, pulls, ways, set_out, levels, night, energy, quantities, cut_plans, loads, dead_kg, carry,
load_map, findings, assumptions.
price: prices (where they come from, their day), the estimate's own fields, findings, assumptions.
days: crew, start_on, end_on, tasks, days, orders, critical_path, findings, assumptions.
"""

from dataclasses import fields, is_dataclass
from datetime import date
from decimal import Decimal
from typing import Any

from app.job.job import Job
from app.measure.errors import InputError
from app.pricing.records import Estimate, PriceBook
from app.schedule.records import DayPlan
from app.takeoff.chain import Takeoff

VERSION = 1


def takeoff_json(job: Job, takeoff: Takeoff) -> dict[str, Any]:
    """Give everything the geometry says."""
    layout, framing, roughin, totals = takeoff.layout, takeoff.framing, takeoff.rough_in, takeoff.totals
    return {
        **_head("takeoff", job),
        "roof": _without(takeoff.roof, "findings", "assumptions"),
        **_without(layout, "findings", "assumptions"),
        **_without(framing, "findings", "assumptions"),
        **_without(roughin, "findings", "assumptions"),
        **_without(totals, "findings", "assumptions"),
        "findings": plain(takeoff.findings),
        "assumptions": plain(takeoff.assumptions),
    }


def price_json(job: Job, estimate: Estimate, prices: PriceBook, prices_from: str) -> dict[str, Any]:
    """Give the whole price."""
    return {
        **_head("price", job),
        "prices": {"from": prices_from, "as_of": plain(prices.as_of)},
        **plain(estimate),
    }


def days_json(job: Job, days: DayPlan, prices_from: str) -> dict[str, Any]:
    """Give the job in days."""
    return {**_head("days", job), "prices": {"from": prices_from}, **plain(days)}


def refusal_json(faults: tuple[InputError, ...]) -> dict[str, Any]:
    """Give the faults of a job file: path, value, and what would do."""
    return {
        "answer": "refusal",
        "version": VERSION,
        "faults": [
            {"path": fault.path, "value": plain(fault.value), "wanted": fault.wanted} for fault in faults
        ],
    }


def plain(value: Any) -> Any:
    """Turn records into JSON values; what cannot be written (the roof's own function) is left out."""
    if is_dataclass(value) and not isinstance(value, type):
        return _without(value)
    if isinstance(value, dict):
        return {str(key): plain(inner) for key, inner in value.items()}
    if isinstance(value, (tuple, list)):
        return [plain(inner) for inner in value]
    if isinstance(value, Decimal):
        return format(value, "f")
    if isinstance(value, date):
        return value.isoformat()
    return value if value is None or isinstance(value, (bool, int, float, str)) else str(value)


def _without(record: Any, *left_out: str) -> dict[str, Any]:
    pairs = ((field.name, getattr(record, field.name)) for field in fields(record))
    return {name: plain(value) for name, value in pairs if name not in left_out and not callable(value)}


def _head(answer: str, job: Job) -> dict[str, Any]:
    return {
        "answer": answer,
        "version": VERSION,
        "job": {"id": job.id, "title": job.title, "units": job.units, "currency": job.currency},
    }
