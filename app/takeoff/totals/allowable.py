"""Which of the engineer's figures holds at a place: an area's own, else the whole roof's."""

import shapely

from app.job.job import Job
from app.job.survey import AllowableArea, AllowableLoad

_TOUCHES = 1e-3  # of a thing's area: less lies over an area only by rounding


def allowable_under(job: Job, shape: shapely.Geometry) -> AllowableLoad | None:
    """Give the figure that holds under a thing: the least of all areas it stands on.

    Parameters
    ----------
    job : Job
        The figures.
    shape : shapely.Geometry
        What the thing stands on. [mm]

    Returns
    -------
    allowable : AllowableLoad or None
        An area's own, or the whole roof's where part of the thing is in no area; None when that is not
        given.

    References
    ----------
    Definition.
    """
    least_mm2 = _TOUCHES * float(shape.area)
    free = shape
    touched: list[AllowableLoad] = []
    for area in job.survey.allowable_areas:
        outline = shapely.Polygon(area.outline_mm)
        if float(shape.intersection(outline).area) > least_mm2:
            touched.append(area)
            free = free.difference(outline)
    if not touched or float(free.area) > least_mm2:
        if job.survey.allowable_load is None:
            return None
        touched.append(job.survey.allowable_load)
    return min(touched, key=lambda allowable: allowable.dead_kpa)


def allowable_named(job: Job, name: str) -> AllowableLoad | None:
    """Give a figure by the id of its area.

    Parameters
    ----------
    job : Job
        The figures.
    name : str
        Id of an area; empty for the whole roof's.

    Returns
    -------
    allowable : AllowableLoad or None
        None when the whole roof's is not given.

    References
    ----------
    Definition.
    """
    if not name:
        return job.survey.allowable_load
    return next(area for area in job.survey.allowable_areas if area.id == name)


def allowed_by(allowable: AllowableLoad | None) -> str:
    """Give the id of the area a figure is of.

    Parameters
    ----------
    allowable : AllowableLoad or None
        A figure.

    Returns
    -------
    name : str
        Empty for the whole roof's, and when there is none.

    References
    ----------
    Definition.
    """
    return allowable.id if isinstance(allowable, AllowableArea) else ""


def figure_source(allowable: AllowableLoad) -> str:
    """Give who gave a figure, when and where it is written.

    Parameters
    ----------
    allowable : AllowableLoad
        A figure.

    Returns
    -------
    text : str
        As findings name their source.

    References
    ----------
    Definition.
    """
    reference = f", {allowable.reference}" if allowable.reference else ""
    where = f" for {allowable.name or allowable.id}" if isinstance(allowable, AllowableArea) else ""
    return f"allowable load{where} given by {allowable.given_by}, {allowable.given_on.isoformat()}{reference}"
