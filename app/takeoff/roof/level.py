"""How high the deck lies: above the highest roof point under it, below the lowest threshold."""

from dataclasses import dataclass, replace

import shapely

from app.job.choices import Choices
from app.job.findings import Finding
from app.job.job import Job
from app.job.plan import DeckField
from app.job.spoken import Spoken
from app.job.survey import Door
from app.takeoff.roof.footprints import field_polygon
from app.takeoff.roof.records import LevelWindow
from app.takeoff.roof.surface import Surface

# A door opens onto a field that comes within the 36 in of a landing (IRC R311.3).
LANDING_MM = 914.4
# IRC R311.3.1 and R311.3.2, 1½ in and 7¾ in at 25.4 mm to the inch.
STEP_AT_EXIT_MM = 38.1
STEP_ELSEWHERE_MM = 196.85
# The triangulated surface bends beyond the spot heights too; it is looked at this often along an outline.
LOOK_EVERY_MM = 250.0


@dataclass(frozen=True, slots=True)
class HighPoint:
    """The highest place of the membrane under a field.

    Attributes
    ----------
    x_mm, y_mm, z_mm : float
        Where, and how high above datum. [mm]
    """

    x_mm: float
    y_mm: float
    z_mm: float


def highest_point(surface: Surface, polygon: shapely.Polygon) -> HighPoint:
    """Give the highest place of the membrane under a polygon.

    Parameters
    ----------
    surface : Surface
        The membrane.
    polygon : shapely.Polygon
        A deck field.

    Returns
    -------
    highest : HighPoint
        Exact: a plane is highest at a corner; a triangulated surface at a corner, at a spot height, or
        where the outline crosses the side of a triangle.

    References
    ----------
    A piecewise linear function on a polygon is greatest at a vertex of the pieces.
    """
    if surface.zones:
        return _highest_of_zones(surface, polygon)
    places = [tuple(place) for place in shapely.get_coordinates(polygon).tolist()]
    if surface.triangles:
        corners = surface.corners_mm
        sides = {
            (min(one, other), max(one, other))
            for a, b, c in surface.triangles
            for one, other in ((a, b), (b, c), (c, a))
        }
        lines = shapely.multilinestrings(
            [[corners[one][:2], corners[other][:2]] for one, other in sorted(sides)]
        )
        within = shapely.intersection(lines, polygon)
        edge = shapely.segmentize(polygon, LOOK_EVERY_MM)
        places += [
            tuple(place) for shape in (within, edge) for place in shapely.get_coordinates(shape).tolist()
        ]
    return max((HighPoint(x, y, surface.height_mm(x, y)) for x, y in places), key=lambda point: point.z_mm)


def _highest_of_zones(surface: Surface, polygon: shapely.Polygon) -> HighPoint:
    """Give the highest place, each zone by its own surface."""
    rest, found = polygon, []
    main = replace(surface, zones=(), height_mm=surface.own_height_mm or surface.height_mm)
    for _, shape, zone in surface.zones:
        found += [highest_point(zone, part) for part in _polygons(shapely.intersection(polygon, shape))]
        rest = shapely.difference(rest, shape)
    found += [highest_point(main, part) for part in _polygons(rest)]
    return max(found, key=lambda point: point.z_mm)


def _polygons(shape: shapely.Geometry) -> list[shapely.Polygon]:
    """Give the areas of an overlay, without its lines and points."""
    return [part for part in shapely.get_parts(shape) if part.geom_type == "Polygon" and part.area > 1.0]


def doors_onto_decks(job: Job) -> tuple[Door, ...]:
    """Give the doors that open onto a deck field.

    Parameters
    ----------
    job : Job
        Doors and fields.

    Returns
    -------
    doors : tuple of Door
        Those whose middle lies within a landing's length (914 mm) of a field.

    References
    ----------
    IRC R311.3 (landing at least 36 in deep).
    """
    return tuple(door for door, _ in _doors_with_fields(job))


def _doors_with_fields(job: Job) -> list[tuple[Door, DeckField]]:
    """Give the doors that open onto a deck, each with the field nearest to it (of two, the higher)."""
    fields = [(field_polygon(field), field) for field in job.plan.deck_fields]
    found = []
    for door in job.survey.doors:
        spot = shapely.Point(door.x_mm, door.y_mm)
        near = [
            (away_mm, -field.level_offset_mm, number, field)
            for number, (shape, field) in enumerate(fields)
            if (away_mm := round(float(shapely.distance(shape, spot)), 1)) <= LANDING_MM
        ]
        if near:
            found.append((door, min(near)[3]))
    return found


def build_up_mm(field: DeckField, choices: Choices, least_pad_mm: float) -> float:
    """Give the least height from the membrane to the top of the boards.

    Parameters
    ----------
    field : DeckField
        Names its board and sleeper.
    choices : Choices
        Their sizes.
    least_pad_mm : float
        Thinnest pad and shims. [mm]

    Returns
    -------
    height_mm : float
        Pad, sleeper and board together. [mm]

    References
    ----------
    Definition.
    """
    sleeper = next(section for section in choices.sections if section.id == field.sleeper)
    board = next(board for board in choices.boards if board.id == field.board)
    return least_pad_mm + sleeper.depth_mm + board.thickness_mm


def level_window(job: Job, surface: Surface) -> tuple[LevelWindow | None, tuple[Finding, ...]]:
    """Give where the top of the boards may lie, the level taken, and what stands against it.

    Parameters
    ----------
    job : Job
        Fields, their materials, doors and the level asked for.
    surface : Surface
        The membrane.

    Returns
    -------
    window : LevelWindow or None
        None when no deck is drawn. With no level typed the highest allowed is taken, the lowest when no
        door opens onto a deck or when the window is empty.
    findings : tuple of Finding
        A stop when the window is empty or the typed level is outside it; steps at doors.

    References
    ----------
    Definition; steps at doors after IRC R311.3.1 and R311.3.2.
    """
    level, fields = job.plan.level, job.plan.deck_fields
    if not fields:
        return None, ()
    needs = []
    for field in fields:
        high = highest_point(surface, field_polygon(field))
        need_mm = high.z_mm + build_up_mm(field, job.choices, level.least_pad_mm) - field.level_offset_mm
        needs.append((need_mm, field, high))
    lowest_mm, tightest, high = max(needs, key=lambda need: need[0])
    doors = _doors_with_fields(job)
    ceiling = min(doors, key=lambda pair: pair[0].threshold_mm - pair[1].level_offset_mm, default=None)
    highest_mm = None
    if ceiling is not None:
        highest_mm = ceiling[0].threshold_mm - level.step_below_threshold_mm - ceiling[1].level_offset_mm
    is_empty = highest_mm is not None and highest_mm < lowest_mm - 0.05
    chosen_mm = lowest_mm if highest_mm is None or is_empty else highest_mm
    if level.level_mm is not None:
        chosen_mm = level.level_mm
    window = LevelWindow(lowest_mm=lowest_mm, highest_mm=highest_mm, chosen_mm=chosen_mm)
    found: list[Finding] = []
    if is_empty and ceiling is not None:
        found.append(_empty_window(window, tightest, high, ceiling[0], Spoken(job.units)))
    elif level.level_mm is not None:
        found.extend(_outside_window(window, Spoken(job.units)))
    for door, field in doors:
        found.extend(_step_findings(door, chosen_mm + field.level_offset_mm, Spoken(job.units)))
    return window, tuple(found)


def _empty_window(window: LevelWindow, field: DeckField, high: HighPoint, door: Door, say: Spoken) -> Finding:
    """Say that no level fits, with both numbers."""
    own = f" (itself {say.length(field.level_offset_mm)} off that level)" if field.level_offset_mm else ""
    return Finding(
        code="roof.no-level-fits",
        grade="stop",
        place=field.id,
        text=f"No deck level fits: over the highest roof point under {field.id}{own} the boards need "
        f"{say.length(window.lowest_mm)} above datum, but below the threshold of {door.id} they may lie at "
        f"{say.length(window.highest_mm or 0.0)} at most. Use a thinner build-up, move the field, or change "
        "the door.",
        value=round(window.lowest_mm, 1),
        limit=round(window.highest_mm or 0.0, 1),
        unit="mm",
        source="Definition: highest roof point + least pad + sleeper + board against threshold − step",
        at_mm=(high.x_mm, high.y_mm),
    )


def _outside_window(window: LevelWindow, say: Spoken) -> list[Finding]:
    """Say on which side the typed level leaves the window."""
    chosen, lowest, highest = window.chosen_mm, window.lowest_mm, window.highest_mm
    if chosen < lowest - 0.05:
        limit, words = lowest, f"below {say.length(lowest)}, the least that the build-up needs over the roof"
    elif highest is not None and chosen > highest + 0.05:
        limit = highest
        words = f"above {say.length(highest)}, the most that the step below the threshold leaves"
    else:
        return []
    return [
        Finding(
            code="roof.level-outside-window",
            grade="stop",
            place="job",
            text=f"The deck level typed, {say.length(chosen)} above datum, is {words}.",
            value=round(chosen, 1),
            limit=round(limit, 1),
            unit="mm",
            source="Definition: highest roof point + least build-up to threshold − step",
        )
    ]


def _step_findings(door: Door, level_mm: float, say: Spoken) -> list[Finding]:
    """Hold the step at a door against the code's figures, for the local office to confirm."""
    step_mm = door.threshold_mm - level_mm
    over_landing = door.is_required_exit and door.swing == "out"
    limit_mm = STEP_AT_EXIT_MM if over_landing else STEP_ELSEWHERE_MM
    source = "IRC R311.3.1 (1½ in; 7¾ in where the door does not swing over the landing)"
    if not door.is_required_exit:
        source = "IRC R311.3.2 (7¾ in)"
    if step_mm < 0.0:
        words = f"The deck lies {say.length(-step_mm)} above the threshold of {door.id}: water can run in."
        limit_mm = 0.0
        source = "Common practice, no source: a deck lies below the threshold"
    elif step_mm > limit_mm + 0.05:
        words = (
            f"The deck lies {say.length(step_mm)} below the threshold of {door.id}, more than "
            f"{say.length(limit_mm)}."
        )
    else:
        return []
    return [
        Finding(
            code="roof.door-step",
            grade="check",
            place=door.id,
            text=f"{words} Ask the local building office which step it allows at this door.",
            value=round(step_mm, 1),
            limit=round(limit_mm, 2),
            unit="mm",
            source=source,
            at_mm=(door.x_mm, door.y_mm),
        )
    ]
