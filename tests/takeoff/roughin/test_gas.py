"""Gas stubs: longest length, table sizes to be confirmed, always a licensed fitter."""

from typing import Any

import pytest

from app.job.plan import GasStub
from app.job.survey import GasPoint
from app.takeoff.roughin.gas import Pipe, size_stubs

W_PER_BTU_H = 0.29307107
MM_PER_FT = 304.8


def sized(btu_h: float, feet: float, meter_feet: float = 0, other_w: float = 0, **stub: Any) -> Any:
    point = GasPoint(id="G", x_mm=0, y_mm=0, pipe_to_meter_mm=meter_feet * MM_PER_FT, other_load_w=other_w)
    drawn = GasStub(
        **({"id": "grill", "source": "G", "x_mm": 0, "y_mm": 0} | stub), appliance_w=btu_h * W_PER_BTU_H
    )
    return size_stubs(point, (Pipe(drawn, feet * MM_PER_FT),))


def test_the_worked_example_takes_half_inch_from_the_50_ft_row() -> None:
    """60,000 Btu/h over 45 ft: 60 ft3/h ≤ 72 in the 50 ft row."""
    (reading,), _ = sized(60e3, 20, 25)
    assert reading.size == "1/2 in"
    assert reading.capacity_w == pytest.approx(72e3 * W_PER_BTU_H)


def test_the_table_passes_what_the_spitzglass_formula_would_refuse() -> None:
    """136 ft3/h over 60 ft: table 137 for 3/4 in; Spitzglass gives 111, 19 % below, and is not used."""
    assert sized(136e3, 60)[0][0].size == "3/4 in"


def test_length_is_rounded_up_and_never_interpolated() -> None:
    assert sized(72e3, 50)[0][0].size == "1/2 in"
    assert sized(72e3, 50.1)[0][0].size == "3/4 in"


def test_what_the_pipe_already_feeds_counts() -> None:
    assert sized(60e3, 45, other_w=60e3 * W_PER_BTU_H)[0][0].size == "3/4 in"


def test_the_most_remote_stub_sets_the_length_for_all() -> None:
    point = GasPoint(id="G", x_mm=0, y_mm=0, pipe_to_meter_mm=5000)
    near, far = (GasStub(id=n, source="G", x_mm=0, y_mm=0, appliance_w=5000) for n in ("near", "far"))
    readings, _ = size_stubs(point, (Pipe(near, 1000), Pipe(far, 9000)))
    assert [r.longest_mm for r in readings] == [14000, 14000]
    assert [r.load_w for r in readings] == [10000, 10000]


def test_propane_has_its_own_rows() -> None:
    assert sized(250e3, 10, gas="propane")[0][0].size == "1/2 in"
    assert sized(250e3, 10)[0][0].size == "3/4 in"


def test_too_much_load_is_a_stop_with_need_and_largest() -> None:
    (reading,), findings = sized(250e3, 100)
    assert (findings[0].code, findings[0].grade, reading.size) == ("roughin.gas-size", "stop", "1 in")
    assert findings[0].limit == pytest.approx(195e3 * W_PER_BTU_H)


def test_a_pipe_longer_than_the_table_is_a_stop_and_no_size_is_made_up() -> None:
    _, findings = sized(10e3, 150)
    assert findings[0].code == "roughin.gas-length"


def test_every_stub_is_for_a_licensed_fitter_and_its_size_to_be_confirmed() -> None:
    check = sized(60e3, 45)[1][-1]
    assert check.grade == "check"
    assert "to be confirmed" in check.text
    assert "licensed gas fitter" in check.text
