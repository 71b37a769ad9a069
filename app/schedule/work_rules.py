"""What stops work: leave of firm, crew and person, the building's hours, the hoist, the weather."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from math import ceil

from app.schedule import links
from app.schedule.calendars import is_working_day
from app.schedule.records import Calendar, Crew, Task
from app.schedule.supposed import Supposed

HOUR = 60
RAIN, COLD, WIND = "rain", "cold", "wind"
KINDS = (RAIN, COLD, WIND)
UNITS = {COLD: "°C", WIND: "km/h"}
MEASURED = {COLD: "below", WIND: "above"}
HOIST = "hoist"


@dataclass(frozen=True, slots=True)
class Absence:
    """Days on which somebody is not there.

    Attributes
    ----------
    from_on, until_on : date
        First and last day.
    crew : str
        Code of the crew; empty for the whole firm; ``hoist`` for the hoist.
    person : str
        Who of the crew; empty for all of it.
    reason : str
    """

    from_on: date
    until_on: date
    crew: str = ""
    person: str = ""
    reason: str = "leave"


@dataclass(frozen=True, slots=True)
class TaskWeather:
    """Weather in which a task does not go on.

    Attributes
    ----------
    step : str
        Phase of the estimate, or code of a hold point.
    kind : str
        ``rain``, ``cold`` or ``wind``.
    text : str
        The rule, as the crew reads it.
    limit : float or None
        Lowest temperature in degrees Celsius, or strongest wind in kilometres an hour, at which it still goes
        on; None where nothing is measured.
    """

    step: str
    kind: str
    text: str
    limit: float | None = None

    @property
    def words(self) -> str:
        """The rule with its limit."""
        if self.limit is None or self.kind not in UNITS:
            return f"{self.kind}: {self.text}"
        return f"{self.kind} ({MEASURED[self.kind]} {self.limit:g} {UNITS[self.kind]}): {self.text}"

    def is_met_by(self, weather: Supposed) -> bool:
        """Tell whether some weather stops the task: of its kind, and past the limit if both are measured."""
        if weather.kind != self.kind:
            return False
        if self.limit is None or weather.measure is None:
            return True
        return weather.measure < self.limit if self.kind == COLD else weather.measure > self.limit


@dataclass(frozen=True, slots=True)
class SiteRules:
    """What the building asks for.

    Attributes
    ----------
    opens_h, closes_h : float
        Between them noise is allowed. [h]
    needs_hoist : bool
        Whether the carry-up takes the shop's hoist.
    hoist_days : tuple of (date, date)
        Days on which the lift or the street is booked; carrying up happens on these alone. Empty: any day.
    """

    opens_h: float = 0.0
    closes_h: float = 24.0
    needs_hoist: bool = False
    hoist_days: tuple[tuple[date, date], ...] = ()


# From memory, common practice: labels and makers decide. The shop may change every row.
TASK_WEATHER = (
    TaskWeather("frame", COLD, "no pad adhesive below the temperature on its label, often 5 °C", 5.0),
    TaskWeather("preparation", RAIN, "no work on the membrane in rain"),
    TaskWeather("membrane look", RAIN, "no look at the membrane in rain"),
    TaskWeather("carry-up", WIND, "no lifts in wind above the hoist's limit"),
)
# Common practice, no source: the shop sets what its own outsiders ask for.
NOTICE = (
    (links.ELECTRICIAN, 5),
    (links.GAS_FITTER, 5),
    (links.SUBCONTRACTOR, 5),
    (links.INSPECTOR, links.NOTICE_DAYS),
)


@dataclass(frozen=True, slots=True)
class WorkRules:
    """The shop's rules for planning.

    Attributes
    ----------
    starts_h : float
        When the day begins. [h]
    lost_days : tuple of float
        Working days usually lost to weather, January to December. [days]
    absences : tuple of Absence
    task_weather : tuple of TaskWeather
    hoists : int
        How many hoists the shop has; 0 when they are hired as needed.
    notice : tuple of (str, int)
        Working days of notice by outsider. [days]
    expected : tuple of Supposed
        Weather and goods that were supposed and then taken into the plan.
    tell : tuple of (str, str)
        Crew code or outsider, and the address to which changed days are sent.
    """

    starts_h: float = 8.0
    lost_days: tuple[float, ...] = (0.0,) * 12
    absences: tuple[Absence, ...] = ()
    task_weather: tuple[TaskWeather, ...] = TASK_WEATHER
    hoists: int = 1
    notice: tuple[tuple[str, int], ...] = NOTICE
    expected: tuple[Supposed, ...] = ()
    tell: tuple[tuple[str, str], ...] = ()


def crew_minutes(
    rules: WorkRules,
    calendar: Calendar,
    crew: Crew,
    site: SiteRules,
    days: Sequence[date],
    stopped: Iterable[date] = (),
) -> tuple[int, ...]:
    """Give the minutes that a crew can work on each day at a site.

    Parameters
    ----------
    rules : WorkRules
        Of the shop.
    calendar : Calendar
        Days the firm works.
    crew : Crew
        Who.
    site : SiteRules
        Hours of the building.
    days : sequence of date
        The days asked for.
    stopped : iterable of date
        Days on which this kind of work stands still.

    Returns
    -------
    minutes : tuple of int
        All people present together; 0 on days off.

    References
    ----------
    Definition.
    """
    closed = set(stopped)
    hours = site_hours(rules, crew, site)
    away = _away(rules.absences, crew)
    return tuple(
        0
        if day in closed or not is_working_day(calendar, day)
        else round(max(0, crew.people - away.get(day, 0)) * hours * HOUR)
        for day in days
    )


def site_hours(rules: WorkRules, crew: Crew, site: SiteRules) -> float:
    """Give the hours of one person in a day at a site.

    Parameters
    ----------
    rules : WorkRules
        When the day begins.
    crew : Crew
        How long its day is.
    site : SiteRules
        When the building may be loud.

    Returns
    -------
    hours_h : float
        What the two have in common; 0 when nothing. [h]

    References
    ----------
    Definition.
    """
    ends_h = rules.starts_h + crew.day_h
    return max(0.0, min(ends_h, site.closes_h) - max(rules.starts_h, site.opens_h))


def firm_days(calendar: Calendar, days: Sequence[date], stopped: Iterable[date] = ()) -> tuple[int, ...]:
    """Give 1 for each day the firm works, else 0.

    Parameters
    ----------
    calendar : Calendar
        Days the firm works.
    days : sequence of date
        The days asked for.
    stopped : iterable of date
        Days on which this kind of work stands still.

    Returns
    -------
    worked : tuple of int
        In the order of the days.

    References
    ----------
    Definition.
    """
    closed = set(stopped)
    off = {day for day, _ in calendar.days_off} | closed
    return tuple(int(day.weekday() in calendar.weekdays and day not in off) for day in days)


def needed_minutes(task: Task, crew: Crew, planned_days: int) -> int:
    """Give the crew minutes that a task takes.

    Parameters
    ----------
    task : Task
        Its labour hours.
    crew : Crew
        Who does it.
    planned_days : int
        Its days by hand, when they differ from what the hours make. [days]

    Returns
    -------
    minutes : int
        All people together.

    References
    ----------
    Definition.
    """
    day = round(crew.people * crew.day_h * HOUR)
    by_hours = ceil(task.hours_h * HOUR - 1e-4)
    if planned_days and planned_days != max(1, -(-by_hours // day)):
        return planned_days * day
    return max(1, by_hours)


def weather_kinds(rules: WorkRules, step: str) -> frozenset[str]:
    """Give the kinds of weather that stop a step.

    Parameters
    ----------
    rules : WorkRules
        Of the shop.
    step : str
        Phase or hold point.

    Returns
    -------
    kinds : frozenset of str
        Empty when it goes on in any weather.

    References
    ----------
    Definition.
    """
    return frozenset(rule.kind for rule in rules.task_weather if rule.step == step)


def lost_share(rules: WorkRules, calendar: Calendar, on: date) -> float:
    """Give the share of the working days of a month that is usually lost to weather.

    Parameters
    ----------
    rules : WorkRules
        Lost days by month.
    calendar : Calendar
        Days the firm works.
    on : date
        A day in the month.

    Returns
    -------
    share : float
        From 0 to 0.9.

    References
    ----------
    Definition.
    """
    first = on.replace(day=1)
    month = [first + timedelta(days=number) for number in range(31)]
    worked = sum(firm_days(calendar, [day for day in month if day.month == on.month]))
    return min(0.9, rules.lost_days[on.month - 1] / worked) if worked else 0.0


def stopped_days(rules: WorkRules, step: str, weather: Iterable[Supposed]) -> frozenset[date]:
    """Give the days on which the weather stops a step.

    Parameters
    ----------
    rules : WorkRules
        Of the shop.
    step : str
        Phase or hold point.
    weather : iterable of Supposed
        What is expected.

    Returns
    -------
    days : frozenset of date
        Empty when nothing is expected that matters.

    References
    ----------
    Definition.
    """
    mine = [rule for rule in rules.task_weather if rule.step == step]
    return frozenset(one.on for one in weather if any(rule.is_met_by(one) for rule in mine))


def _away(absences: Iterable[Absence], crew: Crew) -> dict[date, int]:
    """Count the people away by day; the whole crew when the firm or crew is."""
    people: dict[date, set[str]] = {}
    whole: set[date] = set()
    for absence in absences:
        if absence.crew not in ("", crew.code):
            continue
        for number in range((absence.until_on - absence.from_on).days + 1):
            day = absence.from_on + timedelta(days=number)
            if absence.person:
                people.setdefault(day, set()).add(absence.person)
            else:
                whole.add(day)
    return {day: len(names) for day, names in people.items()} | dict.fromkeys(whole, crew.people)
