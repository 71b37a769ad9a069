"""Zones and folds of the roof: each zone is sound, lies on the roof and has heights enough of its own."""

from itertools import combinations
from math import dist

from shapely import MultiPoint, Point, Polygon

from app.job.checks.rings import ring_faults
from app.job.errors import InputError
from app.job.survey import SpotHeight, Survey

TOUCH_MM = 1.0
OFF_ROOF_MM = 500.0  # a fold may start on an upstand
SHORTEST_FOLD_MM = 100.0
_LEAST_SPOTS = 3


def zone_faults(survey: Survey, roof: Polygon) -> tuple[InputError, ...]:
    """Find zones that are unsound, leave the roof, overlap, or have too few heights for a surface.

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
    Definition: a surface needs three heights that are not in one line.
    """
    faults: list[InputError] = []
    sound: list[tuple[int, Polygon]] = []
    for number, zone in enumerate(survey.zones):
        path = f"survey.zones[{number}].outline"
        own = ring_faults(path, zone.outline_mm)
        faults += own
        if own:
            continue
        shape = Polygon(zone.outline_mm)
        over = shape.difference(roof.buffer(TOUCH_MM))
        if over.area > TOUCH_MM:
            text = f"{zone.id} reaches {over.area / 1e6:.3f} m² beyond the roof. Draw it on the roof."
            faults.append(InputError(path, round(over.area / 1e6, 3), text))
        sound.append((number, shape))
    for (first, one), (second, other) in combinations(sound, 2):
        shared = one.buffer(-TOUCH_MM / 2).intersection(other.buffer(-TOUCH_MM / 2))
        if not shared.is_empty:
            text = f"{survey.zones[second].id} overlaps {survey.zones[first].id}. Draw them side by side."
            faults.append(InputError(f"survey.zones[{second}].outline", round(shared.area / 1e6, 3), text))
    if faults or not sound:
        return tuple(faults)
    return _too_few(survey, dict(sound))


def _too_few(survey: Survey, shapes: dict[int, Polygon]) -> tuple[InputError, ...]:
    """Find zones, and the roof round them, whose heights give no surface."""
    by_zone: dict[str, list[SpotHeight]] = {zone.id: [] for zone in survey.zones}
    rest: list[SpotHeight] = []
    for spot in survey.spot_heights:
        lies_in = next(
            (survey.zones[n].id for n, s in shapes.items() if s.intersects(Point(spot.x_mm, spot.y_mm))), None
        )
        by_zone.get(spot.zone or lies_in or "", rest).append(spot)
    faults = []
    for number, zone in enumerate(survey.zones):
        if not _gives_surface(by_zone[zone.id]):
            count = len(by_zone[zone.id])
            text = (
                f"{zone.id} has {count} spot height{'' if count == 1 else 's'} of its own, or they stand in "
                "one line. Measure at least three in it."
            )
            faults.append(InputError(f"survey.zones[{number}]", count, text))
    if rest and not _gives_surface(rest):
        text = (
            f"{len(rest)} spot heights lie outside the zones, too few or in one line. Measure at least three "
            "on the roof round them, or none."
        )
        faults.append(InputError("survey.spot_heights", len(rest), text))
    return tuple(faults)


def _gives_surface(spots: list[SpotHeight]) -> bool:
    """Whether heights are three or more and not in one line."""
    places = MultiPoint([(spot.x_mm, spot.y_mm) for spot in spots])
    if len(spots) < _LEAST_SPOTS:
        return False
    longest_mm = max(places.bounds[2] - places.bounds[0], places.bounds[3] - places.bounds[1])
    return bool(places.convex_hull.area >= 10.0 * longest_mm)


def fold_faults(survey: Survey, roof: Polygon) -> tuple[InputError, ...]:
    """Find folds without length or off the roof.

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
    for number, fold in enumerate(survey.folds):
        path = f"survey.folds[{number}]"
        length_mm = dist(fold.start_mm, fold.end_mm)
        if length_mm < SHORTEST_FOLD_MM:
            text = f"{fold.id} is {length_mm:.0f} mm long. Its ends must be at least 100 mm apart."
            faults.append(InputError(f"{path}.end", list(fold.end_mm), text))
        for key, place in (("start", fold.start_mm), ("end", fold.end_mm)):
            off_mm = roof.distance(Point(place))
            if off_mm > OFF_ROOF_MM:
                text = f"The {key} of {fold.id} lies {off_mm:,.0f} mm outside the roof. Look at its x and y."
                faults.append(InputError(f"{path}.{key}", list(place), text))
    return tuple(faults)
