"""Conduit: what fits inside. For a licensed electrician; a fill that passes says nothing about ampacity."""

import math
from dataclasses import dataclass
from functools import cache

from app.tables.reference import Source, reference, source_from

MM_PER_IN = 25.4  # exact


@dataclass(frozen=True, slots=True)
class ConduitSize:
    """One conduit of the published table.

    Attributes
    ----------
    kind : str
        ``EMT``, ``PVC Schedule 40`` or ``PVC Schedule 80``.
    size : str
        Trade size as printed: ``3/4 in``.
    inside_mm : float
        Inside diameter. [mm]
    inside_mm2 : float
        Inside area. [mm2]
    source : Source
    """

    kind: str
    size: str
    inside_mm: float
    inside_mm2: float
    source: Source


@dataclass(frozen=True, slots=True)
class InsulatedWire:
    """One insulated wire (THHN, THWN, THWN-2) of the published table.

    Attributes
    ----------
    size : str
        As printed: ``12 AWG``.
    area_mm2 : float
        Over the insulation. [mm2]
    source : Source
    """

    size: str
    area_mm2: float
    source: Source


@cache
def conduit_sizes(kind: str) -> tuple[ConduitSize, ...]:
    """Give the sizes of one kind of conduit, smallest first.

    Parameters
    ----------
    kind : str
        ``EMT``, ``PVC Schedule 40`` or ``PVC Schedule 80``.

    Returns
    -------
    sizes : tuple of ConduitSize

    Raises
    ------
    KeyError
        When the table has no such kind; the message names those it has.

    Examples
    --------
    >>> [size.size for size in conduit_sizes("EMT")]
    ['1/2 in', '3/4 in', '1 in']

    References
    ----------
    NFPA 70 Chapter 9 Table 4.
    """
    file = reference("conduits")
    rows = [row for row in file["conduits"] if row["kind"] == kind]
    if not rows:
        raise KeyError(
            f"conduit {kind!r}: one of {', '.join(sorted({row['kind'] for row in file['conduits']}))}"
        )
    return tuple(
        ConduitSize(
            kind=kind,
            size=row["size"],
            inside_mm=row["inside_in"] * MM_PER_IN,
            inside_mm2=math.pi / 4 * (row["inside_in"] * MM_PER_IN) ** 2,
            source=source_from(file["sources"][row["source"]]),
        )
        for row in rows
    )


@cache
def insulated_wires() -> tuple[InsulatedWire, ...]:
    """Give the insulated wires of the table, thinnest first.

    Returns
    -------
    wires : tuple of InsulatedWire

    Notes
    -----
    1 in2 = 645.16 mm2.

    References
    ----------
    NFPA 70 Chapter 9 Table 5.
    """
    file = reference("conduits")
    return tuple(
        InsulatedWire(
            row["size"], row["area_in2"] * file["in2_to_mm2"], source_from(file["sources"][row["source"]])
        )
        for row in file["wires"]
    )


def fill_limit_pct(wires: int) -> float:
    """Give how full a conduit may be.

    Parameters
    ----------
    wires : int
        Wires or cables in it, equipment grounding conductors among them.

    Returns
    -------
    limit_pct : float
        Of the inside area. [%]

    Raises
    ------
    ValueError
        When there is no wire.

    Examples
    --------
    >>> fill_limit_pct(1), fill_limit_pct(2), fill_limit_pct(9)
    (53.0, 31.0, 40.0)

    References
    ----------
    NFPA 70 Chapter 9 Table 1.
    """
    if wires < 1:
        raise ValueError(f"{wires} wires: one or more")
    limits = reference("conduits")["fill_pct"]
    return float(limits.get(str(wires), limits["more"]))


def fill_source() -> Source:
    """Give where the fill limits come from.

    Returns
    -------
    source : Source

    References
    ----------
    NFPA 70 Chapter 9 Table 1.
    """
    return source_from(reference("conduits")["sources"]["fill"])
