"""Dead load by place, held against what an engineer allowed. It totals and warns; it never approves."""

import math
from dataclasses import dataclass

from app.job.findings import Assumption, Finding
from app.job.job import Job
from app.job.spoken import Spoken
from app.takeoff.framing.records import Framing
from app.takeoff.layout.records import Layout
from app.takeoff.totals.allowable import allowable_under, allowed_by
from app.takeoff.totals.load_findings import LEGS, load_findings
from app.takeoff.totals.masses import masses_by_place
from app.takeoff.totals.records import LoadSpot
from app.takeoff.totals.standing import WALL_STRIP_MM, Standing, standing_things

KPA_PER_KG_M2 = 9.80665e-3  # standard gravity, ISO 80000-3


@dataclass(frozen=True, slots=True)
class Loads:
    """Dead load over the job.

    Attributes
    ----------
    spots : tuple of LoadSpot
        In the order of the plan.
    dead_kg : float
        Mass of everything that stays, each thing once. [kg]
    findings : tuple of Finding
    assumptions : tuple of Assumption
    """

    spots: tuple[LoadSpot, ...]
    dead_kg: float
    findings: tuple[Finding, ...]
    assumptions: tuple[Assumption, ...]


def dead_loads(job: Job, layout: Layout, framing: Framing) -> Loads:
    """Give the dead load of every place.

    Parameters
    ----------
    job : Job
        Plan, materials, allowable load.
    layout : Layout
        Pieces, boxes, beds.
    framing : Framing
        Sticks and pads.

    Returns
    -------
    loads : Loads
        A box, a wall or furniture standing on a deck or a bed bears the load of what lies beneath it as
        well, by the share of its own area that is over it.

    Notes
    -----
    p = m · g / A with g = 9.80665 m/s². A wall is read over its length × 300 mm.

    References
    ----------
    Definition; gravity ISO 80000-3; saturated media and wet stone as ASCE 7-16 §3.1.4 asks, from memory.
    """
    masses = masses_by_place(job, layout, framing)
    standing = standing_things(job, layout, masses)
    bases = tuple(thing for thing in standing if thing.is_base)
    spots = tuple(_spot(job, thing, bases) for thing in standing if thing.area_m2 > 0.0)
    timber_kg = math.fsum(
        mass_kg for parts in masses.values() for label, mass_kg in parts if label == "frame"
    )
    return Loads(
        spots=spots,
        dead_kg=math.fsum(mass_kg for parts in masses.values() for _, mass_kg in parts),
        findings=load_findings(job, spots, masses, timber_kg),
        assumptions=_assumptions(job),
    )


def _spot(job: Job, thing: Standing, bases: tuple[Standing, ...]) -> LoadSpot:
    """Turn the masses of one thing, and of what it stands on, into loads over its area."""
    own = [(label, mass_kg / thing.area_m2 * KPA_PER_KG_M2) for label, mass_kg in thing.parts]
    beneath = [] if thing.is_base else _beneath(thing, bases)
    parts = tuple(own + beneath)
    dead_kpa = math.fsum(kpa for _, kpa in parts)
    allowable = allowable_under(job, thing.shape)
    return LoadSpot(
        place=thing.place,
        label=thing.label,
        area_m2=thing.area_m2,
        mass_kg=dead_kpa * thing.area_m2 / KPA_PER_KG_M2,
        dead_kpa=dead_kpa,
        allowable_kpa=allowable.dead_kpa if allowable else None,
        parts=parts,
        allowed_by=allowed_by(allowable),
    )


def _beneath(thing: Standing, bases: tuple[Standing, ...]) -> list[tuple[str, float]]:
    """Give the load of the decks and beds under a thing, spread over the thing's own area."""
    found = []
    for base in bases:
        shared_m2 = thing.shape.intersection(base.shape).area / 1e6
        base_kg = math.fsum(mass_kg for _, mass_kg in base.parts)
        if shared_m2 > 0.0 and base.area_m2 > 0.0:
            share = min(1.0, shared_m2 / thing.area_m2)
            found.append((f"{base.place} beneath", base_kg / base.area_m2 * KPA_PER_KG_M2 * share))
    return found


def _assumptions(job: Job) -> tuple[Assumption, ...]:
    """Say what the loads take as given."""
    taken = [
        Assumption(
            code="totals.dead-load-scope",
            text=(
                "Dead load counts boards, frame, pads, packers, saturated media, wet stone, counter tops, "
                "furniture and the water in it by the masses in the choices; fasteners, tape, "
                "cable, lining, flashing, shims and plants are not in it, nor people, snow or water standing "
                "on the roof."
            ),
            source="definition",
        )
    ]
    if job.plan.feature_walls:
        strip = Spoken(job.units).length(WALL_STRIP_MM)
        taken.append(
            Assumption(
                code="totals.wall-strip",
                text=(
                    f"The load of a feature wall is read over its length × {strip}, as if the "
                    f"roof carried all of it."
                ),
                source="common practice, no source",
            )
        )
    if any(
        given.point_kn is not None
        for given in (job.survey.allowable_load, *job.survey.allowable_areas)
        if given
    ):
        taken.append(
            Assumption(
                code="totals.four-legs",
                text=(
                    f"Planters and furniture are held against the point load as if {LEGS} legs shared their "
                    f"mass alike; on an uneven surface two may carry it all."
                ),
                source="common practice, no source",
            )
        )
    return tuple(taken)
