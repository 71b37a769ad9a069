"""How likely weather takes a day from each piece of work."""

from collections.abc import Iterable
from datetime import date

from app.schedule.records import Calendar, Task
from app.schedule.tasks import step_of
from app.schedule.work_rules import RAIN, WorkRules, lost_share, weather_kinds

_INDOORS = ("fit-out",)


def weather_shares(
    rules: WorkRules, calendar: Calendar, tasks: Iterable[tuple[Task, date]]
) -> tuple[float, ...]:
    """Give the share of the days of each task that weather takes.

    Parameters
    ----------
    rules : WorkRules
        Lost days by month, and what stops which step.
    calendar : Calendar
        Days the firm works.
    tasks : iterable of (Task, date)
        With the day each is planned to start: its month counts.

    Returns
    -------
    shares : tuple of float
        From 0 to 0.9, in the order of the tasks; 0 for what goes on in any weather.

    References
    ----------
    Common practice, no source: work outdoors that has hours loses days as often as the month does.
    """
    by_month: dict[date, float] = {}
    shares = []
    for task, start_on in tasks:
        kinds = weather_kinds(rules, step_of(task))
        is_exposed = bool(kinds) or (bool(task.phase) and task.phase not in _INDOORS)
        month = start_on.replace(day=1)
        if month not in by_month:
            by_month[month] = lost_share(rules, calendar, month)
        counts = is_exposed and (RAIN in kinds or task.hours_h > 0)
        shares.append(by_month[month] if counts else 0.0)
    return tuple(shares)
