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


def shadow_of(footprint: tuple[Spot, ...], height_mm: float, sun: Sun, north_deg: float) -> tuple[Spot, ...]:
    """Give the shadow that an upright block casts on the level it stands on.

    Parameters
    ----------
    footprint : tuple of (float, float)
        Convex. [mm]
    height_mm : float
        Of the block. [mm]
    sun : Sun
        Where the sun stands.
    north_deg : float
        Direction of north, clockwise from up the sheet. [deg]

    Returns
    -------
    outline_mm : tuple of (float, float)
        Of block and shadow together; empty when the sun is down. [mm]

    Notes
    -----
    A block of height h casts h / tan(height of the sun), away from the sun. Shadows that fall onto walls or
    lower levels are not bent there.

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
    long = height_mm / math.tan(math.radians(sun.height_deg))
    way = math.radians(90 - north_deg - sun.bearing_deg + 180)
    off = (long * math.cos(way), long * math.sin(way))
    spots = [*footprint, *((x + off[0], y + off[1]) for x, y in footprint)]
    hull = MultiPoint(spots).convex_hull.exterior.coords
    # Anticlockwise, from the lowest corner on the left.
    ring = [(round(x, 6), round(y, 6)) for x, y in hull][:-1][::-1]
    first = ring.index(min(ring, key=lambda spot: (spot[1], spot[0])))
    return tuple(ring[first:] + ring[:first])
