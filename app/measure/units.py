"""The units people write, and their factors. pint owns every factor; its one registry is made here."""

import re
from fractions import Fraction
from functools import cache

import pint

from app.measure.errors import InputError
from app.measure.numbers import finite, number_and_rest, plain_text

# Exact rational factors: 1 ft is 1524/5 mm, not 304.79999. Made once: a second one costs 0.2 to 0.4 s.
_REGISTRY: pint.UnitRegistry[Fraction] = pint.UnitRegistry(non_int_type=Fraction)

# What people write → what pint calls it. Keys are in lower case without spaces, ``^`` or ``per``.
_SPELLINGS: dict[str, str] = {
    **dict.fromkeys(("mm", "millimetre", "millimetres", "millimeter", "millimeters"), "mm"),
    **dict.fromkeys(("cm", "centimetre", "centimetres", "centimeter", "centimeters"), "cm"),
    **dict.fromkeys(("m", "metre", "metres", "meter", "meters"), "m"),
    **dict.fromkeys(("km",), "km"),
    **dict.fromkeys(('"', "in", "in.", "inch", "inches"), "inch"),
    **dict.fromkeys(("'", "ft", "ft.", "foot", "feet"), "foot"),
    **dict.fromkeys(("yd", "yard", "yards"), "yard"),
    **dict.fromkeys(("m2", "sqm"), "m**2"),
    "mm2": "mm**2",
    **dict.fromkeys(("ft2", "sqft", "sf"), "foot**2"),
    **dict.fromkeys(("m3",), "m**3"),
    **dict.fromkeys(("ft3", "cuft"), "foot**3"),
    **dict.fromkeys(("yd3", "cuyd"), "yard**3"),
    **dict.fromkeys(("g", "gram", "grams"), "gram"),
    **dict.fromkeys(("kg", "kgs", "kilo", "kilos", "kilogram", "kilograms"), "kilogram"),
    **dict.fromkeys(("t", "tonne", "tonnes"), "tonne"),
    **dict.fromkeys(("lb", "lbs", "lb.", "pound", "pounds"), "pound"),
    **dict.fromkeys(("oz", "ounce", "ounces"), "ounce"),
    **dict.fromkeys(("kg/m", "kg/lm"), "kg/m"),
    "g/m": "gram/m",
    **dict.fromkeys(("lb/ft", "lbs/ft", "lb/lf", "plf"), "pound/foot"),
    "kg/m2": "kg/m**2",
    **dict.fromkeys(("lb/ft2", "lbs/ft2", "lb/sqft", "lbs/sqft", "psf", "lbf/ft2"), "force_pound/foot**2"),
    "kg/m3": "kg/m**3",
    **dict.fromkeys(("g/cm3", "kg/l", "t/m3"), "gram/cm**3"),
    **dict.fromkeys(("pcf", "lb/ft3", "lbs/ft3", "lb/cuft"), "pound/foot**3"),
    "pa": "pascal",
    "kpa": "kilopascal",
    "mpa": "megapascal",
    "bar": "bar",
    "kn/m2": "kilonewton/m**2",
    "n/mm2": "newton/mm**2",
    **dict.fromkeys(("psi", "lb/in2", "lbf/in2"), "psi"),
    "ksf": "1000*force_pound/foot**2",
    "n": "newton",
    "kn": "kilonewton",
    "lbf": "force_pound",
    **dict.fromkeys(("kip", "kips"), "1000*force_pound"),
    "kgf": "kilogram_force",
    **dict.fromkeys(("w", "watt", "watts"), "watt"),
    **dict.fromkeys(("kw", "kilowatt", "kilowatts"), "kilowatt"),
    **dict.fromkeys(("btu/h", "btu/hr", "btuh", "btu/hour"), "Btu/hour"),
    "mbh": "1000*Btu/hour",
    **dict.fromkeys(("v", "volt", "volts", "vac", "vdc"), "volt"),
    "kv": "kilovolt",
    **dict.fromkeys(("°c", "c", "degc", "celsius"), "degC"),
    **dict.fromkeys(("°f", "f", "degf", "fahrenheit"), "degF"),
    **dict.fromkeys(("k", "kelvin"), "kelvin"),
    **dict.fromkeys(("°", "deg", "degree"), "degree"),
    **dict.fromkeys(("s", "sec", "second", "seconds"), "second"),
    **dict.fromkeys(("min", "mins", "min.", "minute", "minutes"), "minute"),
    **dict.fromkeys(("h", "hr", "hrs", "hour", "hours"), "hour"),
}
# Per degree is a difference: 5/9 and nothing else, whatever the zero of the scale.
_PER_DEGREE = {"°c": "1/delta_degC", "c": "1/delta_degC", "k": "1/delta_degC", "degc": "1/delta_degC"} | {
    "°f": "1/delta_degF",
    "f": "1/delta_degF",
    "degf": "1/delta_degF",
}
_STRAIN = {"": "1", "1": "1", "mm/mm": "1", "m/m": "1", "in/in": "1", "mm/m": "mm/m", "um/m": "um/m"}
_SPELLINGS |= {
    f"{strain}/{degree}": unit.replace("1", ratio, 1)
    for strain, ratio in _STRAIN.items()
    for degree, unit in _PER_DEGREE.items()
}

_KINDS = {
    "mm": "a length",
    "m**2": "an area",
    "m**3": "a volume",
    "kilogram": "a mass",
    "kg/m": "a mass per length",
    "kg/m**2": "a mass per area",
    "kg/m**3": "a density",
    "kilopascal": "a pressure or load per area",
    "kilonewton": "a force",
    "watt": "a power",
    "volt": "a voltage",
    "kelvin": "a temperature",
    "1/delta_degC": "an expansion per degree",
    "minute": "a time",
    "degree": "an angle",
}


def _spelling(unit: str) -> str:
    """Bring a unit into the form in which the list has it."""
    joined = (
        re.sub(r"\s*\bper\b\s*", "/", unit.lower()).replace("**", "").replace("^", "").replace("deg ", "deg")
    )
    joined = joined.replace("cu ", "cu").replace("sq ", "sq").replace("sq. ", "sq").replace(" ", "")
    return joined.removeprefix("*").replace("º", "°").replace("degrees", "deg").replace("lineal", "l")


@cache
def factor(unit: str, to: str) -> Fraction:
    """Give the exact number of `to` in one `unit`, as pint has it.

    Parameters
    ----------
    unit, to : str
        Names that pint knows, without an offset scale.

    Returns
    -------
    factor : Fraction
        Exact.

    Examples
    --------
    >>> factor("inch", "mm")
    Fraction(127, 5)

    References
    ----------
    Definition: international yard and pound, standard gravity 9.80665 m/s2, as pint carries them.
    """
    return Fraction(_REGISTRY.parse_expression(unit).to(to).magnitude)


@cache
def _kind(unit: str) -> str:
    """Say in words what a unit measures."""
    dimensions = _dimensions(unit)
    return next(
        (kind for known, kind in _KINDS.items() if _dimensions(known) == dimensions), "something else"
    )


def _dimensions(unit: str) -> object:
    """Give what can be compared between two units of one kind."""
    return _REGISTRY.parse_expression("kelvin" if unit in ("degC", "degF") else unit).dimensionality


def _in_base(number: Fraction, unit: str, base: str) -> float:
    """Convert; only temperatures have a zero of their own."""
    if base == "degC":
        return float(_REGISTRY.Quantity(number, unit).to(base).magnitude)
    return float(number * factor(unit, base))


def read_quantity(value: object, base: str, wanted: str) -> float:
    """Read a number in the base unit, or text with a unit of its own.

    Parameters
    ----------
    value : object
        A number, taken as it is, or text such as ``50 psf``.
    base : str
        Base unit, by pint's name.
    wanted : str
        What is wanted, with examples; said when the value cannot be read.

    Returns
    -------
    number : float
        In the base unit.

    Raises
    ------
    InputError
        When nothing, another kind of quantity, or an unknown unit was written.

    Examples
    --------
    >>> read_quantity("1 ft", "mm", "A length is wanted.")
    304.8

    References
    ----------
    Definition.
    """
    number = finite(value, wanted)
    if number is not None:
        return number
    if not isinstance(value, str):
        raise InputError("", value, wanted)
    text = plain_text(value)
    if not text:
        raise InputError("", value, f"Nothing is written here. {wanted}")
    parts = number_and_rest(text)
    if parts is None:
        raise InputError("", value, f"{text} does not start with a number. {wanted}")
    exact, written = parts
    if not written:
        return float(finite(exact, wanted) or 0.0)
    unit = _SPELLINGS.get(_spelling(written))
    if unit is None:
        raise InputError("", value, f"{written} is not a unit known here. {wanted}")
    unit = _mass_or_force(unit, base)
    if _kind(unit) != _kind(base):
        raise InputError("", value, f"{text} is {_kind(unit)}. {wanted}")
    try:
        return _in_base(exact, unit, base)
    except OverflowError:
        raise InputError("", value, wanted) from None


def _mass_or_force(unit: str, base: str) -> str:
    """Take pounds per square foot as mass where mass per area is wanted, and pounds as force for a force."""
    if base == "kg/m**2" and unit == "force_pound/foot**2":
        return "pound/foot**2"
    if base == "kilonewton" and unit == "pound":
        return "force_pound"
    return unit
