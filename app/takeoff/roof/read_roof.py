"""The roof room's entry: from spot heights to surface, fall, level and guards."""

import shapely

from app.job.doing import Do, at_once
from app.job.findings import Assumption, Finding
from app.job.job import Job
from app.job.spoken import Spoken
from app.job.survey import Survey
from app.takeoff.roof.fall import fall_direction_deg, fall_findings, fall_pct, measured_fall
from app.takeoff.roof.flow import Flow, read_flow
from app.takeoff.roof.footprints import field_polygon
from app.takeoff.roof.guards import guards_beside_decks
from app.takeoff.roof.hazards import fall_hazards
from app.takeoff.roof.level import level_window
from app.takeoff.roof.levels import field_levels, level_step_findings, level_steps
from app.takeoff.roof.loads_known import load_findings
from app.takeoff.roof.records import RoofReading
from app.takeoff.roof.surface import PLANE_TOLERANCE_MM, Surface
from app.takeoff.roof.zone_steps import read_zones, zone_assumptions, zone_findings
from app.takeoff.roof.zones import fit_roof

# Spot heights are taken on a grid of at most 1.2 to 1.5 m. Common practice, no source.
SPOT_GRID_MM = 1500.0


def read_roof(job: Job, do: Do = at_once) -> RoofReading:
    """Read the roof: its surface and fall, the level of the deck, and what is left of the guards.

    Parameters
    ----------
    job : Job
        Survey, plan and choices.
    do : Do
        How its parts are done.

    Returns
    -------
    reading : RoofReading
        With what must be settled or confirmed.

    References
    ----------
    Definition; each module names its own sources.
    """
    survey = job.survey
    say, least_fall_pct = Spoken(job.units), job.choices.limits.least_fall_pct
    surface, flow = do(_fitted, job)
    zones, steps = read_zones(surface), level_steps(job)
    mean_fall_pct, flat_share_pct = measured_fall(surface, least_fall_pct)
    window, level_findings = level_window(job, surface)
    guards, guard_findings = (
        ((), ()) if window is None else guards_beside_decks(job, surface, window.chosen_mm)
    )
    return RoofReading(
        method=surface.method,
        residual_mm=surface.residual_mm,
        height_mm=surface.height_mm,
        fall_pct=fall_pct(surface.plane),
        fall_deg=fall_direction_deg(surface.plane),
        level=window,
        guards=guards,
        findings=(
            *load_findings(survey),
            *_spot_findings(job, surface),
            *fall_findings(survey, surface, least_fall_pct, flow.ponds, say),
            *zone_findings(job, zones),
            *level_findings,
            *level_step_findings(job, steps),
            *guard_findings,
            *fall_hazards(job),
            *_covered_drains(job),
        ),
        assumptions=(*_assumptions(survey, surface, say), *zone_assumptions(zones, say)),
        levels=() if window is None else field_levels(job, surface, window),
        steps=steps,
        zones=zones,
        mean_fall_pct=mean_fall_pct,
        flat_share_pct=flat_share_pct,
        arrows=flow.arrows,
        catchments=flow.catchments,
        ponds=flow.ponds,
    )


def _fitted(job: Job) -> tuple[Surface, Flow]:
    """Give the surface through the spot heights, and where water runs on it."""
    surface = fit_roof(job.survey)
    return surface, read_flow(job.survey, surface)


def _spot_findings(job: Job, surface: Surface) -> list[Finding]:
    """Say where the spot heights are too few to know the roof."""
    found = []
    if surface.is_in_line:
        found.append(
            Finding(
                code="roof.spots-in-line",
                grade="stop",
                place="job",
                text="All spot heights stand in one line, so the fall across it is unknown and no pad "
                "height can be trusted. Measure at least one height well off that line.",
                source="Definition: a plane needs three points that are not in one line",
            )
        )
    hull = shapely.convex_hull(
        shapely.multipoints(
            [
                corner[:2]
                for part in (surface, *(zone[2] for zone in surface.zones))
                for corner in part.corners_mm
            ]
        )
    )
    for field in job.plan.deck_fields:
        corners = shapely.points(field.outline_mm)
        away = shapely.distance(hull, corners)
        farthest = int(away.argmax())
        if away[farthest] > SPOT_GRID_MM and not surface.is_in_line:
            found.append(
                Finding(
                    code="roof.spots-short",
                    grade="check",
                    place=field.id,
                    text=f"A corner of {field.id} lies {Spoken(job.units).length(float(away[farthest]))} "
                    "outside the spot heights; the roof is only guessed there. Measure more heights before "
                    "cutting pads.",
                    value=round(float(away[farthest]), 1),
                    limit=SPOT_GRID_MM,
                    unit="mm",
                    source="Common practice, no source: spot heights at most 1.2 to 1.5 m apart",
                    at_mm=field.outline_mm[farthest],
                )
            )
    return found


def _covered_drains(job: Job) -> list[Finding]:
    """Note every outlet that boards will cover; the frame room gives it a lift-out panel."""
    say = Spoken(job.units)
    return [
        Finding(
            code="roof.drain-under-deck",
            grade="note",
            place=drain.id,
            text=f"{drain.id} ({drain.kind}) lies under the boards of {field.id} or at their edge. Keep it "
            f"reachable through a lift-out panel and keep {say.length(drain.keep_clear_mm)} round it free "
            "of framing.",
            source="Common practice, no source; strainers need cleaning",
            at_mm=(drain.x_mm, drain.y_mm),
        )
        for field in job.plan.deck_fields
        for drain in job.survey.drains
        if shapely.dwithin(field_polygon(field), shapely.Point(drain.x_mm, drain.y_mm), drain.keep_clear_mm)
    ]


def _assumptions(survey: Survey, surface: Surface, say: Spoken) -> tuple[Assumption, ...]:
    """State how the surface was made and how guards are measured."""
    count = len(survey.spot_heights)
    if surface.method == "plane":
        text = (
            f"The membrane is taken as one plane: the {count} spot heights lie within "
            f"{say.gap(surface.plane_residual_mm)} of it ({say.length(PLANE_TOLERANCE_MM)} allowed)."
        )
    else:
        text = (
            f"The membrane is taken as {len(surface.triangles)} triangles through the {count} spot "
            f"heights and folds, since one plane would miss a height by {say.gap(surface.plane_residual_mm)} "
            f"({say.length(PLANE_TOLERANCE_MM)} allowed). Outside the outermost heights it goes on with the "
            "slope of the best plane."
        )
    surface_words = Assumption("roof.surface", text, "Least squares; tolerance is common practice, no source")
    if not survey.edges:
        return (surface_words,)
    guard_words = Assumption(
        "roof.guard-heights",
        "The top of each parapet and guard is taken at one height above the membrane all along its edge, as "
        "surveyed.",
        "Definition of the survey",
    )
    return (surface_words, guard_words)
