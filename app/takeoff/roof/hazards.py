"""Where one can fall although no guard was surveyed: sides left out, holes, skylights."""

import shapely

from app.job.findings import Finding
from app.job.job import Job
from app.job.spoken import Spoken
from app.takeoff.roof.footprints import field_polygon
from app.takeoff.roof.guards import NEAR_EDGE_MM


def fall_hazards(job: Job) -> tuple[Finding, ...]:
    """Give the places near a deck where nobody has said what keeps people from falling.

    Parameters
    ----------
    job : Job
        Outline, holes, edges, penetrations and fields.

    Returns
    -------
    findings : tuple of Finding
        A check for each side of the roof that no edge describes, each hole in the roof, and each skylight
        or hatch, within 914 mm of a deck field.

    References
    ----------
    IRC R312.1.1 for the 36 in; skylights and hatches are common practice, no source.
    """
    decks = shapely.union_all([field_polygon(field) for field in job.plan.deck_fields])
    if shapely.is_empty(decks):
        return ()
    return (*_sides_left_out(job, decks), *_holes(job, decks), *_skylights(job, decks))


def _sides_left_out(job: Job, decks: shapely.Geometry) -> list[Finding]:
    """Ask about the sides of the roof near a deck that no edge describes."""
    corners, say = job.survey.outline_mm, Spoken(job.units)
    described = {edge.from_corner for edge in job.survey.edges}
    found = []
    for number, start in enumerate(corners):
        end = corners[(number + 1) % len(corners)]
        side = shapely.LineString([start, end])
        if number in described or shapely.distance(side, decks) >= NEAR_EDGE_MM:
            continue
        found.append(
            Finding(
                code="roof.edge-unknown",
                grade="check",
                place="job",
                text=f"The side of the roof from {say.spot(*start)} to {say.spot(*end)} is near a deck, but "
                "the survey does not say whether a parapet, a wall or a guard stands there, nor how far one "
                "can fall. Measure it.",
                value=round(float(shapely.distance(side, decks)), 1),
                limit=NEAR_EDGE_MM,
                unit="mm",
                source=job.choices.limits.guard_drop_source,
                at_mm=((start[0] + end[0]) / 2.0, (start[1] + end[1]) / 2.0),
            )
        )
    return found


def _holes(job: Job, decks: shapely.Geometry) -> list[Finding]:
    """Warn of light wells and courts near a deck."""
    found = []
    for hole in job.survey.holes_mm:
        shape = shapely.Polygon(hole)
        away_mm = float(shapely.distance(shape, decks))
        if away_mm < NEAR_EDGE_MM:
            found.append(
                Finding(
                    code="roof.hole-edge",
                    grade="check",
                    place="job",
                    text=f"A hole in the roof lies {Spoken(job.units).length(away_mm)} from a deck. A fall "
                    "into it can kill: the local building office decides which guard it needs, measured from "
                    "the finished deck.",
                    value=round(away_mm, 1),
                    limit=NEAR_EDGE_MM,
                    unit="mm",
                    source=job.choices.limits.guard_drop_source,
                    at_mm=(float(shape.centroid.x), float(shape.centroid.y)),
                )
            )
    return found


def _skylights(job: Job, decks: shapely.Geometry) -> list[Finding]:
    """Warn of what may not carry a person who steps or falls on it."""
    found = []
    for thing in job.survey.penetrations:
        away_mm = float(shapely.distance(shapely.Point(thing.x_mm, thing.y_mm), decks)) - thing.width_mm / 2.0
        if thing.kind in ("skylight", "hatch") and away_mm < NEAR_EDGE_MM:
            found.append(
                Finding(
                    code="roof.skylight",
                    grade="check",
                    place=thing.id,
                    text=f"{thing.id} ({thing.kind}) lies beside a deck. It may not carry a person who "
                    "steps or falls on it: ask its maker and the local building office for a guard or a "
                    "screen over it.",
                    value=round(max(away_mm, 0.0), 1),
                    limit=NEAR_EDGE_MM,
                    unit="mm",
                    source="Common practice, no source",
                    at_mm=(thing.x_mm, thing.y_mm),
                )
            )
    return found
