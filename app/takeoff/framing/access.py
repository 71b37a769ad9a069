"""Lift-out panels: every drain under a deck stays within reach."""

from collections.abc import Sequence

from shapely import Point, Polygon

from app.job.findings import Finding
from app.job.job import Job

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
            f"{drains[drain].keep_clear_mm:.0f} mm clear of its middle.",
            source="Common practice, no source",
            at_mm=(drains[drain].x_mm, drains[drain].y_mm),
        )
        for drain, field in access_panels(job)
    )


def covered_findings(job: Job, bodies: Sequence[tuple[str, str, Polygon]]) -> tuple[Finding, ...]:
    """Give a check for every drain that timber still reaches, as a cut-back slanting rim may.

    Parameters
    ----------
    job : Job
        Drains.
    bodies : sequence of (str, str, Polygon)
        Field, stick id and footprint on plan of everything under the decks.

    Returns
    -------
    findings : tuple of Finding

    References
    ----------
    The keep-clear of the survey.
    """
    found = []
    for drain in job.survey.drains:
        clear = Point(drain.x_mm, drain.y_mm).buffer(drain.keep_clear_mm)
        near = [
            (field, stick) for field, stick, body in bodies if body.intersection(clear).area > _REACHES_MM2
        ]
        if near:
            sticks = ", ".join(stick for _, stick in near)
            found.append(
                Finding(
                    code="framing.drain-crowded",
                    grade="check",
                    place=near[0][0],
                    text=f"{sticks} reach into the {drain.keep_clear_mm:.0f} mm kept clear round "
                    f"{drain.kind} {drain.id}; cut them back on site so that the drain can be reached.",
                    source="Keep-clear of the survey",
                    at_mm=(drain.x_mm, drain.y_mm),
                )
            )
    return tuple(found)
