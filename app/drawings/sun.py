"""Where the sun stands over the roof, and the shadows it casts on the deck."""

import math
from dataclasses import dataclass
from datetime import datetime

from shapely import MultiPoint

from app.drawings.canvas import Spot
from app.job.job import Job


@dataclass(frozen=True, slots=True)
class Sun:
    """The sun at one moment.

    Attributes
    ----------
    height_deg : float
        Above the horizon. [deg]
    bearing_deg : float
        Clockwise from north. [deg]
    """

    height_deg: float
    bearing_deg: float


def sun_at(job: Job, moment: datetime) -> Sun | None:
    """Give where the sun stands.

    Parameters
    ----------
    job : Job
        Its survey says where on the earth the roof lies.
    moment : datetime
        With its time zone.

    Returns
    -------
    sun : Sun or None
        None while the place of the site is not given.

    References
    ----------
    The library astral, after J. Meeus, Astronomical Algorithms.
    """
    # Half a second's import that most drawings do without.
    from astral import Observer  # noqa: PLC0415
    from astral.sun import azimuth, elevation  # noqa: PLC0415

    place = job.survey.place
    if place is None:
        return None
    observer = Observer(place.latitude_deg, place.longitude_deg)
    return Sun(elevation(observer, moment), azimuth(observer, moment))


def shadow_of(
    footprint: tuple[Spot, ...], height_mm: float, sun: Sun, north_deg: float, foot_mm: float = 0.0
) -> tuple[Spot, ...]:
    """Give the shadow that an upright block casts on a level at or below its foot.

    Parameters
    ----------
    footprint : tuple of (float, float)
        Convex. [mm]
    height_mm : float
        Of its top above the level. [mm]
    sun : Sun
        Where the sun stands.
    north_deg : float
        Direction of north, clockwise from up the sheet. [deg]
    foot_mm : float
        Of its foot above the level; a block that stands higher throws its shadow clear of itself. [mm]

    Returns
    -------
    outline_mm : tuple of (float, float)
        Of the shadow, with the footprint of what stands on the level; empty when the sun is down. [mm]

    Notes
    -----
    What is h above the level casts h / tan(height of the sun), away from the sun. The shadow on each level is
    that of the whole block on that plane; shadows on upright faces are not given.

    Examples
    --------
    >>> max(y for _, y in shadow_of(((0, 0), (100, 0), (100, 100), (0, 100)), 1000, Sun(45, 180), 0))
    1100.0

    References
    ----------
    Definition.
    """
    if sun.height_deg <= 0.5:  # lower than that a shadow has no end
        return ()
    per_mm = 1 / math.tan(math.radians(sun.height_deg))
    way = math.radians(90 - north_deg - sun.bearing_deg + 180)
    across, up = per_mm * math.cos(way), per_mm * math.sin(way)
    spots = [(x + z * across, y + z * up) for z in (foot_mm, height_mm) for x, y in footprint]
    hull = MultiPoint(spots).convex_hull.exterior.coords
    # Anticlockwise, from the lowest corner on the left.
    ring = [(round(x, 6), round(y, 6)) for x, y in hull][:-1][::-1]
    first = ring.index(min(ring, key=lambda spot: (spot[1], spot[0])))
    return tuple(ring[first:] + ring[:first])
