"""What stopped a task on the days before it starts, in words: weather, leave, the lift."""

from datetime import date

from app.schedule.joint_records import JointInputs, JointJob
from app.schedule.records import Task
from app.schedule.tasks import step_of
from app.schedule.work_rules import HOIST

_NAMED = 2


def stop_words(inputs: JointInputs, job: JointJob, task: Task, from_on: date, until_on: date) -> str:
    """Say what keeps a task from starting between two days.

    Parameters
    ----------
    inputs : JointInputs
        Rules, leave, and what is supposed.
    job : JointJob
        Whose task it is.
    task : Task
        Of the job.
    from_on, until_on : date
        The first day on which it could start but for this, and the last before it does.

    Returns
    -------
    words : str
        With a blank before them; empty when nothing known stopped it.

    References
    ----------
    Definition.
    """
    found = [*_weather(inputs, task), *_leave(inputs, job, task), *_lift(job, task, from_on, until_on)]
    met = sorted({stop for stop in found if stop[0] <= until_on and from_on <= stop[1]})
    return "".join(f" Not {_span(first, last)}: {why}." for first, last, why in met[:_NAMED])


def _weather(inputs: JointInputs, task: Task) -> list[tuple[date, date, str]]:
    """Give the days on which the weather stops a task, with the rule."""
    return [
        (one.on, one.on, rule.text)
        for rule in inputs.rules.task_weather
        if rule.step == step_of(task)
        for one in inputs.supposed
        if rule.is_met_by(one)
    ]


def _leave(inputs: JointInputs, job: JointJob, task: Task) -> list[tuple[date, date, str]]:
    """Give the days on which the whole crew, or the hoist that a lift needs, is away."""
    mine = {"", job.crew.code} if task.who == job.crew.code else set()
    if step_of(task) == "carry-up" and job.site.needs_hoist:
        mine.add(HOIST)
    away = [
        (one.from_on, one.until_on, f"the hoist is away, {one.reason}" if one.crew == HOIST else one.reason)
        for one in inputs.rules.absences
        if one.crew in mine and not one.person
    ]
    supposed = [
        (one.on, one.on, "the crew is away")
        for one in inputs.supposed
        if one.kind == "away" and one.crew in mine
    ]
    return [*away, *supposed]


def _lift(job: JointJob, task: Task, from_on: date, until_on: date) -> list[tuple[date, date, str]]:
    """Give the days before the lift is booked, for what is carried up."""
    booked = job.site.hoist_days
    if step_of(task) != "carry-up" or not booked:
        return []
    if any(first <= until_on and from_on <= last for first, last in booked):
        return []
    return [(from_on, until_on, "no lift, hoist or street is booked for it")]


def _span(first: date, last: date) -> str:
    """Write one day or several."""
    return f"on {first}" if first == last else f"from {first} to {last}"
