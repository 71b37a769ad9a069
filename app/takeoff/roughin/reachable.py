"""What lies over the runs: boards, stone or nothing; and which joints can be opened later."""

from collections.abc import Sequence

import shapely
from shapely.geometry import LineString, Point
from shapely.geometry.base import BaseGeometry

from app.job.findings import Finding
from app.job.job import Job
from app.job.shapes import area_within, box_outline
from app.takeoff.roughin.obstacles import to_turned_mm
from app.takeoff.roughin.records import Joint, Run

ALONG_WALL_MM = 150.0  # a run this near to a wall or parapet lies along it; common practice, no source
OPEN_MM = 300.0  # shorter stretches in the open are not worth a word
REACH_SOURCE = "NFPA 70 (NEC) 314.29, boxes stay accessible, from memory; common practice"


def boarded(job: Job, angle_deg: float) -> BaseGeometry:
    """Give the part of the roof under boards, in turned axes.

    Parameters
    ----------
    job : Job
        With its plan.
    angle_deg : float
        Direction of the turned x axis. [deg]

    Returns
    -------
    area : shapely geometry
        Empty without a deck field.

    References
    ----------
    Definition.
    """

    def turned(ring: Sequence[tuple[float, float]]) -> list[tuple[float, float]]:
        return [to_turned_mm(corner, angle_deg) for corner in ring]

    fields = job.plan.deck_fields
    return shapely.union_all(
        [area_within(turned(f.outline_mm), [turned(hole) for hole in f.holes_mm]) for f in fields]
    )


def joints_of(job: Job, runs: Sequence[Run]) -> tuple[tuple[Joint, ...], tuple[Finding, ...]]:
    """Give every box in which runs are joined, and say which could not be opened later.

    Parameters
    ----------
    job : Job
        With its plan.
    runs : sequence of Run
        All of the job.

    Returns
    -------
    joints : tuple of Joint
        In the order of the runs.
    findings : tuple of Finding
        A check for each joint under boards.

    References
    ----------
    NFPA 70 (NEC) 314.29, from memory.
    """
    deck = boarded(job, 0.0)
    stone = shapely.union_all([area_within(bed.outline_mm) for bed in job.plan.stone_beds])
    found: dict[str, Joint] = {}
    for run in runs:
        for name, (x, y) in ((run.from_id, run.path_mm[0]), (run.to_id, run.path_mm[-1])):
            if "/" in name and name not in found:
                spot = Point(x, y)
                under = deck.covers(spot) and not stone.covers(spot)
                lies = "under boards" if under else "in stone" if stone.covers(spot) else "open"
                found[name] = Joint(name, x, y, lies, not under)  # type: ignore[arg-type]
    return tuple(found.values()), tuple(_covered(j) for j in found.values() if not j.is_reachable)


def _covered(joint: Joint) -> Finding:
    """Say that a joint lies under boards."""
    text = (
        f"The box {joint.id} lies under boards. A joint must stay within reach: make a lift-out board over "
        "it, or join in the box of the nearest device."
    )
    spot = (joint.x_mm, joint.y_mm)
    place = joint.id.split("/")[0]
    return Finding("roughin.joint-covered", "check", place, text, source=REACH_SOURCE, at_mm=spot)


def in_the_open(job: Job, runs: Sequence[Run]) -> tuple[Finding, ...]:
    """Say where runs lie on the bare roof, under neither boards nor stone nor along a wall.

    Parameters
    ----------
    job : Job
        Survey and plan.
    runs : sequence of Run
        All of the job.

    Returns
    -------
    findings : tuple of Finding
        One note with the length, at the longest such stretch; none when there is next to nothing.

    References
    ----------
    Common practice, no source.
    """
    covers = [area_within(f.outline_mm, f.holes_mm) for f in job.plan.deck_fields]
    covers += [area_within(bed.outline_mm) for bed in job.plan.stone_beds]
    covers += [box_outline(b) for b in (*job.plan.planters, *job.plan.benches, *job.plan.counters)]
    covers.append(area_within(job.survey.outline_mm).exterior.buffer(ALONG_WALL_MM))
    covers += [LineString([w.start_mm, w.end_mm]).buffer(ALONG_WALL_MM) for w in job.plan.feature_walls]
    lines = [LineString(run.path_mm) for run in runs if run.level_mm > 0]
    bare = shapely.get_parts(shapely.union_all(lines).difference(shapely.union_all(covers)))
    total = float(sum(part.length for part in bare))
    if total < OPEN_MM:
        return ()
    longest = max(bare, key=lambda part: round(float(part.length), 3))
    x, y = longest.interpolate(0.5, normalized=True).coords[0]
    text = (
        f"Runs lie in the open over {total / 1000:.1f} m, under neither boards nor stone nor along a wall: "
        "there they are seen and trodden on. Give them a cover, or move what they feed."
    )
    source = "common practice, no source"
    return (
        Finding("roughin.in-the-open", "note", "job", text, total, 0.0, "mm", source, (float(x), float(y))),
    )
