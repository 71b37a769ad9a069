"""Design values of sawn lumber, the factors that adjust them, and dressed sizes.

For screening only: a licensed engineer and the local code decide.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache

from app.tables.reference import Source, reference, source_from

MM_PER_IN = 25.4  # exact
_SIZE_TOLERANCE_MM = 1.0  # 38 × 89 is sold for 38.1 × 88.9


@dataclass(frozen=True, slots=True)
class DesignValues:
    """Reference design values of one species, No. 2, before any adjustment.

    Attributes
    ----------
    species : str
        As the job file names it.
    bending_mpa, shear_mpa, bearing_mpa, modulus_mpa : float
        Fb, Fv, Fc⊥ and E. [MPa]
    is_size_adjusted : bool
        Whether size is already in Fb, so that no size factor may be put on it again.
    source : Source
    """

    species: str
    bending_mpa: float
    shear_mpa: float
    bearing_mpa: float
    modulus_mpa: float
    is_size_adjusted: bool
    source: Source


@dataclass(frozen=True, slots=True)
class LumberFactors:
    """Factors on the reference design values.

    Attributes
    ----------
    wet_bending, wet_shear, wet_bearing, wet_modulus : float
        CM, above 19 % moisture.
    wet_bending_full_mpa : float
        CM on Fb is 1.0 as long as Fb times the size factor is no more than this. [MPa]
    incised_bending, incised_shear, incised_bearing, incised_modulus : float
        Ci.
    repetitive : float
        Cr on Fb, for `repetitive_members` or more no further apart than `repetitive_spacing_mm`.
    repetitive_members : int
    repetitive_spacing_mm : float
        [mm]
    duration : mapping of str to float
        CD by the length of the load; never on E or Fc⊥.
    sources : tuple of Source
    """

    wet_bending: float
    wet_shear: float
    wet_bearing: float
    wet_modulus: float
    wet_bending_full_mpa: float
    incised_bending: float
    incised_shear: float
    incised_bearing: float
    incised_modulus: float
    repetitive: float
    repetitive_members: int
    repetitive_spacing_mm: float
    duration: Mapping[str, float]
    sources: tuple[Source, ...]


@dataclass(frozen=True, slots=True)
class DressedSize:
    """A nominal size as it is sold, dry.

    Attributes
    ----------
    nominal : str
        ``2x6``.
    thickness_mm, width_mm : float
        Narrow and wide side. [mm]
    source : Source
    """

    nominal: str
    thickness_mm: float
    width_mm: float
    source: Source


def nominal_width_in(width_mm: float) -> int | None:
    """Give the nominal width class of a wide face, in inches as the tables print it.

    Parameters
    ----------
    width_mm : float
        Wide face of the section. [mm]

    Returns
    -------
    nominal_in : int or None
        The smallest class at least as wide; None beyond the widest, 12 in.

    Notes
    -----
    A width between two classes takes the wider, whose factors are the lesser.

    Examples
    --------
    >>> nominal_width_in(89.0), nominal_width_in(140.0), nominal_width_in(184.0), nominal_width_in(300.0)
    (4, 6, 8, None)

    References
    ----------
    NDS Supplement 2018 Table 1A.
    """
    classes = {4: 3.5, 5: 4.5, 6: 5.5, 8: 7.25, 10: 9.25, 12: 11.25}
    for nominal, inches in classes.items():
        if width_mm <= inches * MM_PER_IN + _SIZE_TOLERANCE_MM:
            return nominal
    return None


@cache
def design_values(species: str, width_mm: float) -> DesignValues | None:
    """Give the reference design values of No. 2 lumber.

    Parameters
    ----------
    species : str
        ``hem-fir``, ``spruce-pine-fir``, ``douglas fir-larch`` or ``southern pine``.
    width_mm : float
        Wide face of the section; southern pine is printed by it. [mm]

    Returns
    -------
    values : DesignValues or None
        None for any other species and beyond the widest size printed.

    Notes
    -----
    Printed in psi; 1 psi = 0.006894757 MPa.

    Examples
    --------
    >>> design_values("southern pine", 140.0).bending_mpa
    6.895
    >>> design_values("larch of no table", 140.0) is None
    True

    References
    ----------
    NDS Supplement 2018 Tables 4A and 4B.
    """
    file = reference("lumber")
    nominal = nominal_width_in(width_mm)
    for row in file["design_values_psi"]:
        if row["species"] != species or nominal is None or row.get("nominal_in", nominal) < nominal:
            continue
        to_mpa = file["psi_to_mpa"]
        return DesignValues(
            species=species,
            bending_mpa=row["fb"] * to_mpa,
            shear_mpa=row["fv"] * to_mpa,
            bearing_mpa=row["fc_perp"] * to_mpa,
            modulus_mpa=row["e"] * to_mpa,
            is_size_adjusted="nominal_in" in row,
            source=source_from(file["sources"][row["source"]]),
        )
    return None


@cache
def factors() -> LumberFactors:
    """Give the factors on the reference design values.

    Returns
    -------
    factors : LumberFactors

    References
    ----------
    NDS 2018 2.3.2, 4.3.8, 4.3.9 and NDS Supplement 2018 Tables 4A and 4B.
    """
    file = reference("lumber")
    wet, incised, repetitive = file["wet"], file["incised"], file["repetitive"]
    return LumberFactors(
        wet_bending=wet["fb"],
        wet_shear=wet["fv"],
        wet_bearing=wet["fc_perp"],
        wet_modulus=wet["e"],
        wet_bending_full_mpa=wet["fb_full_up_to_psi"] * file["psi_to_mpa"],
        incised_bending=incised["fb"],
        incised_shear=incised["fv"],
        incised_bearing=incised["fc_perp"],
        incised_modulus=incised["e"],
        repetitive=repetitive["fb"],
        repetitive_members=repetitive["least_members"],
        repetitive_spacing_mm=repetitive["greatest_spacing_in"] * MM_PER_IN,
        duration=dict(file["duration"]),
        sources=tuple(
            source_from(file["sources"][key]) for key in ("factors-4a", "incised", "duration", "repetitive")
        ),
    )


def size_factor(width_mm: float) -> float | None:
    """Give CF on Fb, for every species but southern pine.

    Parameters
    ----------
    width_mm : float
        Wide face of the section. [mm]

    Returns
    -------
    factor : float or None
        None beyond the widest size printed.

    Examples
    --------
    >>> size_factor(89.0), size_factor(140.0), size_factor(286.0)
    (1.5, 1.3, 1.0)

    References
    ----------
    NDS Supplement 2018 Table 4A, size factors.
    """
    return _by_width("size_factor", width_mm)


def flat_factor(width_mm: float) -> float | None:
    """Give Cfu on Fb, for a section 2 to 3 in thick that carries on its wide face.

    Parameters
    ----------
    width_mm : float
        Wide face of the section. [mm]

    Returns
    -------
    factor : float or None
        None beyond the widest size printed.

    Examples
    --------
    >>> flat_factor(89.0), flat_factor(140.0)
    (1.1, 1.15)

    References
    ----------
    NDS Supplement 2018 Tables 4A and 4B, flat use factors.
    """
    return _by_width("flat_factor", width_mm)


def _by_width(table: str, width_mm: float) -> float | None:
    """Give the factor of a width class."""
    nominal = nominal_width_in(width_mm)
    rows = {int(row["nominal_in"]): float(row["fb"]) for row in reference("lumber")[table]}
    return None if nominal is None else rows[nominal]


@cache
def dressed_sizes() -> tuple[DressedSize, ...]:
    """Give the nominal sizes as they are sold, dry.

    Returns
    -------
    sizes : tuple of DressedSize

    References
    ----------
    PS 20; NDS Supplement 2018 Table 1A.
    """
    file = reference("lumber")
    source = source_from(file["sources"]["sizes"])
    return tuple(
        DressedSize(row["nominal"], row["thickness"] * MM_PER_IN, row["width"] * MM_PER_IN, source)
        for row in file["dressed_in"]
    )
