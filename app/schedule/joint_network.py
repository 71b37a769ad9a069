"""From jobs, crews, calendars and weather to the network that is searched."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta

from app.schedule.joint_records import JointInputs, JointJob
from app.schedule.network import FIRM, Network, Wait, Work
from app.schedule.notice import first_visit
from app.schedule.records import Task
from app.schedule.tasks import days_for, step_of
from app.schedule.work_rules import (
    HOIST,
    Absence,
    SiteRules,
    crew_minutes,
    firm_days,
    needed_minutes,
    site_hours,
    stopped_days,
)

# Besides the work itself: a year for what waits, is promised late, or falls into a long break.
LEAST_HORIZON = 400
MOST_HORIZON = 366 * 8


@dataclass(frozen=True, slots=True)
class Joined:
    """A network and what its numbers stand for.

    Attributes
    ----------
    network : Network
    first_on : date
        Day 0.
    tasks : tuple of (JointJob, Task)
        In the order of the network's works.
    visits : tuple of (date, date or None) or None
        For each task of an outsider who needs notice: the first day on which one told today can come, and
        the first day told already; None for the others.
    inputs : JointInputs or None
        What it was made from.
    """

    network: Network
    first_on: date
    tasks: tuple[tuple[JointJob, Task], ...]
    visits: tuple[tuple[date, date | None] | None, ...] = ()
    inputs: JointInputs | None = None

    def day(self, number: int) -> date:
        """Give the date of a day of the network."""
        return self.first_on + timedelta(days=number)


def joined(inputs: JointInputs) -> Joined:
    """Give the network of all jobs.

    Parameters
    ----------
    inputs : JointInputs
        Jobs, calendar, rules, what is supposed.

    Returns
    -------
    joined : Joined
        Tasks that are done are left out, and nothing waits for them.

    References
    ----------
    Definition.
    """
    pairs = tuple((job, task) for job in inputs.jobs for task in job.tasks if task.code not in job.done)
    crews = {job.crew.code: job.crew for job in inputs.jobs}
    builder = _Builder(inputs, pairs)
    works = tuple(builder.work(job, task) for job, task in pairs)
    for job in inputs.jobs:
        builder.of_crew(job.crew.code, replace(job, site=SiteRules()), frozenset())
    builder.of_firm(FIRM, frozenset())
    hoists = ((HOIST, inputs.rules.hoists),) if inputs.rules.hoists else ()
    due = tuple(
        (job.code, (job.finish_by_on - inputs.today).days)
        for job in inputs.jobs
        if job.finish_by_on is not None and len(job.done) < len(job.tasks)
    )
    start_by = tuple(
        (work_code(job.code, task.code), max(0, (task.fixed_on - inputs.today).days))
        for job, task in pairs
        if task.fixed_on is not None
    )
    end_by = tuple(
        (work_code(job.code, task.code), (task.end_by_on - inputs.today).days)
        for job, task in pairs
        if task.end_by_on is not None
    )
    network = Network(
        works=works,
        start_by=start_by,
        end_by=end_by,
        capacities=(*((code, 1) for code in crews), *hoists),
        calendars=tuple(builder.calendars.items()),
        due=due,
        crews=frozenset(crews),
    )
    visits = tuple(builder.visit(job, task) for job, task in pairs)
    return Joined(network, inputs.today, pairs, visits, inputs)


class _Builder:
    """Makes works and the calendars they need."""

    def __init__(self, inputs: JointInputs, pairs: Sequence[tuple[JointJob, Task]]) -> None:
        self.inputs = inputs
        self.days = [inputs.today + timedelta(days=number) for number in range(_horizon(inputs, pairs))]
        self.calendars: dict[str, tuple[int, ...]] = {}
        self.weather = inputs.supposed
        away = tuple(Absence(one.on, one.on, one.crew) for one in inputs.supposed if one.kind == "away")
        self.rules = replace(inputs.rules, absences=(*inputs.rules.absences, *away))
        self.told = {(one.job, one.task): one for one in inputs.told}
        self.first_visit: dict[str, date | None] = {}
        self.goods = {(one.job, one.task): one.on for one in inputs.supposed if one.kind == "goods"}

    def of_crew(self, name: str, job: JointJob, stopped: frozenset[date]) -> str:
        """Give the name of a crew's calendar, made when it is first asked for."""
        if name not in self.calendars:
            self.calendars[name] = crew_minutes(
                self.rules, self.inputs.calendar, job.crew, job.site, self.days, stopped
            )
        return name

    def of_firm(self, name: str, stopped: frozenset[date]) -> str:
        """Give the name of a calendar of outsiders, who work the firm's days."""
        if name not in self.calendars:
            self.calendars[name] = firm_days(self.inputs.calendar, self.days, stopped)
        return name

    def work(self, job: JointJob, task: Task) -> Work:
        """Give one piece of work."""
        stopped = stopped_days(self.rules, step_of(task), self.weather)
        is_lift = step_of(task) == "carry-up"
        if is_lift:
            stopped |= self._no_lift(job)
        is_crew = task.who == job.crew.code and not task.is_hold_point
        if not is_crew:
            stopped |= self._not_told(job, task)
        key = "" if not stopped else f" without {hash(tuple(sorted(stopped)))}"
        if is_crew:
            hours = site_hours(self.rules, job.crew, job.site)
            calendar = self.of_crew(f"{job.crew.code} for {hours:g} h{key}", job, stopped)
            by_hours = days_for(task.hours_h, job.crew)
            need = needed_minutes(task, job.crew, task.days if task.days != by_hours else 0)
        else:
            calendar, need = self.of_firm(f"{FIRM}{key}" if key else FIRM, stopped), task.days
        uses = [(job.crew.code, 1)] if is_crew else []
        if is_lift and is_crew and job.site.needs_hoist and self.rules.hoists:
            uses.append((HOIST, 1))
        return Work(
            code=work_code(job.code, task.code),
            job=job.code,
            need=need,
            calendar=calendar,
            uses=tuple(uses),
            after=self._waits(job, task),
            not_before=max(0, (self._earliest(job, task) - self.inputs.today).days),
        )

    def visit(self, job: JointJob, task: Task) -> tuple[date, date | None] | None:
        """Give from when an outsider can come: told today, told already; None where no notice is needed."""
        if task.who not in self.first_visit:
            self.first_visit[task.who] = first_visit(
                self.rules, self.inputs.calendar, task.who, self.inputs.today
            )
        first = self.first_visit[task.who]
        told = self.told.get((job.code, task.code))
        return (first, told.from_on if told else None) if first is not None else None

    def _not_told(self, job: JointJob, task: Task) -> frozenset[date]:
        """Give the days before notice has run, but for those told already."""
        visit = self.visit(job, task)
        if visit is None:
            return frozenset()
        told = self.told.get((job.code, task.code))
        return frozenset(
            day
            for day in self.days[: (visit[0] - self.inputs.today).days]
            if told is None or not told.from_on <= day <= told.until_on
        )

    def _waits(self, job: JointJob, task: Task) -> tuple[Wait, ...]:
        """Give what a task waits for and is not done."""
        overlaps = dict(task.overlaps)
        return tuple(
            Wait(work_code(job.code, code), 0 if code in overlaps else lag, overlaps.get(code, 0))
            for code, lag in task.after
            if code not in job.done
        )

    def _earliest(self, job: JointJob, task: Task) -> date:
        """Give the first day a task may start."""
        goods_on = self.goods.get((job.code, task.code)) or dict(job.ready_on).get(task.code)
        known = [job.start_on, task.not_before_on, task.fixed_on, goods_on]
        return max(day for day in known if day is not None)

    def _no_lift(self, job: JointJob) -> frozenset[date]:
        """Give the days on which nothing can be carried up."""
        booked = job.site.hoist_days
        away = [absence for absence in self.rules.absences if absence.crew == HOIST]
        return frozenset(
            day
            for day in self.days
            if (booked and not any(first <= day <= last for first, last in booked))
            or (job.site.needs_hoist and any(one.from_on <= day <= one.until_on for one in away))
        )


def work_code(job: str, task: str) -> str:
    """Give the code of a task within the network of all jobs.

    Parameters
    ----------
    job : str
        Id of the job.
    task : str
        Code of the task.

    Returns
    -------
    code : str
        The two together.

    References
    ----------
    Definition.
    """
    return f"{job}/{task}"


def _horizon(inputs: JointInputs, pairs: Sequence[tuple[JointJob, Task]]) -> int:
    """Give how many days the calendars must reach: past every start, all work of the busiest crew, a year."""
    last = inputs.today
    load: dict[str, float] = {}
    for job, task in pairs:
        starts = [
            job.start_on,
            task.not_before_on,
            task.fixed_on,
            task.end_by_on,
            job.finish_by_on,
            dict(job.ready_on).get(task.code),
        ]
        last = max([last, *(day for day in starts if day is not None)])
        share = job.crew.day_h / max(0.5, site_hours(inputs.rules, job.crew, job.site))
        load[task.who] = load.get(task.who, 0.0) + task.days * share
    worked = max(1, len(inputs.calendar.weekdays)) / 7
    wanted = (last - inputs.today).days + int(1.5 * max(load.values(), default=0.0) / worked) + LEAST_HORIZON
    return min(MOST_HORIZON, wanted)
