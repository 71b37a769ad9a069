"""What runs could not get round: timber that they lie along, pads that they pass through."""

from collections.abc import Sequence

from app.job.findings import Finding
from app.job.spoken import Spoken
from app.takeoff.roughin.apart import Apart
from app.takeoff.roughin.lanes import along_sticks
from app.takeoff.roughin.obstacles import to_plan_mm
from app.takeoff.roughin.pads import through_pads
from app.takeoff.roughin.records import Path

PRACTICE = "common practice, no source"


def in_the_way(
    circuit: str, paths: Sequence[Path], apart: Apart, angle_deg: float, units: str
) -> tuple[Finding, ...]:
    """Say where runs have no way but along a piece of timber or through a pad.

    Parameters
    ----------
    circuit : str
        Whose runs they are.
    paths : sequence of Path
        In turned axes.
    apart : Apart
        Sticks and pads.
    angle_deg : float
        Direction of the turned x axis. [deg]
    units : str
        In which findings are written: ``imperial`` or ``metric``.

    Returns
    -------
    findings : tuple of Finding
        A check for each of the two.

    References
    ----------
    Common practice, no source.
    """
    found: list[Finding] = []
    if apart.half_mm is None:
        return ()
    if apart.pads_mm is not None:
        count, pad_at = through_pads(paths, apart.pads_mm)
        if pad_at is not None:
            pads = "a pad" if count == 1 else f"{count} pads"
            text = (
                f"A run of {circuit} has no way but through {pads}. Runs lie between pads: move what it "
                "feeds off the pad, or set the pad aside of it."
            )
            place = to_plan_mm(pad_at, angle_deg)
            found.append(
                Finding("roughin.through-pad", "check", circuit, text, count, 0.0, "", PRACTICE, place)
            )
    along_mm, at = along_sticks(paths, apart.sticks_mm, apart.half_mm)
    if at is not None:
        text = (
            f"A run of {circuit} has no way but along a sleeper, over {Spoken(units).way(along_mm)}. Runs "
            "lie between sleepers: move what it feeds to the side of the sleeper, or set the sleepers out "
            "anew."
        )
        place = to_plan_mm(at, angle_deg)
        found.append(
            Finding("roughin.along-sleeper", "check", circuit, text, along_mm, 0.0, "mm", PRACTICE, place)
        )
    return tuple(found)
