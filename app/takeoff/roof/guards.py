"""What a raised floor leaves of the guards round the roof. It measures again; it never approves."""

from dataclasses import dataclass

import shapely

from app.job.choices import Limits
from app.job.findings import Finding
from app.job.job import Job
from app.job.plan import Bench, Counter, DeckField, Planter
from app.job.spoken import Spoken
from app.job.survey import Edge
from app.takeoff.roof.footprints import box_ring, field_polygon
from app.takeoff.roof.level import LOOK_EVERY_MM
from app.takeoff.roof.records import GuardReading
from app.takeoff.roof.surface import Surface

# A drop counts within 36 in of the edge (IRC R312.1.1).
NEAR_EDGE_MM = 914.4


@dataclass(frozen=True)
class _Needing:
    """An edge that asks for a guard, what is left of it, and the deck of that level."""

    edge: Edge
    left_mm: float
    needed_mm: float
    deck: shapely.Geometry


def remaining_mm(height_above_membrane_mm: float, build_up_mm: float) -> float:
    """Give what is left of a guard above a raised floor.

    Parameters
    ----------
    height_above_membrane_mm : float
        Top of the guard above the membrane. [mm]
    build_up_mm : float
        Top of the boards above the membrane there. [mm]

    Returns
    -------
    remaining_mm : float
        Top of the guard above the boards; below zero when the boards are higher. [mm]

    Examples
    --------
    >>> remaining_mm(1066.8, 203.2)  # 42 in less 8 in leaves 34 in
    863.6

    References
    ----------
    Definition; IRC R312.1.2 measures above the adjacent walking surface.
    """
    return height_above_membrane_mm - build_up_mm


def guards_beside_decks(
    job: Job, surface: Surface, level_mm: float
) -> tuple[tuple[GuardReading, ...], tuple[Finding, ...]]:
    """Measure every guard near a deck again, from the top of the boards.

    Parameters
    ----------
    job : Job
        Edges, fields, limits.
    surface : Surface
        The membrane.
    level_mm : float
        Top of the boards above datum; a field lies above or below it by its own offset. [mm]

    Returns
    -------
    guards : tuple of GuardReading
        One for each parapet, guard or open edge within 914 mm of a deck field, and for each level there.
    findings : tuple of Finding
        A check where less is left than the limit, where the drop was not measured, and where something
        to stand or sit on is set near the edge.

    References
    ----------
    IRC R312.1.1, R312.1.2; IBC §1015.2, §1015.3 (from memory).
    """
    say = Spoken(job.units)
    decks = _decks_by_level(job)
    readings: list[GuardReading] = []
    found: list[Finding] = []
    needing: list[_Needing] = []
    for edge in job.survey.edges:
        if edge.kind == "wall":
            continue
        least: tuple[float, tuple[float, float], float] | None = None
        for offset_mm, fields, shape, near in decks:
            beside = shapely.intersection(_edge_line(job, edge), near)
            if shapely.length(beside) < 1.0:
                continue
            spots = shapely.get_coordinates(shapely.segmentize(beside, LOOK_EVERY_MM)).tolist()
            top_mm = level_mm + offset_mm
            lefts = [
                (remaining_mm(edge.height_mm, top_mm - surface.height_mm(x, y)), (x, y)) for x, y in spots
            ]
            left_mm, at_mm = min(lefts)
            needed_mm = _needed_mm(edge, edge.height_mm - left_mm, job.choices.limits)
            by = tuple(
                field.id for field in fields if shapely.dwithin(field_polygon(field), beside, NEAR_EDGE_MM)
            )
            readings.append(GuardReading(edge.id, left_mm, needed_mm, top_mm, by))
            least = min(least or (left_mm, at_mm, needed_mm), (left_mm, at_mm, needed_mm))
            if needed_mm > 0.0:
                needing.append(_Needing(edge, left_mm, needed_mm, shape))
        if least is not None:
            left_mm, at_mm, needed_mm = least
            found += _height_findings(edge, left_mm, needed_mm, at_mm, job.choices.limits, say)
    return tuple(readings), (*found, *_step_up_findings(job, needing, say))


def _decks_by_level(
    job: Job,
) -> list[tuple[float, tuple[DeckField, ...], shapely.Geometry, shapely.Geometry]]:
    """Give the decks of each level: offset, fields, their area, and all within reach of it."""
    levels: dict[float, list[DeckField]] = {}
    for field in job.plan.deck_fields:
        levels.setdefault(field.level_offset_mm, []).append(field)
    shapes = {
        offset_mm: shapely.union_all([field_polygon(field) for field in fields])
        for offset_mm, fields in levels.items()
    }
    return [
        (
            offset_mm,
            tuple(fields),
            shapes[offset_mm],
            shapely.buffer(shapes[offset_mm], NEAR_EDGE_MM, quad_segs=64),
        )
        for offset_mm, fields in levels.items()
    ]


def _edge_line(job: Job, edge: Edge) -> shapely.LineString:
    """Give an edge on plan."""
    corners = job.survey.outline_mm
    return shapely.LineString([corners[edge.from_corner], corners[(edge.from_corner + 1) % len(corners)]])


def _needed_mm(edge: Edge, build_up_mm: float, limits: Limits) -> float:
    """Give the guard height to hold the edge against; the raised floor makes the drop deeper."""
    if edge.drop_mm is None or edge.drop_mm + build_up_mm >= limits.guard_drop_mm:
        return limits.guard_height_mm
    return 0.0


def _height_findings(
    edge: Edge, left_mm: float, needed_mm: float, at_mm: tuple[float, float], limits: Limits, say: Spoken
) -> list[Finding]:
    """Say what is missing, and whether the drop is known."""
    found = []
    if edge.drop_mm is None:
        found.append(
            Finding(
                code="roof.guard-drop-unknown",
                grade="check",
                place=edge.id,
                text=f"How far one can fall beyond {edge.id} was not measured. Measure it: it decides "
                "whether a guard is required there. Until then the edge is held against the full guard "
                "height.",
                source=limits.guard_drop_source,
                at_mm=at_mm,
            )
        )
    if left_mm < needed_mm - 0.05:
        words = f"{edge.id} stands {say.length(left_mm)} above the finished deck"
        if left_mm <= 0.0:
            words = f"{edge.id} ends {say.length(-left_mm)} below the finished deck: there is no guard"
        if edge.kind == "open":
            words = f"{edge.id} is open: there is no guard beside the deck"
        found.append(
            Finding(
                code="roof.guard-low",
                grade="check",
                place=edge.id,
                text=f"{words}; {say.length(needed_mm)} is asked for. A fall here can kill. The local "
                "building office decides the height, and a licensed engineer how a guard is fixed.",
                value=round(left_mm, 1),
                limit=round(needed_mm, 1),
                unit="mm",
                source=limits.guard_height_source,
                at_mm=at_mm,
            )
        )
    return found


def _left(above_mm: float, say: Spoken) -> str:
    """Say how much guard remains, if any."""
    return f"{say.length(above_mm)} of guard remain" if above_mm > 0.0 else "no guard remains"


def _step_up_findings(job: Job, needing: list[_Needing], say: Spoken) -> list[Finding]:
    """Say where something to stand or sit on lowers a guard once more, at the edge where least is left."""
    things: tuple[Planter | Bench | Counter, ...] = (
        *job.plan.planters,
        *job.plan.benches,
        *job.plan.counters,
    )
    found = []
    for thing in things:
        shape = shapely.Polygon(box_ring(thing))
        on_it = [guard for guard in needing if shapely.intersects(guard.deck, shape.centroid)]
        near = [
            (guard.left_mm - thing.height_mm, guard.needed_mm, guard.edge.id)
            for guard in on_it or needing
            if shapely.distance(_edge_line(job, guard.edge), shape) < NEAR_EDGE_MM
        ]
        above_mm, needed_mm, edge_id = min(near, default=(0.0, 0.0, ""))
        if near and above_mm < needed_mm:
            found.append(
                Finding(
                    code="roof.guard-climb",
                    grade="check",
                    place=thing.id,
                    text=f"{thing.id} stands within {say.length(NEAR_EDGE_MM)} of {edge_id}: from its top, "
                    f"{_left(above_mm, say)} of the {say.length(needed_mm)} asked for. A "
                    "person must decide whether someone, a child above all, can stand on it; the local code "
                    "may count it as a walking surface.",
                    value=round(above_mm, 1),
                    limit=round(needed_mm, 1),
                    unit="mm",
                    source=job.choices.limits.guard_height_source,
                    at_mm=(thing.x_mm, thing.y_mm),
                )
            )
    return found
