"""What people read back: each quantity in their own system, and money as their locale writes it."""

from decimal import Decimal
from typing import Literal

from babel import numbers

from app.measure.lengths import feet_and_inches
from app.measure.units import factor

Kind = Literal[
    "area",
    "volume",
    "mass",
    "mass per length",
    "mass per area",
    "density",
    "load",
    "stress",
    "force",
    "power",
]
# base unit, then unit, its sign and decimals: metric, imperial
_SHOWN: dict[Kind, tuple[str, tuple[str, str, int], tuple[str, str, int]]] = {
    "area": ("m**2", ("m**2", "m²", 2), ("foot**2", "ft²", 1)),
    "volume": ("m**3", ("m**3", "m³", 3), ("foot**3", "ft³", 1)),
    "mass": ("kilogram", ("kilogram", "kg", 1), ("pound", "lb", 1)),
    "mass per length": ("kg/m", ("kg/m", "kg/m", 2), ("pound/foot", "lb/ft", 2)),
    "mass per area": ("kg/m**2", ("kg/m**2", "kg/m²", 1), ("pound/foot**2", "lb/ft²", 1)),
    "density": ("kg/m**3", ("kg/m**3", "kg/m³", 0), ("pound/foot**3", "pcf", 1)),
    "load": ("kilopascal", ("kilopascal", "kPa", 2), ("force_pound/foot**2", "psf", 1)),
    "stress": ("megapascal", ("megapascal", "MPa", 2), ("force_pound/inch**2", "psi", 0)),
    "force": ("kilonewton", ("kilonewton", "kN", 2), ("force_pound", "lbf", 0)),
    "power": ("watt", ("watt", "W", 0), ("watt", "W", 0)),
}


def _is_imperial(system: str) -> bool:
    """Tell the two systems apart; anything else is a programming error."""
    if system not in ("imperial", "metric"):
        raise ValueError(f"There is no system {system}; imperial or metric.")
    return system == "imperial"


def _figure(number: float, decimals: int) -> str:
    """Write a number with a real minus sign and no negative zero."""
    text = f"{number:.{decimals}f}"
    return text.lstrip("-") if float(text) == 0 else text.replace("-", "−")


def format_length(length_mm: float, system: str) -> str:
    """Write a length: to the nearest 1/16 in, or to the nearest mm.

    Parameters
    ----------
    length_mm : float
        Any length. [mm]
    system : str
        ``imperial`` or ``metric``.

    Returns
    -------
    text : str
        Such as ``12' 6 1/2"`` or ``3823 mm``.

    Raises
    ------
    ValueError
        For another system.

    Examples
    --------
    >>> format_length(3822.7, "imperial"), format_length(3822.7, "metric")
    ('12\\' 6 1/2"', '3823 mm')

    References
    ----------
    Definition.
    """
    return feet_and_inches(length_mm) if _is_imperial(system) else f"{_figure(length_mm, 0)} mm"


def format_quantity(amount: float, kind: Kind, system: str) -> str:
    """Write an amount given in its base unit in the reader's system.

    Parameters
    ----------
    amount : float
        In m², m³, kg, kg/m, kg/m², kg/m³, kPa, MPa, kN or W, by its kind.
    kind : str
        What is measured: ``area``, ``volume``, ``mass``, ``mass per length``, ``mass per area``,
        ``density``, ``load``, ``stress``, ``force`` or ``power``.
    system : str
        ``imperial`` or ``metric``.

    Returns
    -------
    text : str
        Number and unit.

    Raises
    ------
    ValueError
        For another system.

    Examples
    --------
    >>> format_quantity(1600, "density", "imperial")
    '99.9 pcf'

    References
    ----------
    Definition.
    """
    base, metric, imperial = _SHOWN[kind]
    unit, sign, decimals = imperial if _is_imperial(system) else metric
    return f"{_figure(amount / float(factor(unit, base)), decimals)} {sign}"


def format_area(area_m2: float, system: str) -> str:
    """Write an area.

    Parameters
    ----------
    area_m2 : float
        Any area. [m2]
    system : str
        ``imperial`` or ``metric``.

    Returns
    -------
    text : str
        In m² or ft².

    Examples
    --------
    >>> format_area(34.8, "imperial")
    '374.6 ft²'

    References
    ----------
    Definition.
    """
    return format_quantity(area_m2, "area", system)


def format_load(load_kpa: float, system: str) -> str:
    """Write a load per area or a pressure.

    Parameters
    ----------
    load_kpa : float
        Any load. [kPa]
    system : str
        ``imperial`` or ``metric``.

    Returns
    -------
    text : str
        In kPa or psf.

    Examples
    --------
    >>> format_load(4.79, "imperial")
    '100.0 psf'

    References
    ----------
    Definition.
    """
    return format_quantity(load_kpa, "load", system)


def format_mass(mass_kg: float, system: str) -> str:
    """Write a mass.

    Parameters
    ----------
    mass_kg : float
        Any mass. [kg]
    system : str
        ``imperial`` or ``metric``.

    Returns
    -------
    text : str
        In kg or lb.

    Examples
    --------
    >>> format_mass(25, "imperial")
    '55.1 lb'

    References
    ----------
    Definition.
    """
    return format_quantity(mass_kg, "mass", system)


def format_temperature(temperature_c: float, system: str) -> str:
    """Write a temperature to the whole degree.

    Parameters
    ----------
    temperature_c : float
        On the Celsius scale. [°C]
    system : str
        ``imperial`` or ``metric``.

    Returns
    -------
    text : str
        In °C or °F.

    Examples
    --------
    >>> format_temperature(22, "imperial")
    '72 °F'

    References
    ----------
    Definition.
    """
    if _is_imperial(system):
        return f"{_figure(temperature_c * 1.8 + 32, 0)} °F"
    return f"{_figure(temperature_c, 0)} °C"


def format_money(amount: Decimal, currency: str, locale: str = "en_US") -> str:
    """Write money as a locale does, with the decimals of its currency.

    Parameters
    ----------
    amount : Decimal
        Already rounded where it matters.
    currency : str
        ISO 4217 code.
    locale : str
        Such as ``en_US`` or ``nb_NO``.

    Returns
    -------
    text : str
        With the currency's sign.

    Examples
    --------
    >>> format_money(Decimal("12500.5"), "USD")
    '$12,500.50'

    References
    ----------
    Unicode CLDR, as Babel carries it.
    """
    return numbers.format_currency(amount, currency, locale=locale)


def is_currency(code: str) -> bool:
    """Tell whether a code is that of a currency.

    Parameters
    ----------
    code : str
        Three letters.

    Returns
    -------
    is_one : bool

    Examples
    --------
    >>> is_currency("USD"), is_currency("QQQ")
    (True, False)

    References
    ----------
    ISO 4217, by Unicode CLDR as Babel carries it.
    """
    return bool(numbers.is_currency(code))


def clock(hour_h: float) -> str:
    """Write an hour of the day as a clock shows it.

    Parameters
    ----------
    hour_h : float
        Hours since midnight. [h]

    Returns
    -------
    text : str
        To the minute.

    Examples
    --------
    >>> clock(8.083)
    '8:05'

    References
    ----------
    Definition.
    """
    minutes = round(hour_h * 60)
    return f"{minutes // 60}:{minutes % 60:02d}"
