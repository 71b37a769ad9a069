"""Pedestals in place of pads that would be too tall, and what they press."""

import math
from collections.abc import Iterable, Sequence
from dataclasses import replace

from app.job.choices import Pedestal
from app.job.findings import Finding
from app.job.job import Job
from app.job.plan import DeckField
from app.job.spoken import Spoken
from app.takeoff.framing.doubling import ROUNDING_MM, Doubling
from app.takeoff.framing.records import PadSpot, SpanCheck

_ENGINEER = "A licensed engineer and the local code decide."


def pedestal_for(height_mm: float, kinds: Iterable[Pedestal]) -> Pedestal | None:
    """Give the pedestal for a height: of those that reach it, the one that is shortest screwed out.

    Parameters
    ----------
    height_mm : float
        From the membrane to the underside of the timber. [mm]
    kinds : iterable of Pedestal
        That can be bought.

    Returns
    -------
    pedestal : Pedestal or None
        None when no range holds the height.

    References
    ----------
    Common practice, no source.
    """
    holds = [
        kind for kind in kinds if kind.least_mm - ROUNDING_MM <= height_mm <= kind.greatest_mm + ROUNDING_MM
    ]
    return min(holds, key=lambda kind: (kind.greatest_mm, kind.id), default=None)


def on_pedestals(job: Job, stand: Doubling) -> Doubling:
    """Give the pads of a field with pedestals where a pad would be too tall, if the plan asks for them.

    Parameters
    ----------
    job : Job
        The level of the deck, and the pedestals that can be bought.
    stand : Doubling
        The pads of one field.

    Returns
    -------
    stand : Doubling
        Heights that no pedestal reaches stay pads, and stay too tall.

    References
    ----------
    Common practice, no source.
    """
    if job.plan.level.tall_pads != "pedestal" or stand.tall is None:
        return stand
    tall = set(stand.tall.pads)
    pads = tuple(_on_one(spot, job) if spot.id in tall else spot for spot in stand.pads)
    settled = tuple(spot.id for spot in pads if spot.pedestal)
    return replace(stand, pads=pads, tall=replace(stand.tall, on_pedestals=settled))


def _on_one(spot: PadSpot, job: Job) -> PadSpot:
    """Give one pad as the pedestal that reaches its height."""
    kind = pedestal_for(spot.height_mm, job.choices.pedestals)
    return spot if kind is None else replace(spot, pedestal=kind.id, shims=0, packers=())


def pedestal_findings(
    job: Job, field: DeckField, pads: Sequence[PadSpot], check: SpanCheck | None
) -> tuple[Finding, ...]:
    """Give what is to be said about the pedestals of one field.

    Parameters
    ----------
    job : Job
        The pedestals, the layer under the membrane, the units.
    field : DeckField
        The field.
    pads : sequence of PadSpot
        Its pads and pedestals.
    check : SpanCheck or None
        The screening, for the greatest force of one support; None when nothing could be screened.

    Returns
    -------
    findings : tuple of Finding
        None of them says that anything holds.

    Notes
    -----
    Pressure is force over the area of the round foot, F / (π d² / 4).

    References
    ----------
    The makers of the pedestal, the insulation and the membrane; common practice, no source.
    """
    used = {spot.pedestal for spot in pads if spot.pedestal}
    kinds = [kind for kind in job.choices.pedestals if kind.id in used]
    if not kinds:
        return ()
    say, count = Spoken(job.units), sum(bool(spot.pedestal) for spot in pads)
    force_kn = check.reaction_kn if check is not None else 0.0
    found = [
        Finding(
            code="framing.on-pedestals",
            grade="check",
            place=field.id,
            text=f"{count} of {len(pads)} supports are pedestals, since pads would be taller than "
            f"{say.length(job.plan.level.greatest_pad_mm)}. A hard foot bears on the membrane: its maker "
            "must allow it and say what lies between, and tall pedestals must be held from tipping.",
            value=float(count),
            unit="pedestals",
            source="Greatest pad height of the plan; common practice, no source",
        )
    ]
    if check is None:
        return tuple(found)
    for kind in kinds:
        if force_kn > kind.limit_kn:
            found.append(_over_limit(field, kind, force_kn, say))
        found += _foot(job, field, kind, force_kn, say)
    return tuple(found)


def _over_limit(field: DeckField, kind: Pedestal, force_kn: float, say: Spoken) -> Finding:
    """Give the stop for a pedestal that bears more than its maker says."""
    return Finding(
        code="framing.pedestal-over-limit",
        grade="stop",
        place=field.id,
        text=f"One {kind.name} would bear up to {say.force(force_kn)}; its maker gives "
        f"{say.force(kind.limit_kn)}. Set supports or sleepers closer, or take a stronger one. {_ENGINEER}",
        value=force_kn,
        limit=kind.limit_kn,
        unit="kN",
        source=kind.limit_source,
    )


def _foot(job: Job, field: DeckField, kind: Pedestal, force_kn: float, say: Spoken) -> tuple[Finding, ...]:
    """Give a check when a foot presses the layer under the membrane harder than its maker allows."""
    membrane = job.survey.membrane
    pressure_kpa = force_kn * 1e6 / (math.pi * kind.foot_mm**2 / 4.0)
    if membrane.insulation_limit_kpa is None or pressure_kpa <= membrane.insulation_limit_kpa:
        return ()
    return (
        Finding(
            code="framing.pedestal-on-insulation",
            grade="check",
            place=field.id,
            text=f"The foot of {kind.name} presses with up to {say.load(pressure_kpa)}; the layer under the "
            f"membrane may bear {say.load(membrane.insulation_limit_kpa)} for years. Put a stiff plate under "
            f"it, or set supports closer. {_ENGINEER}",
            value=pressure_kpa,
            limit=membrane.insulation_limit_kpa,
            unit="kPa",
            source=membrane.insulation_source,
        ),
    )
