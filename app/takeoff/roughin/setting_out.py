"""Where every device and box lies, by tape from two corners of the roof."""

import math
from collections.abc import Sequence

from app.job.job import Job
from app.takeoff.roughin.records import Joint, SetOut

Spot = tuple[float, float]


def fixed_points(job: Job) -> tuple[Spot, Spot]:
    """Give the two corners that everything is measured from: the ends of the roof's longest side.

    Parameters
    ----------
    job : Job
        With its survey.

    Returns
    -------
    corner_a, corner_b : tuple of float
        On plan; the first of equally long sides. [mm]

    Notes
    -----
    All of the roof lies on one side of a side of its hull, so that two distances mark one spot there.

    References
    ----------
    Definition.
    """
    corners = job.survey.outline_mm
    sides = [(a, corners[(n + 1) % len(corners)]) for n, a in enumerate(corners)]
    outer = [side for side in sides if _is_outer(side, corners)]
    return max(outer or sides, key=lambda side: round(math.dist(*side), 3))


def _is_outer(side: tuple[Spot, Spot], corners: Sequence[Spot]) -> bool:
    """Tell whether the whole roof lies on one side of a line."""
    (ax, ay), (bx, by) = side
    turns = [(bx - ax) * (y - ay) - (by - ay) * (x - ax) for x, y in corners]
    return min(turns) >= -1.0 or max(turns) <= 1.0


def set_out(job: Job, joints: Sequence[Joint]) -> tuple[SetOut, ...]:
    """Give the distances of everything that runs begin or end at.

    Parameters
    ----------
    job : Job
        Survey and plan.
    joints : sequence of Joint
        Boxes of the runs.

    Returns
    -------
    rows : tuple of SetOut
        Devices and sources in the order of the plan, then the boxes.

    References
    ----------
    Definition: level with the deck, from corner to the middle of the thing.
    """
    a, b = fixed_points(job)
    plan, survey = job.plan, job.survey
    groups: tuple[tuple[str, tuple[tuple[str, float, float, float | None], ...]], ...] = (
        ("light", tuple((f.id, f.x_mm, f.y_mm, f.z_mm) for f in plan.fixtures)),
        ("outlet", tuple((o.id, o.x_mm, o.y_mm, o.z_mm) for o in plan.outlets)),
        ("speaker", tuple((s.id, s.x_mm, s.y_mm, s.z_mm) for s in plan.speakers)),
        ("gas stub", tuple((g.id, g.x_mm, g.y_mm, g.z_mm) for g in plan.gas_stubs)),
        ("transformer", tuple((t.id, t.x_mm, t.y_mm, t.z_mm) for t in plan.transformers)),
        ("amplifier", tuple((m.id, m.x_mm, m.y_mm, m.z_mm) for m in plan.amplifiers)),
        ("power point", tuple((p.id, p.x_mm, p.y_mm, None) for p in survey.power_points)),
        ("gas point", tuple((g.id, g.x_mm, g.y_mm, None) for g in survey.gas_points)),
        ("box", tuple((j.id, j.x_mm, j.y_mm, None) for j in joints)),
    )
    return tuple(
        SetOut(name, kind, math.dist(a, (x, y)), math.dist(b, (x, y)), z)
        for kind, things in groups
        for name, x, y, z in things
    )
