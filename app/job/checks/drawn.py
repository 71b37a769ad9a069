"""The plan on its roof: what is drawn lies on it, and no two things take one place."""

from collections.abc import Sequence
from itertools import combinations
from math import dist

from shapely import Point, Polygon

from app.job.checks.rings import hole_faults, ring_faults
from app.job.errors import InputError
from app.job.plan import Box, FeatureWall, Plan
from app.job.shapes import Spot, area_within, box_outline, penetration_outline
from app.job.survey import Survey

TOUCH_MM = 1.0  # two things that share a side may overlap by this
DEVICE_OFF_ROOF_MM = 300.0  # a light or an outlet may sit in the face of a parapet
Placed = tuple[str, str, Polygon]  # path, id, shape


def _outside(path: str, name: str, shape: Polygon, roof: Polygon) -> tuple[InputError, ...]:
    """Say how far a shape reaches over the edge of the roof."""
    if roof.covers(shape):  # as most things do, at a hundredth of the work
        return ()
    over = shape.difference(roof.buffer(TOUCH_MM))
    if over.is_empty:
        return ()
    reach_mm = max(roof.distance(Point(corner)) for corner in shape.exterior.coords)
    how = (
        f"reaches {reach_mm:,.0f} mm over the edge of the roof"
        if reach_mm > 0
        else "lies over a hole in the roof"
    )
    text = f"{name} {how}. Move it, or look at the units."
    return (InputError(path, f"{over.area / 1e6:.3f} m² off the roof", text),)


def _overlap(first: Placed, second: Placed) -> InputError | None:
    """Say that two things take one place, at the later of the two."""
    if not first[2].intersects(second[2]):
        return None
    shared = first[2].buffer(-TOUCH_MM / 2).intersection(second[2].buffer(-TOUCH_MM / 2))
    if shared.is_empty:
        return None
    text = f"{second[1]} overlaps {first[1]} by {shared.area / 1e6:.3f} m². Move one of them."
    return InputError(second[0], f"{shared.area / 1e6:.3f} m² shared", text)


def floors(plan: Plan) -> tuple[tuple[Placed, ...], tuple[InputError, ...]]:
    """Give the sound shapes of deck fields and stone beds, and the faults of the others.

    Parameters
    ----------
    plan : Plan
        As read.

    Returns
    -------
    shapes : tuple of tuple
        Path, id and polygon of each.
    faults : tuple of InputError

    References
    ----------
    Definition.
    """
    shapes: list[Placed] = []
    faults: list[InputError] = []
    for number, field in enumerate(plan.deck_fields):
        path = f"plan.deck_fields[{number}]"
        own = ring_faults(f"{path}.outline", field.outline_mm)
        own = own or hole_faults(f"{path}.holes", field.outline_mm, field.holes_mm)
        faults += own
        if not own:
            shapes.append((f"{path}.outline", field.id, area_within(field.outline_mm, field.holes_mm)))
    for number, bed in enumerate(plan.stone_beds):
        path = f"plan.stone_beds[{number}].outline"
        own = ring_faults(path, bed.outline_mm)
        faults += own
        if not own:
            shapes.append((path, bed.id, area_within(bed.outline_mm)))
    return tuple(shapes), tuple(faults)


def floor_faults(shapes: tuple[Placed, ...], roof: Polygon) -> tuple[InputError, ...]:
    """Find deck fields and stone beds that leave the roof or overlap.

    Parameters
    ----------
    shapes : tuple of tuple
        Path, id and polygon of each.
    roof : Polygon
        Sound roof.

    Returns
    -------
    faults : tuple of InputError

    References
    ----------
    Definition.
    """
    outside = [fault for path, name, shape in shapes for fault in _outside(path, name, shape, roof)]
    overlaps = (_overlap(first, second) for first, second in combinations(shapes, 2))
    return (*outside, *(fault for fault in overlaps if fault is not None))


def _placed(key: str, boxes: tuple[Box, ...]) -> list[Placed]:
    """Give boxes with their path and shape."""
    return [(f"plan.{key}[{number}]", thing.id, box_outline(thing)) for number, thing in enumerate(boxes)]


def box_faults(plan: Plan, survey: Survey, roof: Polygon) -> tuple[InputError, ...]:
    """Find boxes that leave the roof, stand on a penetration, or stand in one another.

    Parameters
    ----------
    plan : Plan
        As read.
    survey : Survey
        For its penetrations.
    roof : Polygon
        Sound roof.

    Returns
    -------
    faults : tuple of InputError

    Notes
    -----
    Furniture is loose and may be pushed under a counter: it is not held against other boxes.

    References
    ----------
    Definition.
    """
    built = [
        *_placed("planters", plan.planters),
        *_placed("benches", plan.benches),
        *_placed("counters", plan.counters),
    ]
    standing = [*built, *_placed("furniture", plan.furniture)]
    faults = [fault for path, name, shape in standing for fault in _outside(path, name, shape, roof)]
    up_through = [("", thing.id, penetration_outline(thing)) for thing in survey.penetrations]
    pairs = [*((below, thing) for thing in standing for below in up_through), *combinations(built, 2)]
    overlaps = (_overlap(first, second) for first, second in pairs)
    return (*faults, *(fault for fault in overlaps if fault is not None))


def _opening_faults(path: str, wall: FeatureWall, length_mm: float) -> tuple[InputError, ...]:
    """Find openings that leave their wall or meet one another."""
    faults = []
    for number, opening in enumerate(wall.openings):
        right_mm, top_mm = opening.x_mm + opening.width_mm, opening.z_mm + opening.height_mm
        if right_mm > length_mm + TOUCH_MM or top_mm > wall.height_mm + TOUCH_MM:
            text = (
                f"{opening.id} reaches to {right_mm:,.0f} mm along and {top_mm:,.0f} mm up; {wall.id} is "
                f"{length_mm:,.0f} mm long and {wall.height_mm:,.0f} mm high. Keep it inside."
            )
            faults.append(InputError(f"{path}.openings[{number}]", [right_mm, top_mm], text))
    for (_, first), (number, second) in combinations(enumerate(wall.openings), 2):
        apart_x = first.x_mm + first.width_mm <= second.x_mm or second.x_mm + second.width_mm <= first.x_mm
        apart_z = first.z_mm + first.height_mm <= second.z_mm or second.z_mm + second.height_mm <= first.z_mm
        if not (apart_x or apart_z):
            text = f"{second.id} overlaps {first.id}. Move one of them."
            faults.append(InputError(f"{path}.openings[{number}]", [second.x_mm, second.z_mm], text))
    return tuple(faults)


def wall_faults(plan: Plan, roof: Polygon) -> tuple[InputError, ...]:
    """Find feature walls without length or off the roof, and openings outside their wall.

    Parameters
    ----------
    plan : Plan
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
    for number, wall in enumerate(plan.feature_walls):
        path = f"plan.feature_walls[{number}]"
        length_mm = dist(wall.start_mm, wall.end_mm)
        if length_mm < 100:
            text = f"{wall.id} is {length_mm:.0f} mm long. Its start and end must be at least 100 mm apart."
            faults.append(InputError(f"{path}.end", list(wall.end_mm), text))
            continue
        for key, place in (("start", wall.start_mm), ("end", wall.end_mm)):
            off_mm = roof.distance(Point(place))
            if off_mm > DEVICE_OFF_ROOF_MM:
                text = f"The {key} of {wall.id} lies {off_mm:,.0f} mm outside the roof. Look at its x and y."
                faults.append(InputError(f"{path}.{key}", list(place), text))
        faults += _opening_faults(path, wall, length_mm)
    return tuple(faults)


def device_faults(plan: Plan, roof: Polygon) -> tuple[InputError, ...]:
    """Find lights, outlets, speakers and gas stubs that are not on the roof.

    Parameters
    ----------
    plan : Plan
        As read.
    roof : Polygon
        Sound roof.

    Returns
    -------
    faults : tuple of InputError

    Notes
    -----
    Transformers and amplifiers may stand indoors.

    References
    ----------
    Common practice, no source.
    """
    faults = []
    kinds: tuple[tuple[str, Sequence[Spot]], ...] = (
        ("fixtures", plan.fixtures),
        ("outlets", plan.outlets),
        ("speakers", plan.speakers),
        ("gas_stubs", plan.gas_stubs),
    )
    for key, things in kinds:
        for number, thing in enumerate(things):
            off_mm = roof.distance(Point(thing.x_mm, thing.y_mm))
            if off_mm > DEVICE_OFF_ROOF_MM:
                text = f"{thing.id} lies {off_mm:,.0f} mm outside the roof. Look at its x and y."
                faults.append(InputError(f"plan.{key}[{number}]", [thing.x_mm, thing.y_mm], text))
    return tuple(faults)
