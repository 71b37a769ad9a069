"""The lit hours of a year: from sunset at the site to the clock hour at which the lights go out."""

from collections.abc import Sequence
from datetime import date, datetime, time, timedelta
from decimal import ROUND_HALF_UP, Decimal
from functools import lru_cache
from zoneinfo import ZoneInfo

from astral import Observer
from astral.sun import elevation, sunset

from app.job.choices import Evening
from app.job.survey import SitePlace
from app.takeoff.roughin.evening_records import Energy
from app.takeoff.roughin.records import CircuitReading

NOON_H = 12.0
HORIZON_DEG = -0.833  # upper edge of the sun, with the air's refraction


def sunset_at(place: SitePlace, on: date) -> datetime | None:
    """Give the moment of sunset.

    Parameters
    ----------
    place : SitePlace
        Latitude, longitude and time zone.
    on : date
        The local day.

    Returns
    -------
    sunset_at : datetime or None
        In local time; None on a day on which the sun does not set.

    Notes
    -----
    Upper edge of the sun on a free horizon at sea level; a parapet or a neighbour brings dusk earlier.

    References
    ----------
    The library astral, after J. Meeus, Astronomical Algorithms; within a minute of an ephemeris.
    """
    observer = Observer(place.latitude_deg, place.longitude_deg, 0.0)
    try:
        return sunset(observer, on, tzinfo=ZoneInfo(place.time_zone))
    except ValueError:
        return None


def _lit_h(place: SitePlace, on: date, off_h: float) -> float:
    """Give the lit hours of one evening; where the sun does not set, by where it stands at noon."""
    at = sunset_at(place, on)
    if at is None:
        noon = datetime.combine(on, time(12), tzinfo=ZoneInfo(place.time_zone))
        is_dark = elevation(Observer(place.latitude_deg, place.longitude_deg), noon) < HORIZON_DEG
        return off_h - NOON_H if is_dark else 0.0
    hour = (at.date() - on).days * 24 + at.hour + at.minute / 60 + at.second / 3600
    return max(0.0, off_h - hour)


@lru_cache(maxsize=64)
def evenings_h(place: SitePlace, year: int, off_at_h: float) -> tuple[float, ...]:
    """Give the lit hours of every evening of a year.

    Parameters
    ----------
    place : SitePlace
        Latitude, longitude and time zone.
    year : int
        To reckon.
    off_at_h : float
        Clock hour at which the lights go out; up to 12 is after midnight. [h]

    Returns
    -------
    evenings_h : tuple of float
        One for each day. [h]

    Notes
    -----
    Never below zero: a sun that sets after the lights would go out leaves them off. Where the sun does not
    rise, from noon.

    References
    ----------
    Definition.
    """
    off_h = off_at_h if off_at_h > NOON_H else off_at_h + 24.0
    days = (date(year + 1, 1, 1) - date(year, 1, 1)).days
    return tuple(_lit_h(place, date(year, 1, 1) + timedelta(days=n), off_h) for n in range(days))


def yearly_energy(
    place: SitePlace, year: int, evening: Evening, readings: Sequence[CircuitReading]
) -> Energy | None:
    """Give what the lights take in a year.

    Parameters
    ----------
    place : SitePlace
        Where the roof lies.
    year : int
        To reckon.
    evening : Evening
        When the lights go out, and the price of a kWh.
    readings : sequence of CircuitReading
        Lighting circuits that have a solution.

    Returns
    -------
    energy : Energy or None
        None without such a circuit.

    Notes
    -----
    Everything on from sunset to the hour set, every evening; what a transformer itself loses is not
    counted.

    References
    ----------
    Definition.
    """
    lit = [reading for reading in readings if reading.kind == "lighting"]
    if not lit:
        return None
    hours = evenings_h(place, year, evening.off_at_h)
    power = sum(reading.current_a * reading.source_v for reading in lit)
    energy = sum(hours) * power / 1000
    cost = None
    if evening.tariff is not None:
        cost = (Decimal(str(round(energy, 6))) * evening.tariff).quantize(Decimal("0.01"), ROUND_HALF_UP)
    return Energy(year, sum(hours), min(hours), max(hours), power, energy, cost)
