"""Field types of the job file: a number in the base unit, or text with a unit, read by `measure`."""

from typing import Annotated, Any
from zoneinfo import ZoneInfo

from pydantic import AfterValidator, BeforeValidator, Field, StringConstraints, WithJsonSchema

from app.measure import quantities
from app.measure.errors import InputError
from app.measure.numbers import LONGEST

Id = Annotated[str, StringConstraints(pattern=r"^[A-Za-z0-9][A-Za-z0-9_.-]{0,39}$")]
Text = Annotated[str, StringConstraints(max_length=400)]


def _shown(unit: str, examples: str, **limits: float) -> WithJsonSchema:
    """Show in the schema both ways to write a quantity; the limits can be told of numbers only."""
    number: dict[str, Any] = {"type": "number", "description": f"In {unit}.", **limits}
    text = {"type": "string", "minLength": 1, "maxLength": LONGEST, "description": f"Such as {examples}."}
    return WithJsonSchema({"anyOf": [number, text]})


_LENGTHS = "3.81 m, 381cm, 12' 6 1/2\" or 12-6 1/2"
Mm = Annotated[
    float,
    BeforeValidator(quantities.read_mm),
    Field(ge=-1e6, le=1e6),
    _shown("mm", _LENGTHS, minimum=-1e6, maximum=1e6),
]
PositiveMm = Annotated[
    float,
    BeforeValidator(quantities.read_mm),
    Field(gt=0, le=1e6),
    _shown("mm", _LENGTHS, exclusiveMinimum=0, maximum=1e6),
]
NonNegativeMm = Annotated[
    float,
    BeforeValidator(quantities.read_mm),
    Field(ge=0, le=1e6),
    _shown("mm", _LENGTHS, minimum=0, maximum=1e6),
]
Kg = Annotated[
    float,
    BeforeValidator(quantities.read_kg),
    Field(ge=0, le=1e5),
    _shown("kg", "40 lb or 18 kg", minimum=0, maximum=1e5),
]
PositiveKg = Annotated[
    float,
    BeforeValidator(quantities.read_kg),
    Field(gt=0, le=1e5),
    _shown("kg", "40 lb or 18 kg", exclusiveMinimum=0, maximum=1e5),
]
KgPerM = Annotated[
    float,
    BeforeValidator(quantities.read_kg_m),
    Field(gt=0, le=1e3),
    _shown("kg/m", "2.1 kg/m or 1.4 lb/ft", exclusiveMinimum=0, maximum=1e3),
]
NonNegativeKgPerM = Annotated[
    float,
    BeforeValidator(quantities.read_kg_m),
    Field(ge=0, le=1e3),
    _shown("kg/m", "0.09 kg/m or 0.06 lb/ft", minimum=0, maximum=1e3),
]
KgPerM2 = Annotated[
    float,
    BeforeValidator(quantities.read_kg_m2),
    Field(ge=0, le=1e4),
    _shown("kg/m2", "81 kg/m2 or 16.6 lb/ft2", minimum=0, maximum=1e4),
]
KgPerM3 = Annotated[
    float,
    BeforeValidator(quantities.read_kg_m3),
    Field(gt=0, le=25e3),
    _shown("kg/m3", "1600 kg/m3 or 100 pcf", exclusiveMinimum=0, maximum=25e3),
]
Kpa = Annotated[
    float,
    BeforeValidator(quantities.read_kpa),
    Field(ge=0, le=1e4),
    _shown("kPa", "50 psf, 1.2 kPa or 25 psi", minimum=0, maximum=1e4),
]
Kn = Annotated[
    float,
    BeforeValidator(quantities.read_kn),
    Field(ge=0, le=1e4),
    _shown("kN", "4.5 kN or 1000 lbf", minimum=0, maximum=1e4),
]
Watt = Annotated[
    float,
    BeforeValidator(quantities.read_w),
    Field(ge=0, le=1e5),
    _shown("W", "60 W or 60000 Btu/h", minimum=0, maximum=1e5),
]
Volt = Annotated[
    float,
    BeforeValidator(quantities.read_v),
    Field(gt=0, le=1e3),
    _shown("V", "12 V", exclusiveMinimum=0, maximum=1e3),
]
Celsius = Annotated[
    float,
    BeforeValidator(quantities.read_c),
    Field(ge=-80, le=150),
    _shown("°C", "22 °C or 75 °F", minimum=-80, maximum=150),
]
PerCelsius = Annotated[
    float,
    BeforeValidator(quantities.read_per_c),
    Field(ge=0, le=1e-3),
    _shown("1/°C", "36e-6 /°F or 65e-6 /°C", minimum=0, maximum=1e-3),
]
Minutes = Annotated[
    float,
    BeforeValidator(quantities.read_min),
    Field(gt=0, le=1e4),
    _shown("min", "4 min or 0.5 h", exclusiveMinimum=0, maximum=1e4),
]
Degrees = Annotated[
    float,
    BeforeValidator(quantities.read_deg),
    Field(ge=-360, le=360),
    _shown("deg", "45°", minimum=-360, maximum=360),
]

Latitude = Annotated[
    float,
    BeforeValidator(quantities.read_deg),
    Field(ge=-90, le=90),
    _shown("deg", "57.7°", minimum=-90, maximum=90),
]
Longitude = Annotated[
    float,
    BeforeValidator(quantities.read_deg),
    Field(ge=-180, le=180),
    _shown("deg", "-11.9°", minimum=-180, maximum=180),
]
Tilt = Annotated[
    float,
    BeforeValidator(quantities.read_deg),
    Field(ge=0, le=180),
    _shown("deg", "45°", minimum=0, maximum=180),
]
BeamAngle = Annotated[
    float,
    BeforeValidator(quantities.read_deg),
    Field(ge=2, le=360),
    _shown("deg", "36°", minimum=2, maximum=360),
]
Decibel = Annotated[float, Field(ge=0, le=130)]


def _known_zone(name: str) -> str:
    """Hold a time zone against those there are."""
    try:
        ZoneInfo(name)
    except (KeyError, ValueError, OSError) as fault:
        text = "There is no such time zone. Write it as region and town, such as America/New_York."
        raise InputError("", name, text) from fault
    return name


TimeZone = Annotated[str, StringConstraints(min_length=1, max_length=60), AfterValidator(_known_zone)]

Corner = tuple[Mm, Mm]
Outline = Annotated[tuple[Corner, ...], Field(min_length=3, max_length=400)]
