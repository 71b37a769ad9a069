"""What lies over the runs: boards, stone or nothing; and which joints can be opened later."""

import math
from collections.abc import Sequence

import shapely
from shapely.geometry import LineString, Point
from shapely.geometry.base import BaseGeometry

from app.job.findings import Finding
from app.job.job import Job
from app.job.spoken import Spoken
from app.takeoff.roughin.cover import covered_area, near_panels, out_of_reach, stone_of
from app.takeoff.roughin.records import Joint, Lies, Run

OPEN_MM = 300.0  # shorter stretches in the open are not worth a word
REACH_SOURCE = "NFPA 70 (NEC) 2020, 314.29, boxes stay accessible, from memory; common practice"


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
    deck, stone, panels = out_of_reach(job), stone_of(job), near_panels(job)
    found: dict[str, Joint] = {}
    for run in runs:
        for name, (x, y) in ((run.from_id, run.path_mm[0]), (run.to_id, run.path_mm[-1])):
            if "/" in name and name not in found:
                spot = Point(x, y)
                lies = _lies(spot, deck, stone, panels)
                found[name] = Joint(name, x, y, lies, lies != "under boards")
    return tuple(found.values()), tuple(
        _covered(j, deck, runs, Spoken(job.units)) for j in found.values() if not j.is_reachable
    )


def _lies(spot: Point, out: BaseGeometry, stone: BaseGeometry, panels: BaseGeometry) -> Lies:
    """Say what lies over a spot."""
    if out.covers(spot):
        return "under boards"
    if stone.covers(spot):
        return "in stone"
    return "by a lift-out panel" if panels.covers(spot) else "open"


def _covered(joint: Joint, out: BaseGeometry, runs: Sequence[Run], spoken: Spoken) -> Finding:
    """Say that a joint lies under boards, and what would do."""
    spot = Point(joint.x_mm, joint.y_mm)
    part = next(part for part in shapely.get_parts(out) if part.covers(spot))
    edge_mm = part.boundary.distance(spot)
    circuit = joint.id.split("/")[0]
    ends = [(run.from_id, run.path_mm[0]) for run in runs if run.circuit == circuit]
    ends += [(run.to_id, run.path_mm[-1]) for run in runs if run.circuit == circuit]
    near = [(math.dist(place, (joint.x_mm, joint.y_mm)), name) for name, place in ends if "/" not in name]
    device = ""
    if near:
        away, name = min(near)
        device = f", join in the box of {name} ({spoken.way(away)} away)"
    text = (
        f"The box {joint.id} lies under boards, {spoken.way(edge_mm)} from the nearest ground that can be "
        f"opened. A joint must stay within reach: make a lift-out board over it{device}, or wire {circuit} "
        "as a chain, which needs no box."
    )
    at = (joint.x_mm, joint.y_mm)
    return Finding("roughin.joint-covered", "check", circuit, text, source=REACH_SOURCE, at_mm=at)


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
    lines = [LineString(run.path_mm) for run in runs if run.level_mm > 0]
    bare = shapely.get_parts(shapely.union_all(lines).difference(covered_area(job)))
    total = float(sum(part.length for part in bare))
    if total < OPEN_MM:
        return ()
    longest = max(bare, key=lambda part: round(float(part.length), 3))
    x, y = longest.interpolate(0.5, normalized=True).coords[0]
    text = (
        f"Runs lie in the open over {Spoken(job.units).way(total)}, under neither boards nor stone nor along "
        "a wall: there they are seen and trodden on. Give them a cover, or move what they feed."
    )
    source = "common practice, no source"
    return (
        Finding("roughin.in-the-open", "note", "job", text, total, 0.0, "mm", source, (float(x), float(y))),
    )
