"""Scaling the units of a job file changes nothing: feet, inches, metres and millimetres give one takeoff."""

from collections.abc import Callable
from typing import Any

import pytest

from app.job.file import read_job
from app.takeoff.chain import take_off
from app.takeoff.totals.records import Totals
from tests import demo
from tests.job.test_schema import key_in_job_file, records

FIELDS = {name for record in records() for name in record.model_fields}
# Keys that are lengths wherever they stand; `least` and `greatest` are volts elsewhere.
LENGTHS = {key_in_job_file(name) for name in FIELDS if name.endswith("_mm")} - {
    key_in_job_file(name) for name in FIELDS if not name.endswith("_mm")
}


def feet_inches(length_mm: float) -> str:
    """As a tape is read: 7' 4.5"."""
    feet, rest_mm = divmod(abs(length_mm), 304.8)
    return f"{'-' if length_mm < 0 else ''}{feet:.0f}' {rest_mm / 25.4:.9f}\""


WRITTEN: dict[str, Callable[[float], str]] = {
    "feet": lambda length_mm: f"{length_mm / 304.8:.9f}'",
    "inches": lambda length_mm: f'{length_mm / 25.4:.9f}"',
    "feet and inches": feet_inches,
    "metres": lambda length_mm: f"{length_mm / 1000:.9f} m",
    "centimetres": lambda length_mm: f"{length_mm / 10:.9f} cm",
}


def rewritten(value: Any, unit: str, *, is_length: bool = False) -> Any:
    """The same document with every length written in another unit."""
    if isinstance(value, dict):
        return {key: rewritten(inner, unit, is_length=key in LENGTHS) for key, inner in value.items()}
    if isinstance(value, list):
        return [rewritten(inner, unit, is_length=is_length) for inner in value]
    if is_length and isinstance(value, int | float) and not isinstance(value, bool):
        return WRITTEN[unit](value)
    return value


def texts(value: Any) -> int:
    """How many values of a document are text."""
    if isinstance(value, dict | list):
        return sum(texts(inner) for inner in (value.values() if isinstance(value, dict) else value))
    return isinstance(value, str)


def same_totals(other: Totals, plain: Totals) -> None:
    """Hold quantities, cuts, loads and findings of one takeoff against another's."""
    assert [(q.basis, q.item) for q in other.quantities] == [(q.basis, q.item) for q in plain.quantities]
    for made, as_before in zip(other.quantities, plain.quantities, strict=True):
        assert made.amount == pytest.approx(as_before.amount, rel=1e-5), made.basis
    assert [len(cut.sticks) for cut in other.cut_plans] == [len(cut.sticks) for cut in plain.cut_plans]
    assert other.dead_kg == pytest.approx(plain.dead_kg, rel=1e-6)
    assert [finding.code for finding in other.findings] == [finding.code for finding in plain.findings]


@pytest.mark.parametrize("unit", WRITTEN)
def test_the_unit_a_length_is_written_in_changes_no_quantity_cut_or_load(unit: str) -> None:
    document = rewritten(demo.document(), unit)
    # Nearly every length of the job, so that the law is of the whole file and not of a few of its fields.
    assert texts(document) - texts(demo.document()) > 300
    same_totals(take_off(read_job(document), {}).totals, take_off(demo.demo_job(), {}).totals)


@pytest.mark.parametrize("name", ["harbour-workshop", "net-store", "quay-loft"])
def test_the_system_a_job_is_shown_in_changes_no_number(name: str) -> None:
    job = demo.demo_job(name)
    other = "metric" if job.units == "imperial" else "imperial"
    shown = take_off(job.model_copy(update={"units": other}), {})
    plain = take_off(job, {})
    same_totals(shown.totals, plain.totals)
    assert shown.layout.pieces == plain.layout.pieces
    assert shown.framing.sticks == plain.framing.sticks
    assert shown.framing.pads == plain.framing.pads
