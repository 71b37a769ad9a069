"""What the boarding of a deck field has to say: runs, gaps, rips, and what was assumed."""

from app.job.findings import Assumption, Finding
from app.job.job import Job
from app.job.plan import DeckField
from app.job.spoken import Spoken
from app.takeoff.layout.end_gaps import run_rule
from app.takeoff.layout.fields import BoardedField
from app.takeoff.layout.pieces import RIP_TOLERANCE_MM
from app.takeoff.layout.records import Piece

# Open corners together larger than half a hand. Common practice, no source.
WORTH_SAYING_MM2 = 5000.0
GAP_SOURCE = "Growth: expansion × run × (hottest − fitting); the maker's instructions override it"


def field_findings(field: DeckField, boarded: BoardedField, job: Job) -> tuple[Finding, ...]:
    """Give what is wrong or worth knowing about the boards of one field.

    Parameters
    ----------
    field : DeckField
        As drawn.
    boarded : BoardedField
        As boarded.
    job : Job
        Survey and choices.

    Returns
    -------
    findings : tuple of Finding
        Nothing fits; runs shorter than two boards are wide; end gaps over the board's greatest; gaps that
        open wide in winter; rips under half a board.

    References
    ----------
    Definition of the linear expansion coefficient; half a board is common practice, no source.
    """
    courses = [piece for piece in boarded.pieces if piece.role == "course"]
    say = Spoken(job.units)
    return (
        *_no_boards(field, boarded, say),
        *_run_short(field, boarded, job, say),
        *_gap_findings(field, boarded, job, say),
        *_narrow_rips(field, boarded, courses, say),
        *_left_open(field, boarded, say),
    )


def _no_boards(field: DeckField, boarded: BoardedField, say: Spoken) -> list[Finding]:
    """Stop when nothing could be laid."""
    if boarded.pieces:
        return []
    return [
        Finding(
            code="layout.no-boards",
            grade="stop",
            place=field.id,
            text=f"No board fits into {field.id}: once the clearances are taken off, "
            f"{say.area(boarded.layout.area_m2)} are left. Draw it larger or leave it out.",
            value=round(boarded.layout.area_m2, 3),
            unit="m2",
            source="Definition",
        )
    ]


def _run_short(field: DeckField, boarded: BoardedField, job: Job, say: Spoken) -> list[Finding]:
    """Stop when the run allowed is hardly longer than a board is wide."""
    board, survey = boarded.board, job.survey
    asked = run_rule(board, survey.temperatures, survey.way_up, job.choices.cutting, field.longest_run_mm)
    if asked.limit_mm >= 2.0 * board.width_mm:
        return []
    return [
        Finding(
            code="layout.run-short",
            grade="stop",
            place=field.id,
            text=f"Boards of {field.id} may run only {say.length(asked.limit_mm)} (set by the "
            f"{asked.reason}); that is less than two boards are wide, so {say.length(boarded.rule.limit_mm)} "
            "is drawn instead. Look at the longest run, the temperatures, the stock lengths and the way up.",
            value=round(asked.limit_mm, 1),
            limit=round(2.0 * board.width_mm, 1),
            unit="mm",
            source="Common practice, no source",
        )
    ]


def _gap_findings(field: DeckField, boarded: BoardedField, job: Job, say: Spoken) -> list[Finding]:
    """Hold the end gap on the day of fitting, and in the cold, against the board's greatest gap."""
    gap_mm, board = boarded.layout.end_gap_mm, boarded.board
    winter_mm = winter_gap_mm(boarded)
    temperatures = job.survey.temperatures
    if gap_mm > board.greatest_gap_mm + 0.05:
        return [
            Finding(
                code="layout.end-gap-wide",
                grade="check",
                place=field.id,
                text=f"A run of {say.length(boarded.layout.run_mm)} of {board.name} needs an end gap of "
                f"{say.gap(gap_mm)} at {say.warmth(temperatures.fitting_c)}, more than the "
                f"{say.gap(board.greatest_gap_mm)} its maker allows. Shorten the longest run or ask the "
                "maker.",
                value=round(gap_mm, 2),
                limit=board.greatest_gap_mm,
                unit="mm",
                source=GAP_SOURCE,
            )
        ]
    if winter_mm > board.greatest_gap_mm + 0.05:
        return [
            Finding(
                code="layout.winter-gap",
                grade="note",
                place=field.id,
                text=f"At {say.warmth(temperatures.lowest_c)} the end gaps of {field.id} can open to "
                f"{say.gap(winter_mm)}. Tell the client; a heel or a chair leg may catch.",
                value=round(winter_mm, 2),
                limit=board.greatest_gap_mm,
                unit="mm",
                source="Shrinkage: expansion × run × (fitting − coldest), all at one joint",
            )
        ]
    return []


def winter_gap_mm(boarded: BoardedField) -> float:
    """Give how wide an end gap can open in the cold.

    Parameters
    ----------
    boarded : BoardedField
        Run, gap and expansion.

    Returns
    -------
    gap_mm : float
        With the whole shrinkage of a run at one joint. [mm]

    References
    ----------
    Definition of the linear expansion coefficient.
    """
    return boarded.layout.end_gap_mm + boarded.rule.shrink_per_mm * boarded.layout.run_mm


def _narrow_rips(field: DeckField, boarded: BoardedField, courses: list[Piece], say: Spoken) -> list[Finding]:
    """Note courses ripped to under half a board, which the shape of the field makes unavoidable."""
    half_mm = boarded.board.width_mm / 2.0
    rips = [
        (piece.width_mm, piece.outline_mm[0])
        for piece in courses
        if piece.width_mm < half_mm - RIP_TOLERANCE_MM
    ]
    narrow = [*rips, *boarded.tongues]
    if not narrow:
        return []
    least_mm, at_mm = min(narrow)
    counts = ((len(rips), "ripped"), (len(boarded.tongues), "left beside a notch"))
    how_many = " and ".join(f"{count} {words}" for count, words in counts if count)
    return [
        Finding(
            code="layout.narrow-rip",
            grade="note",
            place=field.id,
            text=f"Less than half a board in {field.id}: {how_many}, the narrowest {say.length(least_mm)}. "
            "Its outline or a clearance leaves no more there although the first and the last course are "
            "balanced. Fix them well or move the outline.",
            value=round(least_mm, 1),
            limit=round(half_mm, 1),
            unit="mm",
            source="Common practice, no source",
            at_mm=at_mm,
        )
    ]


def _left_open(field: DeckField, boarded: BoardedField, say: Spoken) -> list[Finding]:
    """Note corners that no board covers."""
    if boarded.dropped_mm2 < WORTH_SAYING_MM2:
        return []
    return [
        Finding(
            code="layout.left-open",
            grade="note",
            place=field.id,
            text=f"{say.patch(boarded.dropped_mm2)} of {field.id} stay open: corners too sharp for a "
            "board or strips too narrow to fix. Look at the drawing and ease those corners.",
            value=round(boarded.dropped_mm2 / 100.0, 1),
            limit=WORTH_SAYING_MM2 / 100.0,
            unit="cm2",
            source="Common practice, no source",
        )
    ]


def field_assumption(field: DeckField, boarded: BoardedField, job: Job) -> Assumption:
    """State how runs and gaps of one field were set.

    Parameters
    ----------
    field : DeckField
        As drawn.
    boarded : BoardedField
        As boarded.
    job : Job
        Temperatures.

    Returns
    -------
    assumption : Assumption
        Limit and its reason, end gap at fitting, in the heat and in the cold.

    References
    ----------
    Definition.
    """
    layout, rule, range_c = boarded.layout, boarded.rule, job.survey.temperatures
    say = Spoken(job.units)
    summer_mm = layout.end_gap_mm - rule.swell_per_mm * layout.run_mm
    text = (
        f"{field.id}: runs up to {say.length(rule.limit_mm)}, set by the {rule.reason}; the longest is "
        f"{say.length(layout.run_mm)}. End gaps {say.gap(layout.end_gap_mm)} when fitted at "
        f"{say.warmth(range_c.fitting_c)}, {say.gap(max(summer_mm, 0.0))} at {say.warmth(range_c.highest_c)} "
        f"and {say.gap(winter_gap_mm(boarded))} at {say.warmth(range_c.lowest_c)}. Shims to set them with: "
        f"{say.shim(layout.end_shim_mm)} between ends, {say.shim(layout.side_shim_mm)} between courses."
    )
    return Assumption("layout.end-gaps", text, f"{GAP_SOURCE}; expansion: {boarded.board.expansion_source}")
