"""What a raised floor leaves of the guards round the roof. It measures again; it never approves."""

import shapely

from app.job.choices import Limits
from app.job.findings import Finding
from app.job.job import Job
from app.job.plan import Bench, Counter, Planter
from app.job.survey import Edge
from app.takeoff.roof.footprints import box_ring, field_polygon
from app.takeoff.roof.level import LOOK_EVERY_MM
from app.takeoff.roof.records import GuardReading
from app.takeoff.roof.surface import Surface

# A drop counts within 36 in of the edge (IRC R312.1.1).
NEAR_EDGE_MM = 914.4
GUARD_SOURCE = (
    "IRC R312.1.2: at least 36 in (914 mm) above the adjacent walking surface; IBC §1015.3: at least 42 in "
    "(1067 mm)"
)
DROP_SOURCE = "IRC R312.1.1 and IBC §1015.2: drop of more than 30 in (762 mm) within 36 in of the edge"


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
        Top of the boards above datum. [mm]

    Returns
    -------
    guards : tuple of GuardReading
        One for each parapet, guard or open edge within 914 mm of a deck field.
    findings : tuple of Finding
        A check where less is left than the limit, where the drop was not measured, and where something
        to stand or sit on is set near the edge.

    References
    ----------
    IRC R312.1.1, R312.1.2; IBC §1015.2, §1015.3.
    """
    decks = shapely.union_all([field_polygon(field) for field in job.plan.deck_fields])
    readings: list[GuardReading] = []
    found: list[Finding] = []
    needing: list[tuple[Edge, float, float]] = []
    for edge in job.survey.edges:
        beside = shapely.intersection(
            _edge_line(job, edge), shapely.buffer(decks, NEAR_EDGE_MM, quad_segs=64)
        )
        if edge.kind == "wall" or shapely.length(beside) < 1.0:
            continue
        spots = shapely.get_coordinates(shapely.segmentize(beside, LOOK_EVERY_MM)).tolist()
        lefts = [(remaining_mm(edge.height_mm, level_mm - surface.height_mm(x, y)), (x, y)) for x, y in spots]
        left_mm, at_mm = min(lefts)
        build_up = edge.height_mm - left_mm
        needed_mm = _needed_mm(edge, build_up, job.choices.limits)
        readings.append(GuardReading(edge=edge.id, remaining_mm=left_mm, needed_mm=needed_mm))
        found += _height_findings(edge, left_mm, needed_mm, at_mm)
        if needed_mm > 0.0:
            needing.append((edge, left_mm, needed_mm))
    return tuple(readings), (*found, *_step_up_findings(job, needing))


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
    edge: Edge, left_mm: float, needed_mm: float, at_mm: tuple[float, float]
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
                source=DROP_SOURCE,
                at_mm=at_mm,
            )
        )
    if left_mm < needed_mm - 0.05:
        words = f"{edge.id} stands {left_mm:.0f} mm above the finished deck"
        if left_mm <= 0.0:
            words = f"{edge.id} ends {-left_mm:.0f} mm below the finished deck: there is no guard"
        if edge.kind == "open":
            words = f"{edge.id} is open: there is no guard beside the deck"
        found.append(
            Finding(
                code="roof.guard-low",
                grade="check",
                place=edge.id,
                text=f"{words}; {needed_mm:.0f} mm is asked for. A fall here can kill. The local building "
                "office decides the height, and a licensed engineer how a guard is fixed.",
                value=round(left_mm, 1),
                limit=round(needed_mm, 1),
                unit="mm",
                source=GUARD_SOURCE,
                at_mm=at_mm,
            )
        )
    return found


def _step_up_findings(job: Job, needing: list[tuple[Edge, float, float]]) -> list[Finding]:
    """Say where something to stand or sit on lowers a guard once more, at the edge where least is left."""
    things: tuple[Planter | Bench | Counter, ...] = (
        *job.plan.planters,
        *job.plan.benches,
        *job.plan.counters,
    )
    found = []
    for thing in things:
        shape = shapely.Polygon(box_ring(thing))
        near = [
            (left_mm - thing.height_mm, needed_mm, edge.id)
            for edge, left_mm, needed_mm in needing
            if shapely.distance(_edge_line(job, edge), shape) < NEAR_EDGE_MM
        ]
        above_mm, needed_mm, edge_id = min(near, default=(0.0, 0.0, ""))
        if near and above_mm < needed_mm:
            found.append(
                Finding(
                    code="roof.guard-climb",
                    grade="check",
                    place=thing.id,
                    text=f"{thing.id} stands within {NEAR_EDGE_MM:.0f} mm of {edge_id}: from its top, "
                    f"{above_mm:.0f} mm of guard remain of the {needed_mm:.0f} mm asked for. A person must "
                    "decide whether someone, a child above all, can stand on it; the local code may count "
                    "it as a walking surface.",
                    value=round(above_mm, 1),
                    limit=round(needed_mm, 1),
                    unit="mm",
                    source=GUARD_SOURCE,
                    at_mm=(thing.x_mm, thing.y_mm),
                )
            )
    return found
