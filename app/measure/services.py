"""Readers of power, voltage, temperature, time and angle; a bare number is in the base unit."""

from app.measure.units import read_quantity


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
