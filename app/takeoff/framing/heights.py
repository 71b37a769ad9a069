"""How high each pad is: from the membrane to the underside of the timber, and the shims that make it up."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from app.job.choices import Pad, Section
from app.job.findings import Finding
from app.job.plan import DeckField, DeckLevel
from app.takeoff.framing.records import PadSpot
from app.takeoff.framing.stacks import MANY_SHIMS

_ROUNDING_MM = 1e-6


@dataclass(frozen=True, slots=True)
class PadBand:
    """Pads of about the same height, as the yard packs them and the crew sets them.

    Attributes
    ----------
    pad : str
        Id of the pad in the choices.
    packers : tuple of str
        Items of the packers on each, tallest first.
    shims : int
        Shims on each.
    least_mm, greatest_mm : float
        Lowest and tallest in the band. [mm]
    pads : int
        How many.
    """

    pad: str
    packers: tuple[str, ...]
    shims: int
    least_mm: float
    greatest_mm: float
    pads: int


def pad_height_mm(level_mm: float, board_mm: float, section_mm: float, roof_mm: float) -> float:
    """Give the height left for pad and shims under a sleeper.

    Parameters
    ----------
    level_mm : float
        Top of the boards above datum. [mm]
    board_mm : float
        Thickness of the boards. [mm]
    section_mm : float
        Depth of the sleeper as laid. [mm]
    roof_mm : float
        Membrane above datum there. [mm]

    Returns
    -------
    height_mm : float
        Negative when the timber would have to lie in the roof. [mm]

    Examples
    --------
    >>> pad_height_mm(-20.0, 20.0, 38.0, -160.0)
    82.0

    References
    ----------
    Definition.
    """
    return level_mm - board_mm - section_mm - roof_mm


def pad_schedule(pads: Iterable[PadSpot]) -> tuple[PadBand, ...]:
    """Give the pads grouped by what they are made up of, lowest first.

    Parameters
    ----------
    pads : iterable of PadSpot
        Of one field, or of the whole job.

    Returns
    -------
    bands : tuple of PadBand
        Their counts sum to the pads given.

    References
    ----------
    Definition.
    """
    groups: dict[tuple[str, tuple[str, ...], int], list[float]] = {}
    for spot in pads:
        groups.setdefault((spot.pad, spot.packers, spot.shims), []).append(spot.height_mm)
    bands = [
        PadBand(
            pad=pad,
            packers=packers,
            shims=shims,
            least_mm=min(heights),
            greatest_mm=max(heights),
            pads=len(heights),
        )
        for (pad, packers, shims), heights in groups.items()
    ]
    return tuple(sorted(bands, key=lambda band: (band.pad, band.least_mm)))


def height_findings(
    field: DeckField, section: Section, pad: Pad, level: DeckLevel, spots: Sequence[PadSpot]
) -> tuple[Finding, ...]:
    """Give a stop for pads too low or too tall, one each, at the worst place.

    Parameters
    ----------
    field : DeckField
        The field.
    section : Section
        Its sleepers.
    pad : Pad
        Its pads.
    level : DeckLevel
        The range allowed.
    spots : sequence of PadSpot
        The pads of the field.

    Returns
    -------
    findings : tuple of Finding

    References
    ----------
    The range is the plan's own; the pad's thickness is its maker's.
    """
    if not spots:
        return ()
    found = []
    lowest = min(spots, key=lambda spot: spot.height_mm)
    tallest = max(spots, key=lambda spot: spot.height_mm)
    least_mm = max(level.least_pad_mm, pad.thickness_mm)
    low = sum(spot.height_mm < least_mm - _ROUNDING_MM for spot in spots)
    if low:
        why = (
            "thickness of the pad"
            if pad.thickness_mm > level.least_pad_mm
            else "least pad height of the plan"
        )
        found.append(
            Finding(
                code="framing.pad-too-low",
                grade="stop",
                place=field.id,
                text=f"{low} of {len(spots)} pads have less than {least_mm:.0f} mm between membrane and "
                f"sleeper; the worst, {lowest.id}, has {lowest.height_mm:.1f} mm. Raise the deck by "
                f"{least_mm - lowest.height_mm:.1f} mm, or take a thinner pad or a shallower sleeper.",
                value=lowest.height_mm,
                limit=least_mm,
                unit="mm",
                source=f"{why[0].upper()}{why[1:]}",
                at_mm=(lowest.x_mm, lowest.y_mm),
            )
        )
    tall = sum(spot.height_mm > level.greatest_pad_mm + _ROUNDING_MM for spot in spots)
    if tall:
        left_mm = tallest.height_mm - section.depth_mm
        found.append(
            Finding(
                code="framing.pad-too-tall",
                grade="stop",
                place=field.id,
                text=f"{tall} of {len(spots)} pads would be taller than {level.greatest_pad_mm:.0f} mm; the "
                f"worst, {tallest.id}, needs {tallest.height_mm:.1f} mm. A doubled sleeper "
                f"({section.depth_mm:.0f} mm more) leaves {left_mm:.1f} mm there; else lower the deck or use "
                "a taller support whose maker allows that height.",
                value=tallest.height_mm,
                limit=level.greatest_pad_mm,
                unit="mm",
                source="Greatest pad height of the plan",
                at_mm=(tallest.x_mm, tallest.y_mm),
            )
        )
    return (*found, *_shim_findings(field, pad, spots))


def _shim_findings(field: DeckField, pad: Pad, spots: Sequence[PadSpot]) -> tuple[Finding, ...]:
    """Give a check when packs of shims are so tall that they creep."""
    many = [spot for spot in spots if spot.shims > MANY_SHIMS]
    if not many:
        return ()
    worst = max(many, key=lambda spot: spot.shims)
    return (
        Finding(
            code="framing.many-shims",
            grade="check",
            place=field.id,
            text=f"{len(many)} of {len(spots)} pads need more than {MANY_SHIMS} shims of "
            f"{pad.shim_step_mm:.0f} mm; "
            f"{worst.id} needs {worst.shims}. Tall packs of shims creep and slip: take packers, a thicker "
            f"pad, or "
            "a support whose maker allows the height.",
            value=float(worst.shims),
            limit=float(MANY_SHIMS),
            unit="shims",
            source="Common practice, no source",
            at_mm=(worst.x_mm, worst.y_mm),
        ),
    )
