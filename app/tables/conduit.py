"""Insides of conduits, areas of wires, and how full a conduit may be.

For a licensed electrician: a fill that fits says nothing of the current the wires may carry.
"""

from app.tables.reference import Source, reference, source_from

MM2_PER_IN2 = 645.16  # exact


def conduit_inside_mm2(kind: str, size: str) -> float:
    """Give the whole area inside a conduit.

    Parameters
    ----------
    kind : str
        ``EMT``, ``PVC Schedule 40`` or ``PVC Schedule 80``.
    size : str
        Trade size as printed: ``3/4 in``.

    Returns
    -------
    inside_mm2 : float
        [mm2]

    Raises
    ------
    KeyError
        When there is no such kind or size.

    Examples
    --------
    >>> conduit_inside_mm2("EMT", "3/4 in") / MM2_PER_IN2
    0.533

    References
    ----------
    NFPA 70 (NEC) Chapter 9 Table 4; PVC from memory.
    """
    kinds = reference("conduit")["kinds"]
    if kind not in kinds or size not in kinds[kind]["area_in2"]:
        raise KeyError(f"conduit {kind} {size}: one of {', '.join(kinds)} in 1/2 in, 3/4 in, 1 in")
    return float(kinds[kind]["area_in2"][size]) * MM2_PER_IN2


def conduit_source(kind: str) -> Source:
    """Give where the inside of a kind of conduit comes from.

    Parameters
    ----------
    kind : str
        ``EMT``, ``PVC Schedule 40`` or ``PVC Schedule 80``.

    Returns
    -------
    source : Source

    Raises
    ------
    KeyError
        When there is no such kind.

    References
    ----------
    NFPA 70 (NEC) Chapter 9 Table 4.
    """
    return source_from(reference("conduit")["kinds"][kind]["source"])


def wire_mm2(size: str) -> float | None:
    """Give the area of one insulated wire.

    Parameters
    ----------
    size : str
        Conductor size: ``12 AWG``.

    Returns
    -------
    wire_mm2 : float or None
        None for sizes the table here does not hold, metric ones among them. [mm2]

    Examples
    --------
    >>> wire_mm2("12 AWG") / MM2_PER_IN2
    0.0133

    References
    ----------
    NFPA 70 (NEC) Chapter 9 Table 5, THHN, THWN, THWN-2.
    """
    area = reference("conduit")["wires"]["area_in2"].get(size)
    return None if area is None else float(area) * MM2_PER_IN2


def most_fill_pct(wires: int) -> float:
    """Give how full a conduit may be.

    Parameters
    ----------
    wires : int
        In it, grounding wires counted; a cable in one sheath is one.

    Returns
    -------
    most_fill_pct : float
        Of the inside. [%]

    Examples
    --------
    >>> [most_fill_pct(n) for n in (1, 2, 3)]
    [53.0, 31.0, 40.0]

    References
    ----------
    NFPA 70 (NEC) Chapter 9 Table 1.
    """
    fill = reference("conduit")["fill"]
    return float(fill["one_pct"] if wires == 1 else fill["two_pct"] if wires == 2 else fill["more_pct"])


def fill_pct(areas_mm2: tuple[float, ...], inside_mm2: float) -> float:
    """Give how full a conduit is.

    Parameters
    ----------
    areas_mm2 : tuple of float
        Of every wire in it. [mm2]
    inside_mm2 : float
        Whole area inside. [mm2]

    Returns
    -------
    fill_pct : float
        [%]

    Examples
    --------
    >>> fill_pct((10.0, 10.0, 20.0), 100.0)
    40.0

    References
    ----------
    Definition.
    """
    return 100 * sum(areas_mm2) / inside_mm2
