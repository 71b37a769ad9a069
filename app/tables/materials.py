"""Densities, and the strength of foam, by their published names."""

from dataclasses import dataclass
from functools import cache

from app.tables.reference import Source, reference, source_from


@dataclass(frozen=True, slots=True)
class Density:
    """How heavy a material is.

    Attributes
    ----------
    material : str
    density_kg_m3 : float
        [kg/m3]
    specific_gravity : float or None
        Of wood, oven-dry.
    source : Source
    """

    material: str
    density_kg_m3: float
    specific_gravity: float | None
    source: Source


@dataclass(frozen=True, slots=True)
class Foam:
    """Extruded polystyrene of one type.

    Attributes
    ----------
    type : str
        Roman numeral of the standard.
    limit_kpa : float
        Compressive resistance at yield or 10 % deformation. [kPa]
    sustained_kpa, repeated_kpa : float
        One third and one fifth of it: an industry rule, not part of the standard. [kPa]
    source, fractions_source : Source
    """

    type: str
    limit_kpa: float
    sustained_kpa: float
    repeated_kpa: float
    source: Source
    fractions_source: Source


@cache
def densities() -> tuple[Density, ...]:
    """Give every density known.

    Returns
    -------
    densities : tuple of Density

    Notes
    -----
    Printed in lb/ft3; 1 lb/ft3 = 16.018463 kg/m3.

    References
    ----------
    AWC Wood Structural Design Data (wood); ASCE 7 C3 (tile); general lists (the rest).
    """
    file = reference("densities")
    return tuple(
        Density(
            material=row["material"],
            density_kg_m3=row["pcf"] * file["pcf_to_kg_m3"],
            specific_gravity=row.get("specific_gravity"),
            source=source_from(file["sources"][row["source"]]),
        )
        for row in file["rows"]
    )


def wood_density_kg_m3(specific_gravity: float, moisture_pct: float) -> float:
    """Give the density of wood at a moisture content.

    Parameters
    ----------
    specific_gravity : float
        Oven-dry mass over oven-dry volume, against water.
    moisture_pct : float
        Mass of water over oven-dry mass. [%]

    Returns
    -------
    density_kg_m3 : float
        [kg/m3]

    Notes
    -----
    ρ = 62.4 · G / (1 + 0.009 G m) · (1 + m/100) lb/ft3.

    Examples
    --------
    >>> wood_density_kg_m3(0.55, 15.0)
    588.5

    References
    ----------
    NDS Supplement 3.1.3 (from memory, confirmed by four published weights).
    """
    pcf = 62.4 * specific_gravity / (1 + 0.009 * specific_gravity * moisture_pct) * (1 + moisture_pct / 100)
    return float(pcf * reference("densities")["pcf_to_kg_m3"])


@cache
def foams() -> tuple[Foam, ...]:
    """Give extruded polystyrene by type, weakest first.

    Returns
    -------
    foams : tuple of Foam

    References
    ----------
    ASTM C578-10 Table 1; the fractions are an industry rule.
    """
    file = reference("foam")
    source, rule = source_from(file["source"]), source_from(file["fractions_source"])
    found = []
    for row in file["rows"]:
        limit_kpa = row["psi"] * file["psi_to_kpa"]
        sustained, repeated = limit_kpa * file["sustained_fraction"], limit_kpa * file["repeated_fraction"]
        found.append(Foam(row["type"], limit_kpa, sustained, repeated, source, rule))
    return tuple(found)
