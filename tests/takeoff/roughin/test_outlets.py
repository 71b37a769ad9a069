"""Line voltage: sized for the continuous load, always deferred to the electrician."""

from typing import Any

import pytest

from app.documents.words import is_said
from app.job.survey import PowerPoint
from app.takeoff.roughin.cables import Wired
from app.takeoff.roughin.outlets import Draw, outlet_cautions, power, spare_ways
from tests.takeoff.roughin.site import cable, leg, site

POINT = PowerPoint(id="panel", x_mm=0, y_mm=0, supply_v=120, spare_ways=2)


def wired(watts: float, length_mm: float = 3000, continuous: bool = False, typed: str | None = None) -> Wired:
    sizes: tuple[Any, ...] = ("10 AWG", "14 AWG", "12 AWG", "16 AWG")
    listed = site(*(cable(size, "power") for size in sizes))
    return power("P1", typed, POINT, [Draw("A", watts, continuous)], [leg("panel", "A", length_mm)], listed)


def codes(answer: Wired) -> list[str]:
    return [finding.code for finding in answer.findings]


@pytest.mark.parametrize(
    ("watts", "continuous", "size"),
    [(1800, False, "14 AWG"), (1440, True, "14 AWG"), (1450, True, "12 AWG"), (2500, False, "10 AWG")],
)
def test_the_smallest_cable_protected_high_enough_is_taken(watts: float, continuous: bool, size: str) -> None:
    answer = wired(watts, continuous=continuous)
    assert (answer.runs[0].size, codes(answer)) == (size, [])


def test_a_thicker_cable_is_taken_to_keep_the_usual_drop() -> None:
    assert wired(1440, 20e3).runs[0].size == "12 AWG"


def test_a_drop_no_cable_cures_is_a_note_only() -> None:
    answer = wired(1440, 90e3)
    assert [(f.code, f.grade) for f in answer.findings] == [("roughin.voltage-drop", "note")]
    assert "informational" in answer.findings[0].text
    assert answer.reading is not None
    assert not answer.reading.devices[0].is_inside


def test_more_than_the_largest_cable_is_a_stop_with_need_and_size() -> None:
    answer = wired(3000, continuous=True)
    assert answer.findings[0].code == "roughin.circuit-load"
    assert (answer.findings[0].value, answer.findings[0].limit) == (31.25, 30.0)
    assert "10 AWG" in answer.findings[0].text


def test_a_bell_wire_is_never_taken_for_a_branch_circuit() -> None:
    assert codes(wired(180, typed="16-AWG")) == ["roughin.circuit-load"]


def test_a_load_that_eats_the_whole_supply_is_reported_and_does_not_fail() -> None:
    answer = wired(3600, 3e6)
    assert answer.reading is not None
    assert answer.reading.worst_drop_pct == 100


def test_no_power_cable_is_a_stop() -> None:
    answer = power("P1", None, POINT, [Draw("A", 10, False)], [leg("panel", "A", 10)], site(cable("12 AWG")))
    assert codes(answer) == ["roughin.no-cable"]


def test_every_outlet_circuit_is_asked_for_ground_fault_protection_and_in_use_covers() -> None:
    for finding in outlet_cautions("P1"):
        assert finding.grade == "check"
        assert "licensed electrician and the local code" in finding.text
        assert "from memory" in finding.source


def test_ways_needed_beyond_those_spare_are_a_check() -> None:
    assert spare_ways(POINT, 2) == ()
    (short,) = spare_ways(POINT, 3)
    assert (short.grade, short.value, short.limit) == ("check", 3, 2)


@pytest.mark.parametrize(("spare", "said"), [(0, "0 spare ways"), (1, "one spare way"), (2, "2 spare ways")])
def test_ways_are_counted_as_people_count(spare: int, said: str) -> None:
    point = PowerPoint(id="panel", x_mm=0, y_mm=0, supply_v=120, spare_ways=spare)
    (found,) = spare_ways(point, 3)
    assert found.text.startswith(f"panel has {said}; this plan takes 3 ways")
    assert is_said("fr", found.text)
