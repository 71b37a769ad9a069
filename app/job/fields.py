"""Field types of the job file: a number in the base unit, or text with a unit, read by `measure`."""

from typing import Annotated

from pydantic import BeforeValidator, Field, StringConstraints

from app.measure import quantities

Id = Annotated[str, StringConstraints(pattern=r"^[A-Za-z0-9][A-Za-z0-9_.-]{0,39}$")]
Text = Annotated[str, StringConstraints(max_length=400)]

Mm = Annotated[float, BeforeValidator(quantities.read_mm), Field(ge=-1e6, le=1e6)]
PositiveMm = Annotated[float, BeforeValidator(quantities.read_mm), Field(gt=0, le=1e6)]
NonNegativeMm = Annotated[float, BeforeValidator(quantities.read_mm), Field(ge=0, le=1e6)]
Kg = Annotated[float, BeforeValidator(quantities.read_kg), Field(ge=0, le=1e5)]
PositiveKg = Annotated[float, BeforeValidator(quantities.read_kg), Field(gt=0, le=1e5)]
KgPerM = Annotated[float, BeforeValidator(quantities.read_kg_m), Field(gt=0, le=1e3)]
KgPerM2 = Annotated[float, BeforeValidator(quantities.read_kg_m2), Field(ge=0, le=1e4)]
KgPerM3 = Annotated[float, BeforeValidator(quantities.read_kg_m3), Field(gt=0, le=25e3)]
Kpa = Annotated[float, BeforeValidator(quantities.read_kpa), Field(ge=0, le=1e4)]
Kn = Annotated[float, BeforeValidator(quantities.read_kn), Field(ge=0, le=1e4)]
Watt = Annotated[float, BeforeValidator(quantities.read_w), Field(ge=0, le=1e5)]
Volt = Annotated[float, BeforeValidator(quantities.read_v), Field(gt=0, le=1e3)]
Celsius = Annotated[float, BeforeValidator(quantities.read_c), Field(ge=-80, le=150)]
PerCelsius = Annotated[float, BeforeValidator(quantities.read_per_c), Field(ge=0, le=1e-3)]
Minutes = Annotated[float, BeforeValidator(quantities.read_min), Field(gt=0, le=1e4)]
Degrees = Annotated[float, Field(ge=-360, le=360)]

Corner = tuple[Mm, Mm]
Outline = Annotated[tuple[Corner, ...], Field(min_length=3, max_length=400)]
