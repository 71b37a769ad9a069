"""Records of the plan over all jobs: what goes in, when each task lies and why, what cannot be kept."""

from dataclasses import dataclass, field
from datetime import date

from app.schedule.notice import Told
from app.schedule.records import Calendar, Crew, Task
from app.schedule.supposed import Supposed
from app.schedule.work_rules import SiteRules, WorkRules


@dataclass(frozen=True, slots=True)
class JointJob:
    """One job to be planned with the others.

    Attributes
    ----------
    code : str
        Its id as text.
    number, title : str
    tasks : tuple of Task
        With what was set by hand.
    crew : Crew
    start_on : date
        First day it may start.
    finish_by_on : date or None
        Last day promised.
    ready_on : tuple of (str, date)
        By task: the day before which its goods are not on the roof.
    site : SiteRules
    is_signed : bool
        False while it is only offered.
    done : tuple of str
        Codes of the tasks that are finished; they are not planned again.
    """

    code: str
    number: str
    title: str
    tasks: tuple[Task, ...]
    crew: Crew
    start_on: date
    finish_by_on: date | None = None
    ready_on: tuple[tuple[str, date], ...] = ()
    site: SiteRules = field(default_factory=SiteRules)
    is_signed: bool = True
    done: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class JointInputs:
    """All that a plan over all jobs is made from.

    Attributes
    ----------
    jobs : tuple of JointJob
    calendar : Calendar
        Days the firm works.
    rules : WorkRules
    today : date
        Nothing is planned before it.
    supposed : tuple of Supposed
    told : tuple of Told
        Outsiders who know their days already; they can come on those without new notice.
    """

    jobs: tuple[JointJob, ...]
    calendar: Calendar
    rules: WorkRules
    today: date
    supposed: tuple[Supposed, ...] = ()
    told: tuple[Told, ...] = ()


@dataclass(frozen=True, slots=True)
class JointTask:
    """One task of one job with its days.

    Attributes
    ----------
    job, code, name, who : str
    start_on, end_on : date
    float_days : int
        Working days it can slip without moving its job's end. [days]
    is_critical, is_hold_point : bool
    because : str
        What binds its start, in words.
    """

    job: str
    code: str
    name: str
    who: str
    start_on: date
    end_on: date
    float_days: int
    is_critical: bool
    is_hold_point: bool
    because: str


@dataclass(frozen=True, slots=True)
class JobOutlook:
    """When one job starts and ends.

    Attributes
    ----------
    job, number, title : str
    crew : str
        Code.
    start_on, end_on : date
    finish_by_on : date or None
        As promised.
    late_days : int
        Days after the promise. [days]
    p50_on, p80_on : date
        Half, and four fifths, of the trials end on or before it.
    is_signed : bool
    """

    job: str
    number: str
    title: str
    crew: str
    start_on: date
    end_on: date
    finish_by_on: date | None
    late_days: int
    p50_on: date
    p80_on: date
    is_signed: bool


@dataclass(frozen=True, slots=True)
class BrokenPromise:
    """A promise that the plan does not keep.

    Attributes
    ----------
    jobs : tuple of str
        Ids; where there are several, at least one of them.
    text : str
        Which promise, by how much, and why.
    late_days : int
        By at least so many days. [days]
    is_proven : bool
        True: no plan can keep it. False: this plan does not; another may.
    """

    jobs: tuple[str, ...]
    text: str
    late_days: int
    is_proven: bool


@dataclass(frozen=True, slots=True)
class JointPlan:
    """The plan over all jobs.

    Attributes
    ----------
    tasks : tuple of JointTask
        Job by job, in the order of the work.
    jobs : tuple of JobOutlook
    broken : tuple of BrokenPromise
    late_days, idle_days, moves : int
        What the plan was judged by, in this order. [days]
    assumptions : tuple of str
    """

    tasks: tuple[JointTask, ...]
    jobs: tuple[JobOutlook, ...]
    broken: tuple[BrokenPromise, ...]
    late_days: int
    idle_days: int
    moves: int
    assumptions: tuple[str, ...] = ()
