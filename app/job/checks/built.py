"""Steps and niches: steps go up to another field than they come from, and a screen fits its niche."""

from shapely import Point, Polygon

from app.job.errors import InputError
from app.job.plan import Opening, Plan

ON_ROOF_MM = 1.0


def step_faults(plan: Plan) -> tuple[InputError, ...]:
    """Find steps that go from a deck field to itself, or to one that does not lie higher.

    Parameters
    ----------
    plan : Plan
        As read.

    Returns
    -------
    faults : tuple of InputError

    References
    ----------
    Definition.
    """
    offsets = {field.id: field.level_offset_mm for field in plan.deck_fields}
    faults = []
    for number, steps in enumerate(plan.steps):
        if steps.lower is None or steps.upper not in offsets or steps.lower not in offsets:
            continue
        path, rise_mm = f"plan.steps[{number}]", offsets[steps.upper] - offsets[steps.lower]
        if steps.upper == steps.lower:
            text = (
                f"{steps.id} goes from {steps.upper} to itself. Name the lower field, or none for the roof."
            )
            faults.append(InputError(f"{path}.lower", steps.lower, text))
        elif rise_mm <= 0.0:
            text = (
                f"{steps.upper} lies {-rise_mm:g} mm below {steps.lower} or level with it, so {steps.id} "
                "does not go up. Swap them, or set the offset of their levels."
            )
            faults.append(InputError(f"{path}.upper", steps.upper, text))
    return tuple(faults)


def steps_on_roof_faults(plan: Plan, roof: Polygon) -> tuple[InputError, ...]:
    """Find steps whose edge does not lie on the roof.

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
    faults = []
    for number, steps in enumerate(plan.steps):
        off_mm = roof.distance(Point(steps.x_mm, steps.y_mm))
        if off_mm > ON_ROOF_MM:
            text = f"{steps.id} lies {off_mm:,.0f} mm outside the roof. Look at its x and y."
            faults.append(InputError(f"plan.steps[{number}]", [steps.x_mm, steps.y_mm], text))
    return tuple(faults)


def niche_faults(plan: Plan) -> tuple[InputError, ...]:
    """Find screens that hang in no niche, are only half given, or are larger than their niche.

    Parameters
    ----------
    plan : Plan
        As read.

    Returns
    -------
    faults : tuple of InputError

    References
    ----------
    Definition.
    """
    return tuple(
        fault
        for number, wall in enumerate(plan.feature_walls)
        for place, opening in enumerate(wall.openings)
        for fault in _screen_faults(f"plan.feature_walls[{number}].openings[{place}]", opening)
    )


def _screen_faults(path: str, opening: Opening) -> tuple[InputError, ...]:
    """Find what is wrong with the screen of one opening."""
    sizes = {
        "screen_width": (opening.screen_width_mm, opening.width_mm),
        "screen_height": (opening.screen_height_mm, opening.height_mm),
    }
    given = [key for key, (size_mm, _) in sizes.items() if size_mm is not None]
    if not given:
        return ()
    if opening.kind != "niche":
        text = f"{opening.id} is a {opening.kind}; a screen hangs in a niche. Leave its size out."
        return (InputError(f"{path}.{given[0]}", sizes[given[0]][0], text),)
    faults = []
    for key, (size_mm, room_mm) in sizes.items():
        if size_mm is None:
            text = f"The screen of {opening.id} has one size only. Give its width and its height."
            faults.append(InputError(f"{path}.{key}", None, text))
        elif size_mm > room_mm:
            text = (
                f"A screen of {size_mm:g} mm does not fit a niche of {room_mm:g} mm. Make the niche larger."
            )
            faults.append(InputError(f"{path}.{key}", size_mm, text))
    return tuple(faults)
