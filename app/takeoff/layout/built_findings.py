"""What boxes, lids, steps and stone beds have to say."""

from app.job.findings import Finding
from app.job.job import Job
from app.job.plan import Steps
from app.job.spoken import Spoken
from app.takeoff.layout.records import BedLayout, BoxLayout
from app.takeoff.layout.steps import flight_of
from app.takeoff.roof.records import RoofReading


def built_findings(
    job: Job, roof: RoofReading, boxes: tuple[BoxLayout, ...], beds: tuple[BedLayout, ...]
) -> tuple[Finding, ...]:
    """Give what is to be said of boxes, steps and beds as built.

    Parameters
    ----------
    job : Job
        As drawn.
    roof : RoofReading
        Levels and membrane.
    boxes : tuple of BoxLayout
        Planters, benches, counters and steps.
    beds : tuple of BedLayout
        Stone beds.

    Returns
    -------
    findings : tuple of Finding
        Lids that can fall, steps out of the usual measures, boxes that must be reached under stone.

    References
    ----------
    Each finding names its own.
    """
    say = Spoken(job.units)
    return (
        *(_lid_finding(box) for box in boxes if box.lids),
        *(finding for steps in job.plan.steps for finding in _step_findings(job, steps, roof, say)),
        *(_bed_finding(bed, say) for bed in beds if bed.boxes_inside),
    )


def _lid_finding(box: BoxLayout) -> Finding:
    """Tell of lids: they fall on fingers and children climb in."""
    lids = "a lid" if box.lids == 1 else f"{box.lids} lids"
    return Finding(
        code="layout.bench-lid",
        grade="note",
        place=box.box,
        text=f"{box.box} has {lids} in its seat. A lid that falls can crush fingers and shut a child in: fit "
        "a stay that holds it open, leave a finger gap and holes for air, and no latch.",
        source="Common practice, no source",
    )


def _step_findings(job: Job, steps: Steps, roof: RoofReading, say: Spoken) -> list[Finding]:
    """Hold steps against the usual measures, for the local office to confirm."""
    limits = job.choices.limits
    flight = flight_of(steps, roof, limits.greatest_riser_mm)
    if flight.risers == 0:
        return [
            Finding(
                code="layout.steps-level",
                grade="stop",
                place=steps.id,
                text=f"{steps.id} has nothing to climb: {steps.upper} does not lie above where it comes "
                "down. Look at the levels, or leave the steps out.",
                value=round(flight.rise_mm, 1),
                limit=0.0,
                unit="mm",
                source="Definition",
            )
        ]
    words = (
        f"{steps.id} climbs {say.length(flight.rise_mm)} in {flight.risers} riser"
        f"{'s' if flight.risers > 1 else ''} of {say.length(flight.riser_mm)}."
    )
    asks = []
    least_mm = limits.least_tread_mm
    if flight.risers > 1 and steps.going_mm < least_mm - 0.05:
        asks.append(f"Its treads are {say.length(steps.going_mm)} deep, less than {say.length(least_mm)}.")
    if flight.risers >= limits.handrail_risers:
        asks.append(f"From {limits.handrail_risers} risers on a handrail is usually asked for.")
    drop_mm = limits.guard_drop_mm
    if flight.rise_mm > drop_mm:
        asks.append(
            f"Its open sides fall {say.length(flight.rise_mm)}, more than {say.length(drop_mm)}: a guard is "
            "usually asked for there too."
        )
    ending = "The local code decides." if asks else "All risers must be alike; mark and light their edges."
    return [
        Finding(
            code="layout.steps",
            grade="check" if asks else "note",
            place=steps.id,
            text=" ".join((words, *asks, ending)),
            value=round(flight.riser_mm, 1),
            limit=limits.greatest_riser_mm,
            unit="mm",
            source=limits.steps_source or "No source is written beside the limits of steps",
            at_mm=(steps.x_mm, steps.y_mm),
        )
    ]


def _bed_finding(bed: BedLayout, say: Spoken) -> Finding:
    """Ask that boxes in a stone bed can be reached."""
    names = ", ".join(bed.boxes_inside)
    return Finding(
        code="layout.bed-boxes",
        grade="check",
        place=bed.bed,
        text=f"{names} stand in {bed.bed}, under stone. Their junction boxes must be reached without "
        "digging: set each on a riser with its lid at the top of the stone, or outside the bed. A licensed "
        "electrician decides.",
        value=float(len(bed.boxes_inside)),
        source="NEC 314.29 (boxes accessible; from memory)",
    )
