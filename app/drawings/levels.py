"""Level marks: a line at its height, a triangle on it, its name and its height above datum."""

from collections.abc import Sequence
from dataclasses import dataclass

from app.drawings.canvas import HAIR_MM, NARROW_MM, SMALL_MM, Canvas, Pen
from app.job.job import Job
from app.measure.show import format_length
from app.takeoff.chain import Takeoff


@dataclass(frozen=True, slots=True)
class Level:
    """One level worth knowing.

    Attributes
    ----------
    name : str
        What lies there.
    at_mm : float
        Above datum. [mm]
    """

    name: str
    at_mm: float


def level_of_fields(job: Job, takeoff: Takeoff) -> dict[str, float]:
    """Give the level of the boards of each deck field.

    Parameters
    ----------
    job : Job
        Survey, plan and choices.
    takeoff : Takeoff
        Holds the level taken.

    Returns
    -------
    levels_mm : dict of str to float
        By deck field, above datum; empty when no deck is drawn. [mm]

    References
    ----------
    Definition.
    """
    level = takeoff.roof.level
    if level is None:
        return {}
    return {
        field.id: level.chosen_mm + getattr(field, "level_offset_mm", 0.0) for field in job.plan.deck_fields
    }


def draw_levels(canvas: Canvas, levels: Sequence[Level], at_mm: float, system: str) -> None:
    """Draw level marks one below the other, each led to its height.

    Parameters
    ----------
    canvas : Canvas
        Drawing to put them in.
    levels : sequence of Level
        In any order; levels of one height share a mark.
    at_mm : float
        Where the marks begin, along the section. [mm]
    system : str
        ``imperial`` or ``metric``.

    References
    ----------
    Level marks after ISO 129-1, from memory; spread so that none lies over another: definition.
    """
    canvas.layer("levels")
    names: dict[float, list[str]] = {}
    for level in levels:
        names.setdefault(round(level.at_mm, 1), []).append(level.name)
    step = canvas.paper_mm(SMALL_MM * 1.5)
    written = float("-inf")
    for height in sorted(names):
        written = max(height, written + step)
        spot = canvas.paper_mm(2.0)
        knee, words_at = at_mm + canvas.paper_mm(6), at_mm + canvas.paper_mm(11)
        canvas.line(
            ((at_mm - canvas.paper_mm(4), height), (knee, height), (words_at, written)), "level", Pen(HAIR_MM)
        )
        triangle = ((at_mm, height), (at_mm - spot / 2, height + spot), (at_mm + spot / 2, height + spot))
        canvas.polygon(triangle, "level", Pen(NARROW_MM, fill="paper"))
        sign = "+" if height > 0 else "" if height < 0 else "±"
        words = f"{sign}{format_length(height, system)}  {', '.join(names[height])}"
        canvas.text((words_at + canvas.paper_mm(1), written), words, SMALL_MM, anchor="start")
