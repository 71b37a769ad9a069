"""Values that nobody has read in print yet: told as a check until the job names where they come from."""

from app.job.findings import Finding
from app.job.job import Job

UNREAD = "from memory"


def memory_findings(job: Job, *, has_guards: bool) -> tuple[Finding, ...]:
    """Give a check that names every value in use that is from memory or has no source.

    Parameters
    ----------
    job : Job
        Its choices, with the source written beside each value.
    has_guards : bool
        Whether any edge was held against the guard height.

    Returns
    -------
    findings : tuple of Finding
        One at most; empty once every source is written down.

    References
    ----------
    Definition: a source that says "from memory", or says nothing, was not read in print.
    """
    limits = job.choices.limits
    unread = []
    if has_guards and UNREAD in limits.guard_height_source:
        unread.append(f"guard height {limits.guard_height_mm:.0f} mm (limits)")
    if has_guards and UNREAD in limits.guard_drop_source:
        unread.append(f"drop of {limits.guard_drop_mm:.0f} mm that asks for a guard (limits)")
    if UNREAD in job.choices.masses.source:
        unread.append("masses of small goods (masses)")
    used = _boards_used(job)
    unread += [
        f"mass of {board.name or board.id}, {board.mass_kg_m:g} kg/m (boards)"
        for board in job.choices.boards
        if board.id in used and (not board.mass_source or UNREAD in board.mass_source)
    ]
    unread += [
        f"expansion of {board.name or board.id} (boards)"
        for board in job.choices.boards
        if board.id in used and (not board.expansion_source or UNREAD in board.expansion_source)
    ]
    if not unread:
        return ()
    return (
        Finding(
            code="totals.from-memory",
            grade="check",
            place="job",
            text=f"From memory or without a source: {'; '.join(unread)}. Read each in print or on its "
            "maker's sheet, correct it if need be, and write the source beside it in the choices.",
            value=float(len(unread)),
            unit="values",
            source="Definition",
        ),
    )


def _boards_used(job: Job) -> set[str]:
    """Give the boards that the plan asks for."""
    plan = job.plan
    return {
        *(field.board for field in plan.deck_fields),
        *(field.fascia for field in plan.deck_fields if field.fascia),
        *(wall.cladding for wall in plan.feature_walls),
        *(planter.cladding for planter in plan.planters),
        *(bench.board for bench in plan.benches),
        *(counter.cladding for counter in plan.counters),
        *(steps.board for steps in plan.steps),
    }
