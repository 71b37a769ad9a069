"""How full a conduit is.

Sources: NEC 2011 Chapter 9 Tables 1, 4 and 5 as a handbook copy prints them; a published worked example of
3 × 12, 4 × 10 and 8 × 8 AWG (0.4171 in2, more than 1 in EMT takes).
"""

import math

import pytest

from app.tables.conduit import (
    MM2_PER_IN2,
    conduit_inside_mm2,
    conduit_source,
    fill_pct,
    most_fill_pct,
    wire_mm2,
)

FILLS = [
    ("1/2 in", 0.161, 0.094, 0.122),
    ("3/4 in", 0.283, 0.165, 0.213),
    ("1 in", 0.458, 0.268, 0.346),
]


def wires(**counts: int) -> tuple[float, ...]:
    found = []
    for size, count in counts.items():
        area = wire_mm2(f"{size.removeprefix('awg')} AWG")
        assert area is not None
        found += [area] * count
    return tuple(found)


@pytest.mark.parametrize(("size", "one", "two", "more"), FILLS, ids=[f"EMT {row[0]}" for row in FILLS])
def test_the_columns_of_table_4_follow_from_table_1(size: str, one: float, two: float, more: float) -> None:
    inside = conduit_inside_mm2("EMT", size) / MM2_PER_IN2
    for count, printed in ((1, one), (2, two), (3, more)):
        assert inside * most_fill_pct(count) / 100 == pytest.approx(printed, abs=6e-4)


def test_the_published_example_is_too_much_for_one_inch() -> None:
    areas = wires(awg12=3, awg10=4, awg8=8)
    assert sum(areas) / MM2_PER_IN2 == pytest.approx(0.4171, abs=5e-5)
    assert fill_pct(areas, conduit_inside_mm2("EMT", "1 in")) > most_fill_pct(len(areas))


def test_four_12_five_14_and_three_10_fill_half_inch_by_54_and_three_quarters_by_31_per_cent() -> None:
    areas = wires(awg12=4, awg14=5, awg10=3)
    assert fill_pct(areas, conduit_inside_mm2("EMT", "1/2 in")) == pytest.approx(54.28, abs=0.01)
    assert fill_pct(areas, conduit_inside_mm2("EMT", "3/4 in")) == pytest.approx(30.96, abs=0.01)


@pytest.mark.parametrize(
    ("kind", "inside_in"),
    [("PVC Schedule 40", (0.602, 0.804, 1.029)), ("PVC Schedule 80", (0.526, 0.722, 0.936))],
)
def test_insides_from_memory_say_so_and_agree_with_their_diameters(
    kind: str, inside_in: tuple[float, ...]
) -> None:
    assert "from memory" in str(conduit_source(kind))
    for size, diameter in zip(("1/2 in", "3/4 in", "1 in"), inside_in, strict=True):
        area = conduit_inside_mm2(kind, size) / MM2_PER_IN2
        assert area == pytest.approx(math.pi * diameter**2 / 4, abs=3e-4)


def test_what_the_tables_do_not_hold_is_said() -> None:
    assert wire_mm2("2.5 mm2") is None
    with pytest.raises(KeyError, match="EMT 4 in"):
        conduit_inside_mm2("EMT", "4 in")
