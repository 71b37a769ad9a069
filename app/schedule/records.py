"""Records of time: crews and their calendar, tasks, the plan by day, and what must be ordered when."""

from dataclasses import dataclass
from datetime import date

from app.job.findings import Assumption, Finding


@dataclass(frozen=True, slots=True)
class Crew:
    """People who work together.

    Attributes
    ----------
    code, name : str
    people : int
        How many.
    day_h : float
        Working hours of one person in a day. [h]
    """

    code: str
    name: str
    people: int
    day_h: float


@dataclass(frozen=True, slots=True)
class Calendar:
    """Which days are worked.

    Attributes
    ----------
    weekdays : tuple of int
        Worked weekdays, Monday is 0.
    days_off : tuple of (date, str)
        Public holidays and leave, with their names, sorted.
    region : str
        Where the holidays come from, as printed: ``US-ME``.
    """

    weekdays: tuple[int, ...]
    days_off: tuple[tuple[date, str], ...]
    region: str


@dataclass(frozen=True, slots=True)
class Task:
    """One piece of work with its own days.

    Attributes
    ----------
    code : str
        ``frame``, ``rough-in inspection`` …
    name : str
    phase : str
        Phase of the estimate it comes from; empty for a hold point.
    days : int
        Working days it takes.
    hours_h : float
        Labour hours. [h]
    after : tuple of (str, int)
        Codes of tasks that must be finished, each with a lag in working days.
    is_hold_point : bool
        Work stops until a named person has signed.
    needs : tuple of str
        Items that must be on the roof.
    who : str
        Crew code, or the outsider who comes.
    overlaps : tuple of (str, int)
        Codes of tasks not quite finished when it starts, each with by how many days.
    not_before_on, fixed_on : date or None
        Set by hand: first day it may start, and the day it was promised to start.
    changed : str
        What was set by hand and why; empty when nothing was.
    end_by_on : date or None
        Last day promised for it.
    """

    code: str
    name: str
    phase: str
    days: int
    hours_h: float
    after: tuple[tuple[str, int], ...]
    is_hold_point: bool
    needs: tuple[str, ...]
    who: str
    overlaps: tuple[tuple[str, int], ...] = ()
    not_before_on: date | None = None
    fixed_on: date | None = None
    changed: str = ""
    end_by_on: date | None = None


@dataclass(frozen=True, slots=True)
class PlannedTask:
    """A task with its dates, and why.

    Attributes
    ----------
    task : Task
    start_on, end_on : date
        First and last working day.
    latest_end_on : date
        Latest last day that does not delay the job.
    float_days : int
        Working days it can slip. [days]
    is_critical : bool
    because : str
        What binds its start, in words.
    """

    task: Task
    start_on: date
    end_on: date
    latest_end_on: date
    float_days: int
    is_critical: bool
    because: str


@dataclass(frozen=True, slots=True)
class DayEntry:
    """What happens on one working day.

    Attributes
    ----------
    on : date
    tasks : tuple of str
        Task codes.
    who : tuple of str
        Crew or outsider for each.
    hours_h : tuple of float
        Labour hours of each that day. [h]
    bring : tuple of str
        Items first needed that day.
    hold_points : tuple of str
        To be signed that day.
    """

    on: date
    tasks: tuple[str, ...]
    who: tuple[str, ...]
    hours_h: tuple[float, ...]
    bring: tuple[str, ...]
    hold_points: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class OrderLine:
    """What to order, and by when.

    Attributes
    ----------
    item, name, supplier : str
    packs : int
        Whole packs.
    unit : str
    cost : str
        Money as printed in the currency, to the cent.
    needed_on : date
        First working day it is needed on the roof.
    order_by_on : date
        Last day to order so that it is there.
    lead_days : int
        Working days from order to delivery. [days]
    is_late : bool
        Whether that day has passed.
    """

    item: str
    name: str
    supplier: str
    packs: int
    unit: str
    cost: str
    needed_on: date
    order_by_on: date
    lead_days: int
    is_late: bool


@dataclass(frozen=True, slots=True)
class DayPlan:
    """The job in days.

    Attributes
    ----------
    crew : Crew
    start_on, end_on : date
    tasks : tuple of PlannedTask
    days : tuple of DayEntry
    orders : tuple of OrderLine
    critical_path : tuple of str
        Task codes, first to last.
    findings : tuple of Finding
    assumptions : tuple of Assumption
    """

    crew: Crew
    start_on: date
    end_on: date
    tasks: tuple[PlannedTask, ...]
    days: tuple[DayEntry, ...]
    orders: tuple[OrderLine, ...]
    critical_path: tuple[str, ...]
    findings: tuple[Finding, ...]
    assumptions: tuple[Assumption, ...]
