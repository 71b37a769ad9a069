"""Values that nobody has read in print yet: told as a check until the job names where they come from."""

from app.job.findings import Finding
from app.job.job import Job
from app.job.spoken import Spoken
from app.measure.show import format_quantity
from app.takeoff.totals.weather import has_unread_height_factor

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
    limits, say = job.choices.limits, Spoken(job.units)
    unread = []
    if has_guards and UNREAD in limits.guard_height_source:
        unread.append(f"guard height {say.length(limits.guard_height_mm)} (limits)")
    if has_guards and UNREAD in limits.guard_drop_source:
        unread.append(f"drop of {say.length(limits.guard_drop_mm)} that asks for a guard (limits)")
    if UNREAD in job.choices.masses.source:
        unread.append("masses of small goods (masses)")
    if UNREAD in limits.steps_source and (job.plan.steps or _is_stepped(job)):
        unread.append(
            f"greatest riser {say.length(limits.greatest_riser_mm)} and least tread "
            f"{say.length(limits.least_tread_mm)} of steps, handrail from {limits.handrail_risers} risers on "
            "(limits)"
        )
    if job.survey.wind is not None and has_unread_height_factor(job.survey.wind):
        unread.append("height factor of the wind by ASCE 7-22 (wind)")
    used = _boards_used(job)
    unread += [
        f"mass of {board.name or board.id}, "
        f"{format_quantity(board.mass_kg_m, 'mass per length', job.units)} (boards)"
        for board in job.choices.boards
        if board.id in used and (not board.mass_source or UNREAD in board.mass_source)
    ]
    unread += [
        f"expansion of {board.name or board.id} (boards)"
        for board in job.choices.boards
        if board.id in used and (not board.expansion_source or UNREAD in board.expansion_source)
    ]
    unread += [
        f"reach of {board.name or board.id} between sleepers (boards)"
        for board in job.choices.boards
        if board.id in used and board.greatest_span_mm and _is_unread(board.span_source)
    ]
    unread += _others(job)
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


def _others(job: Job) -> list[str]:
    """Give the media, stones, pads and pedestals in use whose figures nobody has named a source for."""
    plan, choices = job.plan, job.choices
    media = {planter.medium for planter in plan.planters}
    stones = {bed.stone for bed in plan.stone_beds}
    pads = {field.pad for field in plan.deck_fields}
    sources = [
        *((f"density of {m.name or m.id} (media)", m.source) for m in choices.media if m.id in media),
        *((f"density of {s.name or s.id} (stones)", s.source) for s in choices.stones if s.id in stones),
        *((f"limit of {p.name or p.id} (pads)", p.limit_source) for p in choices.pads if p.id in pads),
    ]
    if plan.level.tall_pads == "pedestal":
        sources += [(f"limit of {p.name or p.id} (pedestals)", p.limit_source) for p in choices.pedestals]
    return [words for words, source in sources if _is_unread(source)]


def _is_unread(source: str) -> bool:
    """Whether nobody has read a value in print."""
    return not source.strip() or UNREAD in source


def _is_stepped(job: Job) -> bool:
    """Whether decks lie at levels of their own."""
    return len({field.level_offset_mm for field in job.plan.deck_fields}) > 1


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
