"""Lift-out panels: every drain under a deck stays within reach."""

from collections.abc import Sequence

import shapely
from shapely import Point, Polygon

from app.job.findings import Finding
from app.job.job import Job
from app.job.spoken import Spoken
from app.takeoff.framing.bars import Bar, bodies_of
from app.takeoff.framing.records import Stick

_REACHES_MM2 = 10.0


def access_panels(job: Job) -> tuple[tuple[str, str], ...]:
    """Give the drains that lie under a deck field, each with its field.

    Parameters
    ----------
    job : Job
        Drains and deck fields.

    Returns
    -------
    panels : tuple of (str, str)
        Drain id and field id. A drain counts when its keep-clear reaches under the boards; one drain
        under two fields needs a panel in both.

    References
    ----------
    Keeping drains within reach: strainer access of Chicago 18-29-1105; else common practice, no source.
    """
    return tuple(
        (drain.id, field.id)
        for drain in job.survey.drains
        for field in job.plan.deck_fields
        if Polygon(field.outline_mm, field.holes_mm).intersects(
            Point(drain.x_mm, drain.y_mm).buffer(max(drain.keep_clear_mm, drain.diameter_mm / 2))
        )
    )


def access_findings(job: Job) -> tuple[Finding, ...]:
    """Give a note for every lift-out panel, so that the client and the crew know of it.

    Parameters
    ----------
    job : Job
        Drains and deck fields.

    Returns
    -------
    findings : tuple of Finding

    References
    ----------
    Common practice, no source.
    """
    drains = {drain.id: drain for drain in job.survey.drains}
    return tuple(
        Finding(
            code="framing.lift-out-panel",
            grade="note",
            place=field,
            text=f"{drains[drain].kind.capitalize()} {drain} lies under this deck: the boards over it become "
            "a lift-out panel on their own battens, and timber and pads stay "
            f"{Spoken(job.units).length(drains[drain].keep_clear_mm)} clear of its middle.",
            source="Common practice, no source",
            at_mm=(drains[drain].x_mm, drains[drain].y_mm),
        )
        for drain, field in access_panels(job)
    )


def covered_findings(job: Job, sticks: Sequence[Stick], bars: Sequence[Bar]) -> tuple[Finding, ...]:
    """Give a check for every drain that timber still reaches, as a cut-back slanting rim may.

    Parameters
    ----------
    job : Job
        Drains.
    sticks : sequence of Stick
        Everything under the decks.
    bars : sequence of Bar
        The same, as it lies on plan.

    Returns
    -------
    findings : tuple of Finding

    References
    ----------
    The keep-clear of the survey.
    """
    if not sticks or not job.survey.drains:
        return ()
    bodies = bodies_of(bars)
    found = []
    for drain in job.survey.drains:
        clear = Point(drain.x_mm, drain.y_mm).buffer(drain.keep_clear_mm)
        is_near = shapely.area(shapely.intersection(bodies, clear)) > _REACHES_MM2
        near = [sticks[int(number)] for number in is_near.nonzero()[0]]
        if near:
            found.append(
                Finding(
                    code="framing.drain-crowded",
                    grade="check",
                    place=near[0].place,
                    text=f"{', '.join(stick.id for stick in near)} reach into the "
                    f"{Spoken(job.units).length(drain.keep_clear_mm)} kept clear round "
                    f"{drain.kind} {drain.id}; cut them back on site so that the drain can be reached.",
                    source="Keep-clear of the survey",
                    at_mm=(drain.x_mm, drain.y_mm),
                )
            )
    return tuple(found)
