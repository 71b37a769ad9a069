"""The survey by itself: a roof of a believable size, and everything measured lies on it."""

from collections.abc import Sequence
from itertools import combinations
from math import dist

from shapely import MultiPoint, Point, Polygon

from app.job.checks.rings import SAME_PLACE_MM, hole_faults, ring_faults
from app.job.errors import InputError
from app.job.shapes import Spot, area_within
from app.job.survey import Survey

# Limits of belief, not of the engine: common practice, no source.
WIDEST_ROOF_MM = 500_000.0
LONGEST_SIDE_MM = 100_000.0
NARROWEST_ROOF_MM = 500.0
ON_OUTLINE_MM = 100.0  # a door's place is read off a wall, not surveyed
OFF_ROOF_MM = 500.0  # spot heights are also taken on upstands and sills
_SLIPS = ((1000.0, "metres"), (304.8, "feet"), (25.4, "inches"), (10.0, "centimetres"))
_BELIEVABLE_MM = (1_000.0, 60_000.0)


def _slip(size_mm: float, is_too_large: bool) -> str:
    """Name the units that were likely meant, or likely written by mistake."""
    meant_mm = {unit: size_mm / ratio if is_too_large else size_mm * ratio for ratio, unit in _SLIPS}
    likely = " or ".join(
        unit for unit, meant in meant_mm.items() if _BELIEVABLE_MM[0] <= meant <= _BELIEVABLE_MM[1]
    )
    if not likely:
        return "Look at the units; a number without a unit is in mm."
    if is_too_large:
        return f"Likely {likely} were written where mm were meant."
    return f"Likely {likely} were meant; a number without a unit is in mm."


def size_faults(survey: Survey) -> tuple[InputError, ...]:
    """Find a roof too large or too small to be one, and name the likely slip of the unit.

    Parameters
    ----------
    survey : Survey
        As read.

    Returns
    -------
    faults : tuple of InputError

    References
    ----------
    Common practice, no source.
    """
    corners = survey.outline_mm
    xs, ys = zip(*corners, strict=True)
    across_mm = max(max(xs) - min(xs), max(ys) - min(ys))
    if across_mm > WIDEST_ROOF_MM:
        text = f"The roof is {across_mm / 1000:,.0f} m across; at most 500 m can be. {_slip(across_mm, True)}"
        return (InputError("survey.outline", across_mm, text),)
    if across_mm < NARROWEST_ROOF_MM:
        text = f"The roof is {across_mm:g} mm across; at least 500 mm must be. {_slip(across_mm, False)}"
        return (InputError("survey.outline", across_mm, text),)
    faults = []
    for number, corner in enumerate(corners):
        after = (number + 1) % len(corners)
        side_mm = dist(corner, corners[after])
        if side_mm > LONGEST_SIDE_MM:
            text = f"This corner is {side_mm / 1000:,.0f} m from the one before it; at most 100 m can be. "
            text += _slip(side_mm, True)
            faults.append(InputError(f"survey.outline[{after}]", list(corners[after]), text))
    return tuple(faults)


def roof_of(survey: Survey) -> tuple[Polygon | None, tuple[InputError, ...]]:
    """Give the roof as a polygon, or what is wrong with its outline.

    Parameters
    ----------
    survey : Survey
        As read.

    Returns
    -------
    roof : Polygon or None
        None when the outline or a hole is unsound.
    faults : tuple of InputError

    References
    ----------
    Definition.
    """
    faults = size_faults(survey) or ring_faults("survey.outline", survey.outline_mm)
    if not faults:
        faults = hole_faults("survey.holes", survey.outline_mm, survey.holes_mm)
    return (None if faults else area_within(survey.outline_mm, survey.holes_mm)), faults


def edge_faults(survey: Survey) -> tuple[InputError, ...]:
    """Find edges of the roof that start at a corner that is not there, or say one side twice.

    Parameters
    ----------
    survey : Survey
        As read.

    Returns
    -------
    faults : tuple of InputError

    References
    ----------
    Definition.
    """
    faults = []
    last = len(survey.outline_mm) - 1
    seen: dict[int, str] = {}
    for number, edge in enumerate(survey.edges):
        path = f"survey.edges[{number}].from_corner"
        if edge.from_corner > last:
            text = f"The outline has corners 0 to {last}; {edge.from_corner} is none of them."
            faults.append(InputError(path, edge.from_corner, text))
        if edge.from_corner in seen:
            text = (
                f"The side from corner {edge.from_corner} is already described by {seen[edge.from_corner]}."
            )
            faults.append(InputError(path, edge.from_corner, text))
        seen.setdefault(edge.from_corner, edge.id)
    return tuple(faults)


def height_faults(survey: Survey) -> tuple[InputError, ...]:
    """Find spot heights that give no surface: two at one place, or all on one line.

    Parameters
    ----------
    survey : Survey
        As read.

    Returns
    -------
    faults : tuple of InputError

    References
    ----------
    Definition.
    """
    faults = []
    numbered = list(enumerate(survey.spot_heights))
    for (_, first), (number, second) in combinations(numbered, 2):
        is_same = dist((first.x_mm, first.y_mm), (second.x_mm, second.y_mm)) < SAME_PLACE_MM
        # At a step in the roof the top and the foot of it are one place on plan.
        if is_same and first.zone == second.zone:
            text = f"{second.id} is at the same place as {first.id}. Leave one of them out."
            faults.append(InputError(f"survey.spot_heights[{number}]", [second.x_mm, second.y_mm], text))
    places = MultiPoint([(height.x_mm, height.y_mm) for height in survey.spot_heights])
    longest_mm = max(places.bounds[2] - places.bounds[0], places.bounds[3] - places.bounds[1])
    if not faults and places.convex_hull.area < 10.0 * longest_mm:
        text = (
            "All spot heights lie on one line, so they give no surface. Measure at least one off that line."
        )
        faults.append(InputError("survey.spot_heights", len(survey.spot_heights), text))
    return tuple(faults)


def area_faults(survey: Survey, roof: Polygon) -> tuple[InputError, ...]:
    """Find areas with allowable loads of their own that go round nothing or lie off the roof.

    Parameters
    ----------
    survey : Survey
        As read.
    roof : Polygon
        Sound roof.

    Returns
    -------
    faults : tuple of InputError

    References
    ----------
    Definition.
    """
    faults: list[InputError] = []
    for number, area in enumerate(survey.allowable_areas):
        path = f"survey.allowable_areas[{number}].outline"
        own = ring_faults(path, area.outline_mm)
        faults.extend(own)
        if not own and not Polygon(area.outline_mm).intersects(roof):
            text = f"{area.id} lies outside the roof. Look at its corners."
            faults.append(InputError(path, list(area.outline_mm[0]), text))
    return tuple(faults)


def place_faults(survey: Survey, roof: Polygon) -> tuple[InputError, ...]:
    """Find measured things that do not lie on the roof, and doors that do not stand on its outline.

    Parameters
    ----------
    survey : Survey
        As read.
    roof : Polygon
        Sound roof.

    Returns
    -------
    faults : tuple of InputError

    References
    ----------
    Common practice, no source.
    """
    faults = []
    kinds: tuple[tuple[str, Sequence[Spot], float], ...] = (
        ("drains", survey.drains, ON_OUTLINE_MM),
        ("penetrations", survey.penetrations, SAME_PLACE_MM),
        ("spot_heights", survey.spot_heights, OFF_ROOF_MM),
    )
    for key, things, allowance_mm in kinds:
        for number, thing in enumerate(things):
            off_mm = roof.distance(Point(thing.x_mm, thing.y_mm))
            if off_mm > allowance_mm:
                text = f"{thing.id} lies {off_mm:,.0f} mm outside the roof. Look at its x and y."
                faults.append(InputError(f"survey.{key}[{number}]", [thing.x_mm, thing.y_mm], text))
    for number, door in enumerate(survey.doors):
        off_mm = roof.boundary.distance(Point(door.x_mm, door.y_mm))
        if off_mm > ON_OUTLINE_MM:
            text = f"{door.id} stands {off_mm:,.0f} mm from the outline; a door stands on it, within 100 mm."
            faults.append(InputError(f"survey.doors[{number}]", [door.x_mm, door.y_mm], text))
    return tuple(faults)
