"""Readers of masses, densities, loads and forces; a bare number is in the base unit."""

from app.measure.units import read_quantity


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
