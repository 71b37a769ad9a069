"""Water under the deck: timber across the fall must leave it room to run."""

import math
from collections.abc import Sequence

from app.job.findings import Finding
from app.job.plan import DeckField
from app.job.spoken import Spoken
from app.takeoff.framing.records import Stick
from app.takeoff.roof.records import RoofReading

_ACROSS_DEG = 15.0  # timber nearer to the fall than this lets water run along it: common practice, no source
_LOOK_EVERY_MM = 300.0
_LEVEL_PCT = 0.1  # a roof flatter than this has no direction; water may come from anywhere


def is_across_fall(start: tuple[float, float], end: tuple[float, float], fall_deg: float) -> bool:
    """Say whether timber lies across the way the water runs.

    Parameters
    ----------
    start, end : tuple of float
        Its ends on plan, in millimetres.
    fall_deg : float
        Direction in which water runs. [deg]

    Returns
    -------
    is_across : bool

    Examples
    --------
    >>> is_across_fall((0, 0), (1000, 0), 270.0), is_across_fall((0, 0), (0, 1000), 270.0)
    (True, False)

    References
    ----------
    Common practice, no source.
    """
    runs_deg = math.degrees(math.atan2(end[1] - start[1], end[0] - start[0]))
    return abs(math.sin(math.radians(runs_deg - fall_deg))) > math.sin(math.radians(_ACROSS_DEG))


def water_findings(
    field: DeckField,
    sticks: Sequence[Stick],
    roof: RoofReading,
    underside_mm: float,
    least_mm: float,
    say: Spoken,
) -> tuple[Finding, ...]:
    """Give a finding when timber across the fall leaves too little room beneath it.

    Parameters
    ----------
    field : DeckField
        The field.
    sticks : sequence of Stick
        Its timber.
    roof : RoofReading
        Surface and fall.
    underside_mm : float
        Underside of the timber above datum. [mm]
    least_mm : float
        Least free height. [mm]
    say : Spoken
        Writes lengths in the job's own system.

    Returns
    -------
    findings : tuple of Finding
        One at the worst place, or none.

    Notes
    -----
    The free height is what the pads lift the timber: underside less membrane, looked at every 300 mm.
    On a roof without fall (below 0.1 %) all timber counts as lying across it.

    References
    ----------
    The limit is the job's own; keeping drainage paths open is common practice, no source.
    """
    across = [
        stick
        for stick in sticks
        if roof.fall_pct < _LEVEL_PCT or is_across_fall(stick.start_mm, stick.end_mm, roof.fall_deg)
    ]
    worst: tuple[float, Stick, tuple[float, float]] | None = None
    dams = set()
    for stick in across:
        steps = max(1, math.ceil(math.dist(stick.start_mm, stick.end_mm) / _LOOK_EVERY_MM))
        for step in range(steps + 1):
            x = stick.start_mm[0] + (stick.end_mm[0] - stick.start_mm[0]) * step / steps
            y = stick.start_mm[1] + (stick.end_mm[1] - stick.start_mm[1]) * step / steps
            free_mm = underside_mm - roof.height_mm(x, y)
            if free_mm < least_mm - 1e-6:
                dams.add(stick.id)
                if worst is None or free_mm < worst[0]:
                    worst = (free_mm, stick, (x, y))
    if worst is None:
        return ()
    free_mm, stick, place = worst
    return (
        Finding(
            code="framing.water-dammed",
            grade="check",
            place=field.id,
            text=f"{len(dams)} sticks lie across the fall with less than {say.length(least_mm)} beneath "
            f"them; at {stick.id} only {say.gap(free_mm)} is left, so water would stand behind it. Raise "
            "the deck, turn the courses so that the sleepers follow the fall, or notch the timber there.",
            value=round(free_mm, 1),
            limit=least_mm,
            unit="mm",
            source="Least free height of the job's limits; common practice, no source",
            at_mm=place,
        ),
    )
