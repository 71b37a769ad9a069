"""Readers of what people type, one for each kind of quantity; a bare number is in the base unit."""

from app.measure.lengths import read_mm
from app.measure.units import read_quantity

__all__ = [
    "read_c",
    "read_deg",
    "read_kg",
    "read_kg_m",
    "read_kg_m2",
    "read_kg_m3",
    "read_kn",
    "read_kpa",
    "read_min",
    "read_mm",
    "read_per_c",
    "read_v",
    "read_w",
]


def read_kg(value: object) -> float:
    """Read a mass.

    Parameters
    ----------
    value : object
        Number in kg, or text with a unit.

    Returns
    -------
    number : float
        In kg.

    Raises
    ------
    InputError
        When it is something else; the sentence says what would do.

    Examples
    --------
    >>> read_kg("40 lb")
    18.14

    References
    ----------
    Definition.
    """
    return read_quantity(value, "kilogram", "A mass is wanted, such as 40 lb or 18 kg.")


def read_kg_m(value: object) -> float:
    """Read mass along a length.

    Parameters
    ----------
    value : object
        Number in kg/m, or text with a unit.

    Returns
    -------
    number : float
        In kg/m.

    Raises
    ------
    InputError
        When it is something else; the sentence says what would do.

    Examples
    --------
    >>> read_kg_m("1.4 lb/ft")
    2.083

    References
    ----------
    Definition.
    """
    return read_quantity(value, "kg/m", "A mass per length is wanted, such as 2.1 kg/m or 1.4 lb/ft.")


def read_kg_m2(value: object) -> float:
    """Read mass on an area.

    Parameters
    ----------
    value : object
        Number in kg/m2, or text with a unit.

    Returns
    -------
    number : float
        In kg/m2.

    Raises
    ------
    InputError
        When it is something else; the sentence says what would do.

    Examples
    --------
    >>> read_kg_m2("10 lb/ft2")
    48.82

    References
    ----------
    Definition.
    """
    return read_quantity(value, "kg/m**2", "A mass per area is wanted, such as 81 kg/m2 or 16.6 lb/ft2.")


def read_kg_m3(value: object) -> float:
    """Read a density.

    Parameters
    ----------
    value : object
        Number in kg/m3, or text with a unit.

    Returns
    -------
    number : float
        In kg/m3.

    Raises
    ------
    InputError
        When it is something else; the sentence says what would do.

    Examples
    --------
    >>> read_kg_m3("100 pcf")
    1601.85

    References
    ----------
    Definition.
    """
    return read_quantity(value, "kg/m**3", "A density is wanted, such as 1600 kg/m3 or 100 pcf.")


def read_kpa(value: object) -> float:
    """Read a pressure, strength or load on an area.

    Parameters
    ----------
    value : object
        Number in kPa, or text with a unit.

    Returns
    -------
    number : float
        In kPa.

    Raises
    ------
    InputError
        When it is something else; the sentence says what would do.

    Examples
    --------
    >>> read_kpa("50 psf")
    2.394

    References
    ----------
    Definition.
    """
    return read_quantity(
        value, "kilopascal", "A load per area or pressure is wanted, such as 50 psf, 1.2 kPa or 25 psi."
    )


def read_kn(value: object) -> float:
    """Read a force.

    Parameters
    ----------
    value : object
        Number in kN, or text with a unit.

    Returns
    -------
    number : float
        In kN.

    Raises
    ------
    InputError
        When it is something else; the sentence says what would do.

    Examples
    --------
    >>> read_kn("1000 lbf")
    4.448

    References
    ----------
    Definition.
    """
    return read_quantity(value, "kilonewton", "A force is wanted, such as 4.5 kN or 1000 lbf.")


def read_w(value: object) -> float:
    """Read a power.

    Parameters
    ----------
    value : object
        Number in W, or text with a unit.

    Returns
    -------
    number : float
        In W.

    Raises
    ------
    InputError
        When it is something else; the sentence says what would do.

    Examples
    --------
    >>> read_w("60000 Btu/h")
    17584.3

    References
    ----------
    Definition.
    """
    return read_quantity(value, "watt", "A power is wanted, such as 60 W or 60000 Btu/h.")


def read_v(value: object) -> float:
    """Read a voltage.

    Parameters
    ----------
    value : object
        Number in V, or text with a unit.

    Returns
    -------
    number : float
        In V.

    Raises
    ------
    InputError
        When it is something else; the sentence says what would do.

    Examples
    --------
    >>> read_v("12 V")
    12.0

    References
    ----------
    Definition.
    """
    return read_quantity(value, "volt", "A voltage is wanted, such as 12 V.")


def read_c(value: object) -> float:
    """Read a temperature.

    Parameters
    ----------
    value : object
        Number in °C, or text with a unit.

    Returns
    -------
    number : float
        In °C.

    Raises
    ------
    InputError
        When it is something else; the sentence says what would do.

    Examples
    --------
    >>> read_c("75 °F")
    23.89

    References
    ----------
    Definition.
    """
    return read_quantity(value, "degC", "A temperature is wanted, such as 22 °C or 75 °F.")


def read_per_c(value: object) -> float:
    """Read an expansion per degree.

    Parameters
    ----------
    value : object
        Number in 1/°C, or text with a unit.

    Returns
    -------
    number : float
        In 1/°C.

    Raises
    ------
    InputError
        When it is something else; the sentence says what would do.

    Notes
    -----
    A difference, so a value per °F is multiplied by 9/5; 32 never comes in.

    Examples
    --------
    >>> read_per_c("36e-6 /°F")
    6.48e-05

    References
    ----------
    Definition.
    """
    return read_quantity(
        value, "1/delta_degC", "An expansion per degree is wanted, such as 36e-6 /°F or 65e-6 /°C."
    )


def read_min(value: object) -> float:
    """Read a time.

    Parameters
    ----------
    value : object
        Number in min, or text with a unit.

    Returns
    -------
    number : float
        In min.

    Raises
    ------
    InputError
        When it is something else; the sentence says what would do.

    Examples
    --------
    >>> read_min("0.5 h")
    30.0

    References
    ----------
    Definition.
    """
    return read_quantity(value, "minute", "A time is wanted, such as 4 min or 0.5 h.")


def read_deg(value: object) -> float:
    """Read an angle.

    Parameters
    ----------
    value : object
        Number in degrees, or text with a unit.

    Returns
    -------
    number : float
        In degrees.

    Raises
    ------
    InputError
        When it is something else; the sentence says what would do.

    Examples
    --------
    >>> read_deg("45°")
    45.0

    References
    ----------
    Definition.
    """
    return read_quantity(value, "degree", "An angle is wanted, such as 45 or 45°.")
