"""Every other quantity as it is typed and read back, and money."""

import subprocess
import sys
from collections.abc import Callable
from decimal import Decimal

import pytest

from app.measure import quantities as q
from app.measure import show
from app.measure.errors import InputError

READERS = {name: getattr(q, name) for name in q.__all__}


@pytest.mark.parametrize(
    ("read", "text", "value"),
    [
        (q.read_kpa, "50 psf", 2.39401295),
        (q.read_kpa, "1.2 kPa", 1.2),
        (q.read_kpa, "1,2 kPa", 1.2),
        (q.read_kpa, "25 psi", 172.368932),
        (q.read_kpa, "40 lb/sq ft", 1.91521036),
        (q.read_kpa, "2 kN/m²", 2),
        (q.read_kpa, "0.3 MPa", 300),
        (q.read_kg_m3, "100 pcf", 1601.84634),
        (q.read_kg_m3, "1.6 g/cm3", 1600),
        (q.read_kg_m3, "1600 kg/m^3", 1600),
        (q.read_kg, "40 lb", 18.1436948),
        (q.read_kg, "1/2 lb", 0.226796185),
        (q.read_kg_m, "1 lb/ft", 1.48816394),
        (q.read_kg_m2, "10 lb/ft2", 48.8242764),
        (q.read_kg_m2, "10 psf", 48.8242764),
        (q.read_kn, "1000 lbf", 4.4482216),
        (q.read_kn, "1 kip", 4.4482216),
        (q.read_c, "75 °F", 23.8888889),
        (q.read_c, "-40 F", -40),
        (q.read_c, "22 °C", 22),
        (q.read_c, "273.15 K", 0),
        (q.read_per_c, "36e-6 /°F", 64.8e-6),
        (q.read_per_c, "36e-6 in/in/°F", 64.8e-6),
        (q.read_per_c, "36e-6 per °F", 64.8e-6),
        (q.read_per_c, "50 µm/m/K", 50e-6),
        (q.read_per_c, "0.05 mm/m/°C", 50e-6),
        (q.read_w, "60 W", 60),
        (q.read_w, "60000 Btu/h", 17584.2667),
        (q.read_w, "17.6 kW", 17600),
        (q.read_v, "12 V", 12),
        (q.read_min, "0.5 h", 30),
        (q.read_min, "90 s", 1.5),
        (q.read_deg, "45°", 45),
        (q.read_deg, "-30 degrees", -30),
    ],
)
def test_a_quantity_is_read_as_people_write_it(
    read: Callable[[object], float], text: str, value: float
) -> None:
    assert read(text) == pytest.approx(value, rel=1e-8, abs=1e-12)


@pytest.mark.parametrize("name", sorted(READERS))
def test_a_bare_number_is_in_the_base_unit(name: str) -> None:
    assert READERS[name](12.5) == READERS[name]("12.5") == 12.5


@pytest.mark.parametrize("name", sorted(READERS))
@pytest.mark.parametrize("value", ["", "3 parsecs", float("nan"), None, True, "3 A h"])
def test_what_cannot_be_read_says_what_would_do(name: str, value: object) -> None:
    with pytest.raises(InputError, match="wanted, such as"):
        READERS[name](value)


@pytest.mark.parametrize(
    "text", ["-1E780 °C", "1e400 °F", "-1e780 psf", "1e400 in", "1e307 ft", "1e400", "1/" + "9" * 400 + " m"]
)
@pytest.mark.parametrize("name", sorted(READERS))
def test_what_no_number_can_hold_is_refused_or_small_but_never_a_failure(name: str, text: str) -> None:
    """The first three made the reader fail when a million made-up inputs were tried."""
    try:
        value = READERS[name](text)
    except InputError:
        return
    assert 0 <= value < float("inf")


@pytest.mark.parametrize(
    ("name", "text"),
    [
        (name, text)
        for name in sorted(READERS)
        for text in ("3 m", "3 kg", "3 kPa", "3 W", "3 °C", "3 /°C", "3 h")
    ],
)
def test_a_quantity_of_another_kind_is_refused(name: str, text: str) -> None:
    fits = {"read_mm": "3 m", "read_kg": "3 kg", "read_kpa": "3 kPa", "read_w": "3 W", "read_c": "3 °C"}
    fits |= {"read_per_c": "3 /°C", "read_min": "3 h"}
    if fits.get(name) == text:
        assert READERS[name](text) > 0
    else:
        with pytest.raises(InputError, match=f"{text} is an? "):
            READERS[name](text)


@pytest.mark.parametrize(
    ("text", "metric", "imperial"),
    [
        ("area 34.8", "34.80 m²", "374.6 ft²"),
        ("load 4.79", "4.79 kPa", "100.0 psf"),
        ("mass 25", "25.0 kg", "55.1 lb"),
        ("density 950", "950 kg/m³", "59.3 pcf"),
        ("force 4.448222", "4.45 kN", "1000 lbf"),
        ("power 60", "60 W", "60 W"),
        ("volume 1", "1.000 m³", "35.3 ft³"),
    ],
)
def test_a_quantity_is_shown_in_the_readers_system(text: str, metric: str, imperial: str) -> None:
    kind, amount = text.split()
    assert show.format_quantity(float(amount), kind, "metric") == metric  # type: ignore[arg-type]
    assert show.format_quantity(float(amount), kind, "imperial") == imperial  # type: ignore[arg-type]


def test_a_temperature_is_shown_without_a_negative_zero() -> None:
    assert show.format_temperature(-0.3, "metric") == "0 °C"
    assert show.format_temperature(-18, "imperial") == "0 °F"
    assert show.format_temperature(-40, "imperial") == "−40 °F"


@pytest.mark.parametrize(
    ("amount", "currency", "locale", "text"),
    [
        ("12500.5", "USD", "en_US", "$12,500.50"),
        ("-3", "USD", "en_US", "-$3.00"),
        ("1500", "JPY", "en_US", "¥1,500"),
        ("12500.5", "EUR", "de_DE", "12.500,50\u00a0€"),
    ],
)
def test_money_is_shown_as_its_locale_writes_it(amount: str, currency: str, locale: str, text: str) -> None:
    assert show.format_money(Decimal(amount), currency, locale) == text


def test_plain_numbers_never_reach_the_unit_registry() -> None:
    program = (
        "import pint\n"
        "from app.measure import quantities as q, units\n"
        "units._REGISTRY = None\n"
        "assert [getattr(q, name)(3) for name in q.__all__] == [3.0] * len(q.__all__)\n"
    )
    assert subprocess.run([sys.executable, "-c", program], check=False).returncode == 0
