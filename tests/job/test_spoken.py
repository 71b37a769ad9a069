"""Amounts in sentences, in the job's own system."""

import pytest

from app.job.spoken import Spoken

METRIC, IMPERIAL = Spoken("metric"), Spoken("imperial")


def test_lengths_are_read_in_the_system_of_the_job() -> None:
    assert METRIC.length(914.4) == "914 mm"
    assert IMPERIAL.length(914.4) == "3' 0\""
    assert IMPERIAL.length(1066.8) == "3' 6\""
    assert METRIC.length(-54.2) == "−54 mm"


def test_small_gaps_keep_their_tenth_of_a_millimetre() -> None:
    assert METRIC.gap(5.47) == "5.5 mm"
    assert IMPERIAL.gap(4.7625) == '3/16"'


@pytest.mark.parametrize(
    ("shim", "words"), [(4.7625, '3/16"'), (5.55625, '7/32"'), (25.4, '1"'), (26.19375, '1 1/32"')]
)
def test_shims_are_read_to_the_thirty_second_of_an_inch(shim: float, words: str) -> None:
    assert IMPERIAL.shim(shim) == words


def test_other_amounts_carry_their_unit() -> None:
    assert METRIC.mass(61.4) == "61 kg"
    assert IMPERIAL.mass(45.359237) == "100.0 lb"
    assert METRIC.area(2.5) == "2.50 m²"
    assert IMPERIAL.area(9.290304) == "100.0 ft²"
    assert METRIC.patch(5200.0) == "52 cm²"
    assert IMPERIAL.patch(6451.6) == "10 in²"
    assert METRIC.warmth(-18.0) == "−18 °C"
    assert IMPERIAL.warmth(0.0) == "32 °F"
    assert METRIC.load(4.79) == "4.79 kPa"
    assert METRIC.volume(0.2) == "0.200 m³"


def test_another_system_is_a_programming_error() -> None:
    with pytest.raises(ValueError, match="imperial or metric"):
        Spoken("nautical").length(1.0)


@pytest.mark.parametrize(
    ("amount", "unit", "imperial", "metric"),
    [
        (914.4, "mm", "3' 0\"", "914.40 mm"),
        (4.788, "kPa", "100.0 psf", "4.79 kPa"),
        (4.448, "kN", "1000 lbf", "4.45 kN"),
        (45.36, "kg", "100.0 lb", "45.36 kg"),
        (10.0, "m2", "107.6 ft²", "10.00 m2"),
        (3.0, "pads", "3.00 pads", "3.00 pads"),
    ],
)
def test_what_a_finding_carries_is_written_in_the_units_at_home(
    amount: float, unit: str, imperial: str, metric: str
) -> None:
    assert Spoken("imperial").measured(amount, unit) == imperial
    assert Spoken("metric").measured(amount, unit) == metric
