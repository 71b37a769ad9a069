"""The published table of deck joist spans: what a prescriptive deck may use without an engineer."""

from dataclasses import dataclass
from functools import cache

from app.tables.lumber import MM_PER_IN
from app.tables.reference import Source, reference, source_from

_LEAST_THICKNESS_MM = 38.0
_GREATEST_THICKNESS_MM = 90.0


@dataclass(frozen=True, slots=True)
class JoistSpan:
    """One cell of the table.

    Attributes
    ----------
    group : str
        ``southern pine``, or ``other`` for the worst of douglas fir-larch, hem-fir and spruce-pine-fir.
    size : str
        Nominal size.
    spacing_mm, span_mm : float
        Distance between joists, and the longest span. [mm]
    is_capped : bool
        Whether the span is the table's cap rather than strength.
    source : Source
    """

    group: str
    size: str
    spacing_mm: float
    span_mm: float
    is_capped: bool
    source: Source


@cache
def joist_spans() -> tuple[JoistSpan, ...]:
    """Give every cell of the table.

    Returns
    -------
    spans : tuple of JoistSpan

    References
    ----------
    AWC DCA 6 Table 2 (40 psf live, 10 psf dead, No. 2, wet, L/360).
    """
    file = reference("deck_joists")
    source = source_from(file["source"])
    return tuple(
        JoistSpan(
            group=row["group"],
            size=row["size"],
            spacing_mm=spacing * MM_PER_IN,
            span_mm=span * MM_PER_IN,
            is_capped=span == file["cap_in"],
            source=source,
        )
        for row in file["rows"]
        for spacing, span in zip(file["spacing_in"], row["span_in"], strict=True)
    )


def is_in_joist_table(width_mm: float, depth_mm: float) -> bool:
    """Say whether a section, as laid, is one the published table covers.

    Parameters
    ----------
    width_mm, depth_mm : float
        As laid. [mm]

    Returns
    -------
    is_in_table : bool
        True for 2x6 to 2x12 (or thicker) on edge; False for a 2x4 and for anything laid flat.

    Examples
    --------
    >>> is_in_joist_table(38.0, 140.0), is_in_joist_table(38.0, 89.0), is_in_joist_table(140.0, 38.0)
    (True, False, False)

    References
    ----------
    AWC DCA 6 Table 2: its smallest joist is a 2x6 on edge.
    """
    least_mm, greatest_mm = 5.5 * MM_PER_IN - 1.0, 11.25 * MM_PER_IN + 1.0
    is_thick_enough = _LEAST_THICKNESS_MM - 1.0 <= width_mm <= _GREATEST_THICKNESS_MM
    return is_thick_enough and least_mm <= depth_mm <= greatest_mm
