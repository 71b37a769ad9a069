"""NFPA 70 (NEC) Chapter 9 Tables 1, 4 and 5: conduit fill (secondary pages; PVC diameters from memory)."""

import pytest

from app.job.choices import Conduit
from app.tables.conduits import conduit_sizes, fill_limit_pct, fill_source, insulated_wires

IN2 = 645.16
# kind, size: whole inside area and 40 % of it, in square inches.
AREAS = {
    ("EMT", "1/2 in"): (0.304, 0.122),
    ("EMT", "3/4 in"): (0.533, 0.213),
    ("EMT", "1 in"): (0.864, 0.346),
    ("PVC Schedule 40", "1/2 in"): (0.2846, 0.1139),
    ("PVC Schedule 40", "3/4 in"): (0.5077, 0.2031),
    ("PVC Schedule 40", "1 in"): (0.8316, 0.3326),
    ("PVC Schedule 80", "1/2 in"): (0.2173, 0.0869),
    ("PVC Schedule 80", "3/4 in"): (0.4094, 0.1638),
    ("PVC Schedule 80", "1 in"): (0.6881, 0.2752),
}
WIRE = {wire.size: wire.area_mm2 for wire in insulated_wires()}


@pytest.mark.parametrize("key", AREAS, ids=lambda key: f"Table 4 {key[0]} {key[1]}")
def test_inside_areas_as_printed(key: tuple[str, str]) -> None:
    kind, size = key
    found = next(row for row in conduit_sizes(kind) if row.size == size)
    whole, share = AREAS[key]
    assert found.inside_mm2 / IN2 == pytest.approx(whole, abs=6e-4)
    assert found.inside_mm2 * fill_limit_pct(3) / 100 / IN2 == pytest.approx(share, abs=6e-4)


def test_the_published_worked_example_needs_more_than_one_inch() -> None:
    used = 3 * WIRE["12 AWG"] + 4 * WIRE["10 AWG"] + 8 * WIRE["8 AWG"]
    assert used / IN2 == pytest.approx(0.4171, abs=6e-5)
    assert used > conduit_sizes("EMT")[-1].inside_mm2 * fill_limit_pct(15) / 100


def test_nine_mixed_wires_fail_half_inch_and_pass_three_quarters() -> None:
    used = 4 * WIRE["12 AWG"] + 5 * WIRE["14 AWG"] + 3 * WIRE["10 AWG"]
    half, three_quarters, _ = conduit_sizes("EMT")
    assert 100 * used / half.inside_mm2 == pytest.approx(54.28, abs=0.05)
    assert 100 * used / three_quarters.inside_mm2 == pytest.approx(30.96, abs=0.05)


def test_two_wires_may_fill_less_than_three() -> None:
    assert fill_limit_pct(2) < fill_limit_pct(3) < fill_limit_pct(1)
    with pytest.raises(ValueError, match="one or more"):
        fill_limit_pct(0)


def test_every_conduit_a_job_may_name_is_in_the_table() -> None:
    kinds, sizes = (Conduit.model_fields[name].annotation.__args__ for name in ("kind", "size"))
    for kind in kinds:
        assert {row.size for row in conduit_sizes(kind)} == set(sizes)
    with pytest.raises(KeyError, match="EMT, PVC Schedule 40"):
        conduit_sizes("hose")
    assert fill_source().table == "Chapter 9 Table 1"
