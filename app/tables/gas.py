"""Capacity of low-pressure gas pipe by the longest-length method.

For a licensed gas fitter: every size here is to be confirmed before a pipe is run.
"""

from dataclasses import dataclass
from functools import cache

from app.tables.reference import Source, reference, source_from

MM_PER_FT = 304.8  # exact
W_PER_BTU_H = 0.29307107  # international table British thermal unit


@dataclass(frozen=True, slots=True)
class GasPipeRow:
    """What one size of pipe carries over one length.

    Attributes
    ----------
    gas : str
        ``natural gas`` or ``propane``.
    size : str
        Nominal pipe size as printed.
    length_mm : float
        Longest length the row holds for, meter to most remote outlet. [mm]
    capacity_w : float
        Appliance input it can feed. [W]
    conditions : str
        Pressure, drop and gas the table is made for.
    source : Source
    """

    gas: str
    size: str
    length_mm: float
    capacity_w: float
    conditions: str
    source: Source


@cache
def gas_pipe_rows(gas: str) -> tuple[GasPipeRow, ...]:
    """Give every row for one gas, shortest first, smallest pipe first.

    Parameters
    ----------
    gas : str
        ``natural gas`` or ``propane``.

    Returns
    -------
    rows : tuple of GasPipeRow

    Raises
    ------
    KeyError
        When there is no table for that gas.

    Notes
    -----
    Natural gas is printed in ft3/h and turned into heat with 1000 Btu/ft3 (common default; the utility
    knows the real value). 1 Btu/h = 0.29307107 W.

    References
    ----------
    IFGC 2018 Tables 402.4(2) and 402.4(28).
    """
    file = reference("gas_pipe")
    if gas not in file["gases"]:
        raise KeyError(f"gas {gas!r}: one of {', '.join(file['gases'])}")
    table = file["gases"][gas]
    btu_h_per_unit = table.get("heating_value_btu_ft3", 1000.0)
    source = source_from(table["source"])
    return tuple(
        GasPipeRow(
            gas=gas,
            size=size,
            length_mm=row["length_ft"] * MM_PER_FT,
            capacity_w=capacity * btu_h_per_unit * W_PER_BTU_H,
            conditions=table["conditions"],
            source=source,
        )
        for row in table["rows"]
        for size, capacity in zip(file["sizes"], row["capacity"], strict=True)
    )


def gas_pipe_sizes() -> tuple[str, ...]:
    """Give the nominal pipe sizes of the tables, smallest first.

    Returns
    -------
    sizes : tuple of str

    Examples
    --------
    >>> gas_pipe_sizes()
    ('1/2 in', '3/4 in', '1 in')

    References
    ----------
    IFGC 2018 Tables 402.4(2) and 402.4(28).
    """
    return tuple(reference("gas_pipe")["sizes"])


def longest_length_mm(gas: str) -> float:
    """Give the longest length the table for one gas reaches.

    Parameters
    ----------
    gas : str
        ``natural gas`` or ``propane``.

    Returns
    -------
    length_mm : float
        Beyond it nothing is known here. [mm]

    Examples
    --------
    >>> longest_length_mm("propane")
    15240.0

    References
    ----------
    IFGC 2018 Tables 402.4(2) and 402.4(28).
    """
    return max(row.length_mm for row in gas_pipe_rows(gas))


def capacity_w(size: str, length_mm: float, gas: str) -> float | None:
    """Give what a pipe can feed, from the first row at least as long as the pipe.

    Parameters
    ----------
    size : str
        Nominal pipe size as printed: ``3/4 in``.
    length_mm : float
        Meter to the most remote outlet; the same for every segment. [mm]
    gas : str
        ``natural gas`` or ``propane``.

    Returns
    -------
    capacity_w : float or None
        None when the pipe is longer than the table reaches. [W]

    Raises
    ------
    KeyError
        When there is no such size or gas.

    Notes
    -----
    Length is rounded up to the next row, never interpolated: that is the longest-length method.

    Examples
    --------
    >>> capacity_w("1/2 in", 13716.0, "natural gas")
    21101.1

    References
    ----------
    IFGC 402.4.1 / NFPA 54 chapter 6 (from memory); IFGC 2018 Tables 402.4(2) and 402.4(28).
    """
    if size not in gas_pipe_sizes():
        raise KeyError(f"pipe size {size!r}: one of {', '.join(gas_pipe_sizes())}")
    for row in gas_pipe_rows(gas):
        if row.size == size and row.length_mm + 1e-6 >= length_mm:
            return row.capacity_w
    return None
