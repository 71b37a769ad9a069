"""Scaling the units of a job file changes nothing: feet, inches, metres and millimetres give one takeoff."""

from typing import Any

import pytest

from app.job.file import read_job
from app.takeoff.chain import take_off
from tests import demo

PLACES = ("x", "y", "z", "outline", "holes", "start", "end", "level", "threshold", "drop")
SIZES = ("length", "width", "height", "depth", "thickness", "diameter", "keep_clear", "longest_piece")
CHOSEN = ("kerf", "shim_step", "media_depth", "plant_spacing", "sleeper_spacing", "pad_spacing")
LENGTHS = frozenset((*PLACES, *SIZES, *CHOSEN, "furring_spacing", "side_gap", "least_pad", "greatest_pad"))
WRITTEN = {
    "feet": (304.8, "'"),
    "inches": (25.4, '"'),
    "metres": (1000.0, " m"),
    "centimetres": (10.0, " cm"),
}


def rewritten(value: Any, unit: str, *, is_length: bool = False) -> Any:
    """The same document with every length written in another unit."""
    if isinstance(value, dict):
        return {key: rewritten(inner, unit, is_length=key in LENGTHS) for key, inner in value.items()}
    if isinstance(value, list):
        return [rewritten(inner, unit, is_length=is_length) for inner in value]
    if is_length and isinstance(value, (int, float)) and not isinstance(value, bool) and value >= 0:
        size_mm, sign = WRITTEN[unit]
        return f"{value / size_mm:.9f}{sign}"
    return value


@pytest.mark.parametrize("unit", WRITTEN)
def test_the_unit_a_length_is_written_in_changes_no_quantity_cut_or_load(unit: str) -> None:
    plain = take_off(read_job(demo.document()), {}).totals
    other = take_off(read_job(rewritten(demo.document(), unit)), {}).totals
    assert [(q.basis, q.item) for q in other.quantities] == [(q.basis, q.item) for q in plain.quantities]
    for made, as_before in zip(other.quantities, plain.quantities, strict=True):
        assert made.amount == pytest.approx(as_before.amount, rel=1e-5), made.basis
    assert [len(cut.sticks) for cut in other.cut_plans] == [len(cut.sticks) for cut in plain.cut_plans]
    assert other.dead_kg == pytest.approx(plain.dead_kg, rel=1e-6)
    assert [finding.code for finding in other.findings] == [finding.code for finding in plain.findings]
