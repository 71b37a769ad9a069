"""Steps in the roof itself, where one zone ends and the roof beside it lies higher or lower."""

import shapely

from app.job.findings import Assumption, Finding
from app.job.job import Job
from app.job.spoken import Spoken
from app.takeoff.roof.fall import fall_direction_deg, fall_pct
from app.takeoff.roof.footprints import field_polygon
from app.takeoff.roof.guards import NEAR_EDGE_MM
from app.takeoff.roof.records import ZoneReading
from app.takeoff.roof.surface import Surface

LOOK_EVERY_MM = 250.0
# The roof beside a zone is read this far off its outline.
BESIDE_MM = 20.0
# Less than two readings of a levelling instrument is no step. Common practice, no source.
LEAST_STEP_MM = 12.0


def read_zones(surface: Surface) -> tuple[ZoneReading, ...]:
    """Give what is known of each zone's surface.

    Parameters
    ----------
    surface : Surface
        The membrane of the whole roof.

    Returns
    -------
    zones : tuple of ZoneReading
        The roof round the zones first; none when there are no zones.

    References
    ----------
    Definition.
    """
    if not surface.zones:
        return ()
    found = [_reading("", surface, 0.0)]
    for name, shape, zone in surface.zones:
        steps = _steps_round(surface, zone, shape)
        found.append(_reading(name, zone, max(steps, key=abs, default=0.0)))
    return tuple(found)


def _reading(name: str, part: Surface, step_mm: float) -> ZoneReading:
    """Give one surface as a record."""
    return ZoneReading(
        zone=name,
        method=part.method,
        residual_mm=part.plane_residual_mm if part.method == "plane" else 0.0,
        plane_residual_mm=part.plane_residual_mm,
        fall_pct=fall_pct(part.plane),
        fall_deg=fall_direction_deg(part.plane),
        step_mm=step_mm,
    )


def _steps_round(surface: Surface, zone: Surface, shape: shapely.Polygon) -> list[float]:
    """Give how much higher a zone is than the roof beside it, along its outline."""
    ring = shapely.buffer(shape, BESIDE_MM, join_style="mitre").exterior
    spots = shapely.get_coordinates(shapely.segmentize(ring, LOOK_EVERY_MM)).tolist()
    return [zone.height_mm(x, y) - surface.height_mm(x, y) for x, y in spots]


def zone_findings(job: Job, zones: tuple[ZoneReading, ...]) -> tuple[Finding, ...]:
    """Give what is to be said of steps in the roof.

    Parameters
    ----------
    job : Job
        Zones and deck fields.
    zones : tuple of ZoneReading
        As read.

    Returns
    -------
    findings : tuple of Finding
        A note for each step; a check when it is as deep as a guard is asked for and a deck is near, and for
        each deck field that lies over a step.

    References
    ----------
    IRC R312.1.1 for the drop; the rest is common practice, no source.
    """
    say, drop_mm = Spoken(job.units), job.choices.limits.guard_drop_mm
    steps = {zone.zone: zone.step_mm for zone in zones if zone.zone}
    found = []
    for zone in job.survey.zones:
        step_mm = steps.get(zone.id, 0.0)
        if abs(step_mm) < LEAST_STEP_MM:
            continue
        shape = shapely.Polygon(zone.outline_mm)
        decks = [(field.id, field_polygon(field)) for field in job.plan.deck_fields]
        over = [
            name
            for name, deck in decks
            if shapely.intersection(deck, shape).area > 1.0 and shapely.difference(deck, shape).area > 1.0
        ]
        is_near = any(shapely.distance(deck, shape.exterior) < NEAR_EDGE_MM for _, deck in decks)
        is_drop = abs(step_mm) >= drop_mm and is_near
        side = "above" if step_mm > 0.0 else "below"
        words = f"{zone.id} lies up to {say.length(abs(step_mm))} {side} the roof beside it."
        if over:
            words += f" {', '.join(over)} lies over that step: its pads differ by as much in height."
        if is_drop:
            words += " One can fall there; the local code may ask for a guard."
        found.append(
            Finding(
                code="roof.zone-step",
                grade="check" if over or is_drop else "note",
                place=zone.id,
                text=words,
                value=round(abs(step_mm), 1),
                limit=drop_mm,
                unit="mm",
                source="IRC R312.1.1 for the drop; pads over a step: common practice, no source",
                at_mm=(float(shape.centroid.x), float(shape.centroid.y)),
            )
        )
    return tuple(found)


def zone_assumptions(zones: tuple[ZoneReading, ...], say: Spoken) -> tuple[Assumption, ...]:
    """State how each zone's surface was made.

    Parameters
    ----------
    zones : tuple of ZoneReading
        As read.
    say : Spoken
        Writes lengths in the job's own system.

    Returns
    -------
    assumptions : tuple of Assumption
        One for each zone drawn.

    References
    ----------
    Definition.
    """
    source = "Least squares; tolerance is common practice, no source"
    return tuple(
        Assumption(
            "roof.zone-surface",
            f"{zone.zone} has a surface of its own, {zone.method}: one plane would miss a height in it by "
            f"{say.gap(zone.plane_residual_mm)}.",
            source,
        )
        for zone in zones
        if zone.zone
    )
