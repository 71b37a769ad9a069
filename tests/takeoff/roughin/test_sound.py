"""Sound: cable loss at 20 °C, amplifier, impedance, neighbours."""

from typing import Any

import pytest

from app.job.plan import Amplifier, Circuit, Speaker
from app.takeoff.roughin.cables import Wired
from app.takeoff.roughin.sound import amplifier_power, sound
from tests.takeoff.roughin.site import cable, leg, site

CIRCUIT = Circuit(id="S1", kind="sound", source="A")


def a_speaker(name: str = "K", **changes: Any) -> Speaker:
    return Speaker(**({"id": name, "circuit": "S1", "x_mm": 0, "y_mm": 0} | changes))


def wired(length_mm: float, *sizes: Any, count: int = 1, **speaker: Any) -> Wired:
    speakers = [a_speaker(f"K{n}", **speaker) for n in range(count)]
    legs = [leg("A", s.id, length_mm) for s in speakers]
    return sound(CIRCUIT, speakers, legs, site(*(cable(size, "sound") for size in sizes)))


def test_a_run_of_100_ft_loses_what_is_worked_at_20_degrees() -> None:
    """0.8483 dB on 16 AWG at 20 °C into 8 ohm, whatever temperature the cable names."""
    answer = wired(100 * 304.8, "16 AWG")
    assert answer.findings[0].code == "roughin.speaker-loss"
    assert answer.findings[0].value == pytest.approx(0.8483, abs=5e-5)


def test_the_smallest_cable_under_half_a_decibel_is_taken() -> None:
    assert wired(80 * 304.8, "12 AWG", "14 AWG", "16 AWG").runs[0].size == "14 AWG"


def test_speakers_side_by_side_make_a_low_impedance() -> None:
    assert [f.code for f in wired(1000, "12 AWG", count=2).findings] == []
    low = wired(1000, "12 AWG", count=3).findings[0]
    assert (low.code, low.value) == ("roughin.speaker-impedance", pytest.approx(8 / 3))


def test_without_loss_a_speaker_gets_its_power() -> None:
    answer = wired(0.0, "12 AWG", power_w=32)
    assert answer.reading is not None
    device = answer.reading.devices[0]
    assert device.voltage_v * device.current_a == pytest.approx(32, rel=1e-5)


def test_an_amplifier_smaller_than_its_speakers_is_a_note() -> None:
    amplifier = Amplifier(id="A", x_mm=0, y_mm=0, fed_from="panel", power_w=50)
    assert amplifier_power(amplifier, [a_speaker(power_w=25)] * 2) == ()
    assert amplifier_power(amplifier, [a_speaker(power_w=26)] * 2)[0].value == 52
