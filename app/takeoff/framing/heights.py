"""How high each pad is: from the membrane to the underside of the timber, and the shims that make it up."""

from collections.abc import Iterable, Sequence
from dataclasses import replace

from app.job.choices import Pad
from app.job.findings import Finding
from app.job.plan import DeckField, DeckLevel
from app.job.spoken import Spoken
from app.takeoff.framing.doubling import ROUNDING_MM
from app.takeoff.framing.records import PadBand, PadSpot, TallPads
from app.takeoff.framing.stacks import MANY_SHIMS

LISTED = 8  # ids in a sentence; the rest stand in the answer


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
    groups: dict[tuple[str, str, tuple[str, ...], int], list[PadSpot]] = {}
    for spot in pads:
        groups.setdefault((spot.pedestal, spot.pad, spot.packers, spot.shims), []).append(spot)
    bands = [
        PadBand(
            mark="",
            pad=pad,
            packers=packers,
            shims=shims,
            least_mm=min(spot.height_mm for spot in spots),
            greatest_mm=max(spot.height_mm for spot in spots),
            pads=len(spots),
            ids=tuple(spot.id for spot in spots),
            pedestal=pedestal,
        )
        for (pedestal, pad, packers, shims), spots in groups.items()
    ]
    ordered = sorted(bands, key=_place_in_schedule)
    return tuple(replace(band, mark=_letter(number)) for number, band in enumerate(ordered))


def _place_in_schedule(band: PadBand) -> tuple[str, str, float, tuple[str, ...], int]:
    """Give where a band stands: pads before pedestals, lowest first."""
    return band.pedestal, band.pad, band.least_mm, band.packers, band.shims


def _letter(number: int) -> str:
    """Give A, B, … Z, AA, AB …, without I and O, which read as figures."""
    letters = "ABCDEFGHJKLMNPQRSTUVWXYZ"
    before, last = divmod(number, len(letters))
    return (_letter(before - 1) if before else "") + letters[last]


def height_findings(
    field: DeckField, pad: Pad, level: DeckLevel, spots: Sequence[PadSpot], tall: TallPads | None, say: Spoken
) -> tuple[Finding, ...]:
    """Give a stop for pads too low or too tall, one each, at the worst place.

    Parameters
    ----------
    field : DeckField
        The field.
    pad : Pad
        Its pads.
    level : DeckLevel
        The range allowed.
    spots : sequence of PadSpot
        The pads of the field, tall ones settled as the plan asks.
    tall : TallPads or None
        What was too tall, and what could stand there.
    say : Spoken
        Writes lengths in the job's own system.

    Returns
    -------
    findings : tuple of Finding

    References
    ----------
    The range is the plan's own; the pad's thickness is its maker's.
    """
    if not spots:
        return ()
    return (
        *_too_low(field, pad, level, spots, say),
        *(_too_tall(field, level, spots, tall, say) if tall is not None else ()),
        *_shim_findings(field, pad, spots, say),
    )


def _too_low(
    field: DeckField, pad: Pad, level: DeckLevel, spots: Sequence[PadSpot], say: Spoken
) -> tuple[Finding, ...]:
    """Give a stop for pads that find no room."""
    lowest = min(spots, key=lambda spot: spot.height_mm)
    least_mm = max(level.least_pad_mm, pad.thickness_mm)
    low = sum(spot.height_mm < least_mm - ROUNDING_MM for spot in spots)
    if not low:
        return ()
    why = "Thickness of the pad" if pad.thickness_mm > level.least_pad_mm else "Least pad height of the plan"
    return (
        Finding(
            code="framing.pad-too-low",
            grade="stop",
            place=field.id,
            text=f"{low} of {len(spots)} pads have less than {say.length(least_mm)} between membrane and "
            f"sleeper; the worst, {lowest.id}, has {say.gap(lowest.height_mm)}. Raise the deck by "
            f"{say.gap(least_mm - lowest.height_mm)}, or take a thinner pad or a shallower sleeper.",
            value=lowest.height_mm,
            limit=least_mm,
            unit="mm",
            source=why,
            at_mm=(lowest.x_mm, lowest.y_mm),
        ),
    )


def _too_tall(
    field: DeckField, level: DeckLevel, spots: Sequence[PadSpot], tall: TallPads, say: Spoken
) -> tuple[Finding, ...]:
    """Give a stop for pads that stay too tall, with what could stand there; a note for doubled sleepers."""
    found = []
    left = [
        spot for spot in spots if not spot.pedestal and spot.height_mm > level.greatest_pad_mm + ROUNDING_MM
    ]
    timber = f"{say.length(tall.doubling_mm)} of timber"
    if tall.is_doubled:
        found.append(
            Finding(
                code="framing.sleepers-doubled",
                grade="note",
                place=field.id,
                text=f"At {len(tall.doubled)} of {len(spots)} pads a second sleeper lies under the first, "
                f"{timber} in all, so that no pad there is taller than {say.length(level.greatest_pad_mm)}. "
                "Fix the two to each other along their length.",
                value=float(len(tall.doubled)),
                unit="pads",
                source="Greatest pad height of the plan; common practice, no source",
            )
        )
    if left:
        tallest = max(left, key=lambda spot: spot.height_mm)
        helps = (
            ""
            if tall.is_doubled or not tall.doubled
            else (
                f" A doubled sleeper ({timber}) brings {len(tall.doubled)} of them within it: say so under "
                "the level of the deck."
            )
        )
        others = (
            ""
            if not tall.pedestals or tall.on_pedestals
            else (
                f" {len(tall.pedestals)} need a pedestal whose maker allows "
                f"{say.length(tall.least_pedestal_mm)} to {say.length(tall.greatest_pedestal_mm)} "
                f"({_listed(tall.pedestals)})."
            )
        )
        found.append(
            Finding(
                code="framing.pad-too-tall",
                grade="stop",
                place=field.id,
                text=f"{len(left)} of {len(spots)} pads would be taller than "
                f"{say.length(level.greatest_pad_mm)}; the worst, {tallest.id}, needs "
                f"{say.gap(tallest.height_mm)}.{helps}{others} A lower deck would do as well.",
                value=tallest.height_mm,
                limit=level.greatest_pad_mm,
                unit="mm",
                source="Greatest pad height of the plan",
                at_mm=(tallest.x_mm, tallest.y_mm),
            )
        )
    return tuple(found)


def _listed(ids: Sequence[str]) -> str:
    """Give the first few ids."""
    return ", ".join(ids[:LISTED]) + (" and others" if len(ids) > LISTED else "")


def _shim_findings(field: DeckField, pad: Pad, spots: Sequence[PadSpot], say: Spoken) -> tuple[Finding, ...]:
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
            f"{say.gap(pad.shim_step_mm)}; {worst.id} needs {worst.shims}. Tall packs of shims creep and "
            "slip: take packers, a thicker pad, or a support whose maker allows the height.",
            value=float(worst.shims),
            limit=float(MANY_SHIMS),
            unit="shims",
            source="Common practice, no source",
            at_mm=(worst.x_mm, worst.y_mm),
        ),
    )
