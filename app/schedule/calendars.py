"""Working days: public holidays of a region, leave, and counting forward and back."""

from collections.abc import Iterable, Sequence
from datetime import date, timedelta

import holidays

from app.measure.errors import InputError
from app.schedule.records import Calendar

# More than any run of days off in a year; past it there is something wrong with the calendar.
LONGEST_BREAK_DAYS = 370
ONE_DAY = timedelta(days=1)


def calendar_for(
    region: str,
    years: Iterable[int],
    weekdays: Sequence[int],
    leave: Iterable[tuple[date, str]] = (),
) -> Calendar:
    """Give the working calendar of a region.

    Parameters
    ----------
    region : str
        Country and part by ISO 3166: ``US-ME``, ``GB-SCT``, ``CA-ON``; the country alone will do.
    years : iterable of int
        Years whose public holidays are wanted.
    weekdays : sequence of int
        Worked weekdays, Monday is 0.
    leave : iterable of (date, str)
        The shop's own days off, with their names.

    Returns
    -------
    calendar : Calendar
        Days off sorted; where leave and a holiday fall together both names stand.

    Raises
    ------
    InputError
        If the region is not known, or no weekday is worked.

    Examples
    --------
    >>> calendar = calendar_for("US-ME", [2026], (0, 1, 2, 3, 4))
    >>> dict(calendar.days_off)[date(2026, 4, 20)]
    "Patriots' Day"

    References
    ----------
    Public holidays as kept by the ``holidays`` library; check the local ones.
    """
    worked = tuple(sorted(set(weekdays)))
    if not worked or worked[0] < 0 or worked[-1] > 6:
        raise InputError(
            "weekdays", tuple(weekdays), "Give at least one worked weekday, from 0 (Monday) to 6 (Sunday)."
        )
    names: dict[date, list[str]] = {}
    for day, name in _public_holidays(region, sorted(set(years))):
        names.setdefault(day, []).append(name)
    for day, name in leave:
        names.setdefault(day, []).append(name)
    days_off = tuple((day, ", ".join(names[day])) for day in sorted(names))
    return Calendar(weekdays=worked, days_off=days_off, region=region)


def is_working_day(calendar: Calendar, on: date) -> bool:
    """Tell whether a day is worked.

    Parameters
    ----------
    calendar : Calendar
        Days worked.
    on : date
        The day.

    Returns
    -------
    is_worked : bool
        False on other weekdays and days off.

    References
    ----------
    Definition.
    """
    return on.weekday() in calendar.weekdays and all(on != day for day, _ in calendar.days_off)


def working_days_from(calendar: Calendar, on: date, count: int) -> tuple[date, ...]:
    """Give so many working days in a row.

    Parameters
    ----------
    calendar : Calendar
        Days worked.
    on : date
        The first one, or the next working day if it is not one.
    count : int
        How many.

    Returns
    -------
    days : tuple of date
        In order.

    Raises
    ------
    ValueError
        If the calendar has no working day for more than a year.

    References
    ----------
    Definition.
    """
    off = {day for day, _ in calendar.days_off}
    found: list[date] = []
    day, idle_days = on, 0
    while len(found) < count:
        if day.weekday() in calendar.weekdays and day not in off:
            found.append(day)
            idle_days = 0
        else:
            idle_days += 1
        if idle_days > LONGEST_BREAK_DAYS:
            raise ValueError(f"No working day within {LONGEST_BREAK_DAYS} days before {day}.")
        day += ONE_DAY
    return tuple(found)


def add_working_days(calendar: Calendar, on: date, count: int) -> date:
    """Give the working day so many working days later.

    Parameters
    ----------
    calendar : Calendar
        Days worked.
    on : date
        Counted from; if it is not a working day, from the next one.
    count : int
        Not negative.

    Returns
    -------
    day : date
        A working day.

    Examples
    --------
    >>> calendar = Calendar((0, 1, 2, 3, 4), (), "")
    >>> add_working_days(calendar, date(2026, 7, 3), 1)  # a Friday
    datetime.date(2026, 7, 6)

    References
    ----------
    Definition.
    """
    return working_days_from(calendar, on, count + 1)[-1]


def subtract_working_days(calendar: Calendar, on: date, count: int) -> date:
    """Give the working day so many working days earlier.

    Parameters
    ----------
    calendar : Calendar
        Days worked.
    on : date
        Counted from; if it is not a working day, from the last one before it.
    count : int
        Not negative.

    Returns
    -------
    day : date
        A working day.

    Raises
    ------
    ValueError
        If the calendar has no working day for more than a year.

    References
    ----------
    Definition.
    """
    off = {day for day, _ in calendar.days_off}
    day, left, idle_days = on, count, 0
    while True:
        if day.weekday() in calendar.weekdays and day not in off:
            if left == 0:
                return day
            left, idle_days = left - 1, 0
        else:
            idle_days += 1
        if idle_days > LONGEST_BREAK_DAYS:
            raise ValueError(f"No working day within {LONGEST_BREAK_DAYS} days after {day}.")
        day -= ONE_DAY


def _public_holidays(region: str, years: Sequence[int]) -> list[tuple[date, str]]:
    """Give the public holidays of a region, observed days in."""
    country, _, part = region.partition("-")
    known = holidays.list_supported_countries(include_aliases=False)
    if country not in known:
        raise InputError(
            "region",
            region,
            f"{region!r} is not a region whose holidays are known. Give a country by ISO 3166, and its part "
            "where it has them: US-ME, GB-SCT, CA-ON.",
        )
    if part and part not in known[country]:
        raise InputError(
            "region",
            region,
            f"{country} has no part {part!r} whose holidays are known. Known are "
            f"{', '.join(known[country]) or 'none: give the country alone'}.",
        )
    if not years:
        return []
    found = holidays.country_holidays(country, subdiv=part or None, years=list(years))
    return sorted((day, name) for day, name in found.items())
