"""Resistance of copper conductors by size and temperature.

Planning figures; line-voltage work is for a licensed electrician.
"""

from dataclasses import dataclass
from functools import cache

from app.tables.reference import Source, reference, source_from

M_PER_KFT = 304.8  # exact, 1 ft = 0.3048 m
AWG_COPPER_PER_C = 0.00323  # NEC Chapter 9 Table 8 note 2, valid from the 75 °C base
IEC_ZERO_RESISTANCE_C = 234.5  # IEC 60228 Annex: copper, k = 254.5 / (234.5 + t)


@dataclass(frozen=True, slots=True)
class Conductor:
    """One conductor size of a published table.

    Attributes
    ----------
    size : str
        As printed: ``12 AWG``, ``2.5 mm2``.
    area_mm2 : float
        Copper cross-section. [mm2]
    base_ohm_km : float
        Resistance of one conductor at the table's own temperature. [ohm/km]
    base_c : float
        That temperature. [°C]
    source : Source
    """

    size: str
    area_mm2: float
    base_ohm_km: float
    base_c: float
    source: Source


@cache
def conductors() -> tuple[Conductor, ...]:
    """Give every conductor size known, smallest first within its system.

    Returns
    -------
    conductors : tuple of Conductor
        Stranded AWG copper, then metric class 5 copper.

    Notes
    -----
    Table 8 prints ohm per 1000 ft; ohm/km = ohm/kft / 0.3048.

    References
    ----------
    NFPA 70 Chapter 9 Table 8; IEC 60228:2004.
    """
    file = reference("conductors")
    sources = {key: source_from(row) for key, row in file["sources"].items()}
    return tuple(
        Conductor(
            size=row["size"],
            area_mm2=row["area_mm2"],
            base_ohm_km=row["ohm_km"] if "ohm_km" in row else row["ohm_kft"] * 1000 / M_PER_KFT,
            base_c=row["base_c"],
            source=sources[row["source"]],
        )
        for row in file["rows"]
    )


def conductor(size: str) -> Conductor:
    """Give one conductor by its size.

    Parameters
    ----------
    size : str
        As printed: ``12 AWG``, ``2.5 mm2``.

    Returns
    -------
    conductor : Conductor

    Raises
    ------
    KeyError
        When the table has no such size; the message names those it has.

    Examples
    --------
    >>> conductor("12 AWG").base_ohm_km
    6.496

    References
    ----------
    NFPA 70 Chapter 9 Table 8; IEC 60228:2004.
    """
    for row in conductors():
        if row.size == size:
            return row
    raise KeyError(f"conductor size {size!r}: one of {', '.join(row.size for row in conductors())}")


def resistance_ohm_km(size: str, conductor_c: float) -> float:
    """Give the direct-current resistance of one conductor at its temperature.

    Parameters
    ----------
    size : str
        As printed: ``12 AWG``, ``2.5 mm2``.
    conductor_c : float
        Temperature of the conductor. [°C]

    Returns
    -------
    resistance_ohm_km : float
        One way; a loop has twice this. [ohm/km]

    Raises
    ------
    KeyError
        When the table has no such size.

    Notes
    -----
    AWG: R = R75 (1 + 0.00323 (T − 75)). Metric: R = R20 (234.5 + T) / 254.5. Uncoated copper, direct
    current; reactance is left out (negligible at these sizes, from memory).

    Examples
    --------
    >>> resistance_ohm_km("12 AWG", 75.0)
    6.496
    >>> resistance_ohm_km("1.5 mm2", 70.0)
    15.913

    References
    ----------
    NFPA 70 Chapter 9 Table 8 and its note 2; IEC 60228:2004.
    """
    row = conductor(size)
    if size.endswith("AWG"):
        return row.base_ohm_km * (1 + AWG_COPPER_PER_C * (conductor_c - row.base_c))
    return row.base_ohm_km * (IEC_ZERO_RESISTANCE_C + conductor_c) / (IEC_ZERO_RESISTANCE_C + row.base_c)
