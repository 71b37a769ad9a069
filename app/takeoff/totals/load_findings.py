"""What the dead loads have to say: over the allowable, near it, on a point, and wet timber."""

import math
from collections.abc import Mapping

import shapely

from app.job.findings import Finding, Grade
from app.job.job import Job
from app.job.spoken import Spoken
from app.job.survey import AllowableLoad
from app.takeoff.roof.footprints import box_ring
from app.takeoff.totals.allowable import allowable_named, allowable_under, figure_source
from app.takeoff.totals.masses import Parts
from app.takeoff.totals.records import LoadSpot

NEAR_FRACTION = 0.8
LEGS = 4
NEWTON_PER_KG = 9.80665
# Softwood of specific gravity 0.55: 36.7 pcf at 15 % moisture, 38.6 pcf at 28 %.
WET_FACTOR = 38.6 / 36.7
ENGINEER = "A licensed engineer decides."


def load_findings(
    job: Job, spots: tuple[LoadSpot, ...], masses: Mapping[str, Parts], timber_kg: float
) -> tuple[Finding, ...]:
    """Give what must be settled or known about the dead loads.

    Parameters
    ----------
    job : Job
        Plan and allowable load.
    spots : tuple of LoadSpot
        Dead load by place.
    masses : mapping of str to tuple of (str, float)
        Mass by place and part. [kg]
    timber_kg : float
        Mass of all sections. [kg]

    Returns
    -------
    findings : tuple of Finding
        Without an allowable load nothing is held against one: the missing figure is a stop of its own.

    References
    ----------
    The allowable load given for the job. Wet timber: NDS Supplement §3.1.3, from memory.
    """
    return (
        *(found for spot in spots for found in _over_area(job, spot)),
        *_over_points(job, masses),
        *live_findings(job),
        *_timber(timber_kg, Spoken(job.units)),
    )


def live_findings(job: Job) -> tuple[Finding, ...]:
    """Give a stop for each figure of the engineer's that is below the live load to design for.

    Parameters
    ----------
    job : Job
        Live load, and the figures for the roof and its areas.

    Returns
    -------
    findings : tuple of Finding

    References
    ----------
    The figures given for the job.
    """
    live = job.survey.live_load
    if live is None:
        return ()
    say = Spoken(job.units)
    given: list[tuple[str, AllowableLoad]] = [(area.id, area) for area in job.survey.allowable_areas]
    if job.survey.allowable_load is not None:
        given.insert(0, ("job", job.survey.allowable_load))
    return tuple(
        Finding(
            code="totals.live-load-over",
            grade="stop",
            place=place,
            text=(
                f"The live load to design for is {say.load(live.live_kpa)} ({live.source}); the roof is "
                f"allowed {say.load(allowable.live_kpa)}. Fewer people or another use would help. {ENGINEER}"
            ),
            value=live.live_kpa,
            limit=allowable.live_kpa,
            unit="kPa",
            source=figure_source(allowable),
        )
        for place, allowable in given
        if live.live_kpa > allowable.live_kpa * (1 + 1e-9)
    )


def _over_area(job: Job, spot: LoadSpot) -> tuple[Finding, ...]:
    """Hold one place against the allowable dead load."""
    allowable = allowable_named(job, spot.allowed_by)
    if allowable is None:
        return ()
    share = spot.dead_kpa / allowable.dead_kpa if allowable.dead_kpa > 0.0 else math.inf
    if share < NEAR_FRACTION - 1e-12:
        return ()
    say = Spoken(job.units)
    parts = ", ".join(f"{label} {say.load(kpa)}" for label, kpa in spot.parts)
    text = (
        f"{spot.label} weighs {say.load(spot.dead_kpa)} ({parts}) over {say.area(spot.area_m2)}; the roof is "
        f"allowed {say.load(allowable.dead_kpa)}."
    )
    is_over = share > 1.0 + 1e-12
    is_on_wall = _is_on_existing_wall(job, spot.place)
    if is_over and is_on_wall:
        text += " It is fixed to an existing wall: what that wall carries, and how, must be confirmed."
    elif is_over:
        text += f" {what_would_help(job, spot.place)}"
    else:
        text += f" That is {100 * share:.0f} % of it."
    over_grade: Grade = "check" if is_on_wall else "stop"
    return (
        Finding(
            code="totals.dead-load-over" if is_over else "totals.dead-load-near",
            grade=over_grade if is_over else "note",
            place=spot.place,
            text=f"{text} {ENGINEER}",
            value=spot.dead_kpa,
            limit=allowable.dead_kpa,
            unit="kPa",
            source=figure_source(allowable),
        ),
    )


def _over_points(job: Job, masses: Mapping[str, Parts]) -> tuple[Finding, ...]:
    """Hold one leg of each planter and piece of furniture against the point load, if one is given."""
    findings, say = [], Spoken(job.units)
    for thing in (*job.plan.planters, *job.plan.furniture):
        allowable = allowable_under(job, shapely.Polygon(box_ring(thing)))
        if allowable is None or allowable.point_kn is None:
            continue
        mass_kg = math.fsum(part_kg for _, part_kg in masses.get(thing.id, ()))
        leg_kn = mass_kg * NEWTON_PER_KG / 1000 / LEGS
        if leg_kn <= allowable.point_kn:
            continue
        findings.append(
            Finding(
                code="totals.point-load-over",
                grade="stop",
                place=thing.id,
                text=(
                    f"{thing.name or thing.id} weighs {say.mass(mass_kg)}: on {LEGS} legs that is "
                    f"{say.force(leg_kn)} each, and the roof is allowed {say.force(allowable.point_kn)} at "
                    f"a point. "
                    f"Spread it over more bearers, make it lighter or move it. {ENGINEER}"
                ),
                value=leg_kn,
                limit=allowable.point_kn,
                unit="kN",
                source=figure_source(allowable),
                at_mm=(thing.x_mm, thing.y_mm),
            )
        )
    return tuple(findings)


def _timber(timber_kg: float, say: Spoken) -> tuple[Finding, ...]:
    """Say how much more the timber may weigh when wet."""
    if timber_kg <= 0.0:
        return ()
    more_kg = timber_kg * (WET_FACTOR - 1.0)
    return (
        Finding(
            code="totals.timber-wet",
            grade="note",
            place="job",
            text=(
                f"The frame timber weighs {say.mass(timber_kg)} by the masses in the choices. If those are "
                f"for dry timber, at 28 % moisture it is about {say.mass(more_kg)} more, and fresh from "
                f"treatment heavier still: enter the wet mass per metre where it matters."
            ),
            value=timber_kg,
            unit="kg",
            source="NDS Supplement §3.1.3 at 15 and 28 % moisture, specific gravity 0.55 (from memory)",
        ),
    )


def what_would_help(job: Job, place: str) -> str:
    """Give what would bring a place under the limit.

    Parameters
    ----------
    job : Job
        What is drawn.
    place : str
        Id in the job file.

    Returns
    -------
    text : str
        One sentence.

    References
    ----------
    Common practice, no source.
    """
    if place in {planter.id for planter in job.plan.planters}:
        return "A lighter medium, a shallower fill, a smaller planter or another place would help."
    if place in {bed.id for bed in job.plan.stone_beds}:
        return "A shallower bed, lighter stone or boards instead would help."
    if place in {counter.id for counter in job.plan.counters}:
        return "A thinner or lighter top, or another place would help."
    if any(thing.id == place and thing.water_m3 for thing in job.plan.furniture):
        return "Less water, a wider stand under it, or a place over a bearing wall would help."
    if place in {field.id for field in job.plan.deck_fields}:
        return "Lighter boards or wider sleeper spacing would help."
    return "A lighter build, a wider base or another place would help."


def _is_on_existing_wall(job: Job, place: str) -> bool:
    """Whether a place is a feature wall hung on a wall that is there already."""
    return any(wall.id == place and wall.fixing == "existing wall" for wall in job.plan.feature_walls)
