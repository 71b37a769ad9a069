"""Deck fields at levels of their own: how high each lies, and the steps where two of them meet."""

import math
from itertools import combinations

import shapely

from app.job.findings import Finding
from app.job.job import Job
from app.job.spoken import Spoken
from app.takeoff.roof.footprints import field_polygon
from app.takeoff.roof.level import build_up_mm, highest_point
from app.takeoff.roof.records import FieldLevel, LevelStep, LevelWindow
from app.takeoff.roof.surface import Surface

# Two fields nearer than this are walked across from one to the other. Common practice, no source.
SIDE_BY_SIDE_MM = 60.0
SHORTEST_MM = 100.0
# A step lower than this is not seen and trips people; lower than the other it is a joint, not a step.
LEAST_STEP_MM, LEVEL_WITHIN_MM = 100.0, 6.0
LOW_SOURCE = "a step too low to be seen is common practice, no source"


def field_levels(job: Job, surface: Surface, window: LevelWindow) -> tuple[FieldLevel, ...]:
    """Give how high each deck field lies.

    Parameters
    ----------
    job : Job
        Fields and their materials.
    surface : Surface
        The membrane.
    window : LevelWindow
        The level taken for the deck.

    Returns
    -------
    levels : tuple of FieldLevel
        The level of the deck and the field's own offset from it.

    References
    ----------
    Definition.
    """
    least_pad_mm = job.plan.level.least_pad_mm
    return tuple(
        FieldLevel(
            field=field.id,
            level_mm=window.chosen_mm + field.level_offset_mm,
            lowest_mm=highest_point(surface, field_polygon(field)).z_mm
            + build_up_mm(field, job.choices, least_pad_mm),
        )
        for field in job.plan.deck_fields
    )


def level_steps(job: Job) -> tuple[LevelStep, ...]:
    """Give the steps where two deck fields lie side by side at different levels.

    Parameters
    ----------
    job : Job
        Fields with their offsets.

    Returns
    -------
    steps : tuple of LevelStep
        Where they are less than 60 mm apart over at least 100 mm.

    References
    ----------
    Definition; the distance is common practice, no source.
    """
    found = []
    for one, other in combinations(job.plan.deck_fields, 2):
        height_mm = abs(one.level_offset_mm - other.level_offset_mm)
        if height_mm <= LEVEL_WITHIN_MM:
            continue
        lower, upper = sorted((one, other), key=lambda field: field.level_offset_mm)
        near = shapely.buffer(field_polygon(lower), SIDE_BY_SIDE_MM)
        shared = shapely.intersection(field_polygon(upper).boundary, near)
        if shared.length >= SHORTEST_MM:
            middle = shared.centroid
            found.append(
                LevelStep(
                    lower.id, upper.id, height_mm, float(shared.length), float(middle.x), float(middle.y)
                )
            )
    return tuple(found)


def level_step_findings(job: Job, steps: tuple[LevelStep, ...]) -> tuple[Finding, ...]:
    """Give what is to be said where one steps from deck to deck.

    Parameters
    ----------
    job : Job
        Limits, and the steps drawn.
    steps : tuple of LevelStep
        Where two levels meet.

    Returns
    -------
    findings : tuple of Finding
        A note for each; a check where no steps are drawn and one riser is too high, where it is too low to
        be seen, or where the drop asks for a guard.

    References
    ----------
    The job's limits of steps and IRC R312.1.1; the step too low to be seen is common practice, no source.
    """
    say, limits = Spoken(job.units), job.choices.limits
    bridged = {frozenset((drawn.upper, drawn.lower)) for drawn in job.plan.steps}
    found = []
    for step in steps:
        risers = max(1, math.ceil((step.height_mm - 0.05) / limits.greatest_riser_mm))
        is_bridged = frozenset((step.upper, step.lower)) in bridged
        words = (
            f"{step.upper} lies {say.length(step.height_mm)} above {step.lower} along "
            f"{say.length(step.length_mm)}: {risers} riser{'s' if risers > 1 else ''} of "
            f"{say.length(step.height_mm / risers)}."
        )
        is_check = True
        if step.height_mm > limits.guard_drop_mm:
            words += " One can fall from the edge between them; the local code may ask for a guard there."
        elif risers > 1 and not is_bridged:
            words += " Draw steps between them: that is too high for one."
        elif step.height_mm < LEAST_STEP_MM:
            words += " So low a step is easily missed: mark its edge and light it."
        else:
            is_check = False
            words += " Mark its edge and light it."
        found.append(
            Finding(
                code="roof.level-step",
                grade="check" if is_check else "note",
                place=step.upper,
                text=words,
                value=round(step.height_mm, 1),
                limit=limits.greatest_riser_mm,
                unit="mm",
                source=f"{limits.steps_source}; {LOW_SOURCE}",
                at_mm=(step.x_mm, step.y_mm),
            )
        )
    return tuple(found)
