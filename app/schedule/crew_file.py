"""The crew file as records: crews, and the calendar they work by. The file is opened elsewhere."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date

from app.job.errors import InputError
from app.pricing.fields import FieldReader, raise_all
from app.schedule.records import Crew

FILE_KEYS = ("crews", "calendar", "invented", "note")
DAY_HOURS = 24


@dataclass(frozen=True, slots=True)
class CalendarRules:
    """What a shop says of its calendar.

    Attributes
    ----------
    region : str
        Of the public holidays: ``US-ME``.
    weekdays : tuple of int
        Worked weekdays, Monday is 0.
    leave : tuple of (date, str)
        The shop's own days off.
    """

    region: str
    weekdays: tuple[int, ...]
    leave: tuple[tuple[date, str], ...]


def read_crews(document: object) -> tuple[Crew, ...]:
    """Give the crews of a shop.

    Parameters
    ----------
    document : object
        The file as read: an object with the key ``crews``.

    Returns
    -------
    crews : tuple of Crew
        In the order of the file.

    Raises
    ------
    InputErrors
        With every fault: nobody in a crew, no hours in its day, a code used twice.

    References
    ----------
    Definition of the file, in the demo shop's read-me.
    """
    faults: list[InputError] = []
    whole = FieldReader(document, "crews.json", faults, FILE_KEYS)
    found: dict[str, Crew] = {}
    for number, row in enumerate(whole.items("crews")):
        reader = FieldReader(row, f"crews[{number}]", faults, ("code", "name", "people", "day_h"))
        hours = reader.amount("day_h", above=0)
        if hours > DAY_HOURS:
            reader.fault("day_h", hours, f"at most {DAY_HOURS} hours")
        crew = Crew(
            code=reader.text("code"),
            name=reader.text("name"),
            people=reader.count("people", least=1),
            day_h=float(hours),
        )
        if crew.code in found:
            reader.fault("code", crew.code, "a code of its own; another crew has it")
        found[crew.code] = crew
    raise_all(faults)
    return tuple(found.values())


def read_calendar_rules(document: object) -> CalendarRules:
    """Give what a shop says of its calendar.

    Parameters
    ----------
    document : object
        The file as read: an object with the key ``calendar``.

    Returns
    -------
    rules : CalendarRules
        For `calendar_for`.

    Raises
    ------
    InputErrors
        With every fault.

    References
    ----------
    Definition of the file, in the demo shop's read-me.
    """
    faults: list[InputError] = []
    whole = FieldReader(document, "crews.json", faults, FILE_KEYS)
    reader = FieldReader(whole.inner("calendar"), "calendar", faults, ("region", "weekdays", "leave"))
    leave = []
    for number, row in enumerate(reader.items("leave")):
        of_day = FieldReader(row, f"calendar.leave[{number}]", faults, ("on", "name"))
        leave.append((of_day.day("on"), of_day.text("name")))
    weekdays = []
    for day in reader.items("weekdays"):
        if isinstance(day, int) and not isinstance(day, bool) and 0 <= day <= 6:
            weekdays.append(day)
        else:
            reader.fault("weekdays", day, "weekdays from 0 (Monday) to 6 (Sunday)")
    if not weekdays and isinstance(whole.inner("calendar"), Mapping):
        reader.fault("weekdays", "", "at least one worked weekday")
    rules = CalendarRules(region=reader.text("region"), weekdays=tuple(weekdays), leave=tuple(leave))
    raise_all(faults)
    return rules
