"""Outsiders who come by appointment: how long before they must be told, and from which day they can come."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date

from app.schedule import links
from app.schedule.calendars import add_working_days
from app.schedule.records import Calendar, Task
from app.schedule.tasks import step_of
from app.schedule.work_rules import NOTICE, WorkRules


@dataclass(frozen=True, slots=True)
class Told:
    """An outsider's task whose days were accepted, so that whoever comes has been told.

    Attributes
    ----------
    job, task : str
        Id of the job, code of the task.
    from_on, until_on : date
        The days told.
    """

    job: str
    task: str
    from_on: date
    until_on: date


def notice_days(rules: WorkRules, who: str) -> int:
    """Give the working days of notice that somebody needs.

    Parameters
    ----------
    rules : WorkRules
        Of the shop.
    who : str
        Crew code, or the outsider who comes.

    Returns
    -------
    days : int
        0 for crews and for whoever comes when called. [days]

    Examples
    --------
    >>> notice_days(WorkRules(notice=(("building office", 3),)), "building office")
    3

    References
    ----------
    Common practice, no source: the shop's own figure, else `NOTICE`.
    """
    return (dict(NOTICE) | dict(rules.notice)).get(who, 0)


def with_notice(tasks: Sequence[Task], rules: WorkRules) -> tuple[Task, ...]:
    """Give tasks in which every look of an outsider waits as long as the shop says that one needs.

    Parameters
    ----------
    tasks : sequence of Task
        As worked out; their looks wait the usual notice.
    rules : WorkRules
        Of the shop.

    Returns
    -------
    tasks : tuple of Task
        In the same order. Whoever looks is called when what is to be seen is finished.

    References
    ----------
    Common practice, no source.
    """
    usual = {step.code: dict(step.after) for step in links.STEPS}
    steps = {task.code: step_of(task) for task in tasks}
    found = []
    for task in tasks:
        called = {code for code, lag in usual.get(task.code, {}).items() if lag}
        days = notice_days(rules, task.who)
        after = tuple((code, days if steps.get(code) in called else lag) for code, lag in task.after)
        found.append(replace(task, after=after) if task.is_hold_point and called else task)
    return tuple(found)


def first_visit(rules: WorkRules, calendar: Calendar, who: str, today: date) -> date | None:
    """Give the first day on which somebody who is told today can come.

    Parameters
    ----------
    rules : WorkRules
        Of the shop.
    calendar : Calendar
        Days the firm works.
    who : str
        Crew code, or the outsider who comes.
    today : date
        The day of the call.

    Returns
    -------
    day : date or None
        None for whoever needs no notice.

    References
    ----------
    Definition.
    """
    days = notice_days(rules, who)
    return add_working_days(calendar, today, days) if days else None
