"""Sunset against an ephemeris, to a minute.

Sources: the library skyfield with the DE421 ephemeris of skyfield-data; and its values printed for New York.
"""

from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo

import pytest
from skyfield import almanac
from skyfield.api import Loader, wgs84
from skyfield_data import get_skyfield_data_path

from app.job.survey import SitePlace
from app.takeoff.roughin.dusk import sunset_at

NEW_YORK = SitePlace(latitude_deg=40.7128, longitude_deg=-74.0060, time_zone="America/New_York")
PLACES = {
    "New York": NEW_YORK,
    "60 north": SitePlace(latitude_deg=59.9, longitude_deg=10.75, time_zone="Europe/Oslo"),
    "34 south": SitePlace(latitude_deg=-33.87, longitude_deg=151.2, time_zone="Australia/Sydney"),
}
PRINTED = {
    date(2025, 3, 20): time(19, 8, 25),
    date(2025, 6, 21): time(20, 30, 46),
    date(2025, 8, 1): time(20, 11, 4),
    date(2025, 12, 21): time(16, 31, 54),
}


@pytest.mark.parametrize("on", PRINTED, ids=lambda on: f"{on} New York, skyfield {PRINTED[on]}")
def test_sunset_is_within_half_a_minute_of_the_printed_one(on: date) -> None:
    printed = datetime.combine(on, PRINTED[on], tzinfo=ZoneInfo("America/New_York"))
    ours = sunset_at(NEW_YORK, on)
    assert ours is not None
    assert abs(ours - printed) < timedelta(seconds=30)


@pytest.mark.filterwarnings("ignore")
@pytest.mark.parametrize("name", PLACES)
def test_sunset_is_within_a_minute_of_the_ephemeris_through_the_year(name: str) -> None:
    place = PLACES[name]
    load = Loader(get_skyfield_data_path(), expire=False)
    sky, scale = load("de421.bsp"), load.timescale(builtin=True)
    observer = sky["earth"] + wgs84.latlon(place.latitude_deg, place.longitude_deg)
    zone = ZoneInfo(place.time_zone)
    for month in range(1, 13):
        on = date(2026, month, 15)
        noon = datetime.combine(on, time(12), tzinfo=zone).astimezone(UTC)
        moments, _ = almanac.find_settings(
            observer, sky["sun"], scale.from_datetime(noon), scale.from_datetime(noon + timedelta(hours=14))
        )
        ours = sunset_at(place, on)
        assert ours is not None
        assert abs(ours - moments[0].utc_datetime()) < timedelta(minutes=1)
    sky.close()
