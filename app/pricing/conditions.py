"""Where an assembly holds: conditions from a fixed list, held against facts of the takeoff."""

from collections.abc import Mapping
from dataclasses import dataclass

from app.job.beside import edges_beside
from app.job.job import Job
from app.pricing.records import Assembly, Condition
from app.takeoff.layout.records import Layout

# Kinds of roof edge, as a condition says them.
BY = {
    "parapet": "by a parapet",
    "wall": "by a wall",
    "guard": "by a guard",
    "open": "by an open edge",
}


@dataclass(frozen=True, slots=True)
class PlaceFacts:
    """What the takeoff knows of one place.

    Attributes
    ----------
    place : str
        Id in the job file.
    edges : tuple of str
        How a deck ends (``plain``, ``bordered``, ``fascia``, ``steps``) and by which roof edges a place
        lies (``by a parapet`` …).
    height_mm : float or None
        Of a wall. [mm]
    fastening : str
        ``face`` or ``clip``; empty where there are no boards.
    """

    place: str
    edges: tuple[str, ...] = ()
    height_mm: float | None = None
    fastening: str = ""


def place_facts(job: Job, layout: Layout) -> tuple[PlaceFacts, ...]:
    """Gather what conditions ask of every place.

    Parameters
    ----------
    job : Job
        Plan and choices.
    layout : Layout
        For the walls as built.

    Returns
    -------
    facts : tuple of PlaceFacts
        Deck fields, walls, boxes and beds.

    References
    ----------
    Definition.
    """
    fastening = {board.id: board.fastening for board in job.choices.boards}
    heights = {wall.wall: wall.height_mm for wall in layout.walls}
    plan = job.plan
    beside = {place: tuple(BY[kind] for kind in kinds) for place, kinds in edges_beside(job).items()}
    with_steps = {steps.upper for steps in plan.steps}
    fields = [
        PlaceFacts(
            field.id,
            edges=(
                "bordered" if field.border_courses else "plain",
                *(("fascia",) if field.has_fascia else ()),
                *(("steps",) if field.id in with_steps else ()),
                *beside[field.id],
            ),
            fastening=fastening.get(field.board, ""),
        )
        for field in plan.deck_fields
    ]
    walls = [
        PlaceFacts(
            wall.id,
            edges=beside[wall.id],
            height_mm=heights.get(wall.id),
            fastening=fastening.get(wall.cladding, ""),
        )
        for wall in plan.feature_walls
    ]
    clad = [(box.id, box.cladding) for box in plan.planters]
    clad += [(box.id, box.cladding) for box in plan.counters]
    clad += [(box.id, box.board) for box in plan.benches]
    boxes = [PlaceFacts(place, beside[place], fastening=fastening.get(board, "")) for place, board in clad]
    beds = [PlaceFacts(bed.id, beside[bed.id]) for bed in plan.stone_beds]
    return (*fields, *walls, *boxes, *beds)


def holds_at(assembly: Assembly, place: str, facts: Mapping[str, PlaceFacts]) -> bool:
    """Tell whether an assembly holds at a place.

    Parameters
    ----------
    assembly : Assembly
        With its conditions.
    place : str
        Id in the job file.
    facts : mapping of str to PlaceFacts
        By place; a place without facts meets no condition.

    Returns
    -------
    holds : bool
        True without conditions.

    References
    ----------
    Definition.
    """
    known = facts.get(place, PlaceFacts(place))
    return all(_is_met(condition, known) for condition in assembly.when)


def in_words(condition: Condition) -> str:
    """Give a condition as a person says it.

    Parameters
    ----------
    condition : Condition
        One of an assembly.

    Returns
    -------
    words : str
        Such as ``walls over 1200 mm``.

    Examples
    --------
    >>> in_words(Condition("wall height", low_mm=1200.0))
    'walls over 1200 mm'

    References
    ----------
    Definition.
    """
    if condition.kind == "edge":
        if condition.value in BY.values():
            return f"what lies {condition.value}"
        return "decks with steps" if condition.value == "steps" else f"decks with a {condition.value} edge"
    if condition.kind == "fastening":
        return f"boards fastened by {condition.value}"
    low = f"over {condition.low_mm:g} mm" if condition.low_mm is not None else ""
    high = f"up to {condition.high_mm:g} mm" if condition.high_mm is not None else ""
    return f"walls {' and '.join(filter(None, (low, high)))}"


def _is_met(condition: Condition, facts: PlaceFacts) -> bool:
    """Hold one condition against one place."""
    if condition.kind == "edge":
        return condition.value in facts.edges
    if condition.kind == "fastening":
        return condition.value == facts.fastening
    height = facts.height_mm
    if height is None:
        return False
    above = condition.low_mm is None or height > condition.low_mm
    return above and (condition.high_mm is None or height <= condition.high_mm)
