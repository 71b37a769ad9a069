"""The smallest cable that keeps every fixture inside its window; what Class 2 asks."""

from typing import Any

import pytest

from app.job.plan import Circuit, Fixture
from app.takeoff.roughin.cables import Wired
from app.takeoff.roughin.lighting import light
from tests.takeoff.roughin.site import a_fixture, cable, leg, site

FT = 304.8
SIZES = ("18 AWG", "16 AWG", "14 AWG", "12 AWG", "10 AWG")


def lit(
    length_mm: float, *sizes: Any, volts: float = 12.0, typed: str | None = None, **fixture: Any
) -> Wired:
    circuit = Circuit(id="L1", kind="lighting", source="T", cable=typed)
    cables = [cable(size) for size in sizes or reversed(SIZES)]
    return light(circuit, volts, [a_fixture("F", **fixture)], [leg("T", "F", length_mm)], site(*cables))


def codes(wired: Wired) -> list[str]:
    return [finding.code for finding in wired.findings]


def test_the_smallest_cable_that_holds_is_chosen_whatever_the_order_of_the_list() -> None:
    chosen = [lit(feet * FT, power_w=40).runs[0].size for feet in (1, 20, 30, 50, 80)]
    assert chosen == sorted(chosen, key=SIZES.index)
    assert chosen[0] == "18 AWG"
    assert chosen[-1] in ("12 AWG", "10 AWG")


def test_one_size_smaller_would_not_have_held() -> None:
    wired = lit(60 * FT, power_w=40)
    smaller = SIZES[SIZES.index(wired.runs[0].size) - 1]
    assert not codes(wired)
    assert "roughin.voltage-low" in codes(lit(60 * FT, smaller, power_w=40))


def test_none_is_a_stop_that_names_the_need_and_the_largest() -> None:
    wired = lit(150 * FT, power_w=40)
    stop = wired.findings[0]
    assert (stop.code, stop.grade, stop.place) == ("roughin.voltage-low", "stop", "F")
    assert "10 AWG" in stop.text
    assert "ohm/km or less" in stop.text
    assert wired.runs[0].size == "10 AWG"
    assert wired.reading is not None
    assert not wired.reading.devices[0].is_inside


def test_the_need_named_just_holds() -> None:
    """Constant current, 10.8 V of 12 V, 40 W over 150 ft: r = 1.2 / (2 · 0.04572 km · 3.3333 A)."""
    text = lit(150 * FT, power_w=40, load_kind="constant current").findings[0].text
    assert f"{1.2 / (2 * 0.04572 * 40 / 12):.2f} ohm/km or less" in text


def test_a_typed_cable_is_kept_and_judged() -> None:
    wired = lit(60 * FT, typed="18-AWG", power_w=40)
    assert wired.runs[0].size == "18 AWG"
    assert codes(wired)[0] in ("roughin.voltage-low", "roughin.no-solution")
    assert "the cable asked for" in wired.findings[0].text


def test_a_typed_cable_that_is_not_listed_is_a_stop_without_a_reading() -> None:
    wired = lit(60 * FT, typed="ghost")
    assert (codes(wired), wired.reading, wired.runs[0].cable) == (["roughin.no-cable"], None, "")


def test_a_load_that_no_cable_carries_is_a_stop_that_names_the_circuit() -> None:
    wired = lit(2000 * FT, power_w=100)
    assert (codes(wired), wired.findings[0].place) == (["roughin.no-solution"], "L1")


def test_too_much_voltage_is_a_stop() -> None:
    wired = lit(1 * FT, volts=14.5, greatest_v=13.0)
    assert codes(wired)[0] == "roughin.voltage-high"


def test_a_source_below_the_window_is_said_to_be_past_help_by_cable() -> None:
    assert "no cable helps" in lit(1 * FT, volts=10.0).findings[0].text


def test_a_60_w_circuit_is_over_class_2_at_constant_power_and_not_at_constant_current() -> None:
    """5.27 A against 5.00 A nominal on the worked 12 V loop: the driver load must not be understated."""
    feet = [20, *[8] * 9, 36]
    nodes = ["T", *(f"F{n}" for n in range(1, 11)), "T"]
    legs = [leg(a, b, f * FT) for a, b, f in zip(nodes, nodes[1:], feet, strict=False)]

    def loop(kind: Any) -> Wired:
        fixtures: list[Fixture] = [a_fixture(f, power_w=6, load_kind=kind) for f in nodes[1:-1]]
        circuit = Circuit(id="L1", kind="lighting", source="T", topology="loop")
        return light(circuit, 12.0, fixtures, legs, site(cable("14 AWG")))

    assert codes(loop("constant current")) == []
    over = loop("constant power").findings[0]
    assert (over.code, over.grade, over.limit) == ("roughin.class-2", "check", 5.0)
    assert over.value == pytest.approx(5.2665, abs=5e-5)
    assert "from memory" in over.source


def test_24_v_outdoors_asks_about_wet_contact() -> None:
    wired = lit(10 * FT, volts=24.0, least_v=20, greatest_v=26)
    assert codes(wired) == ["roughin.wet-voltage"]
    assert wired.findings[0].limit == 15.0


def test_48_v_is_over_what_the_low_voltage_article_allows() -> None:
    wired = lit(10 * FT, volts=48.0, least_v=40, greatest_v=50)
    assert codes(wired) == ["roughin.system-voltage", "roughin.wet-voltage"]


def test_more_than_25_a_on_one_secondary_is_a_check() -> None:
    assert "roughin.secondary" in codes(lit(100.0, power_w=320))
