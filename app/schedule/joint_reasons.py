"""Why each task of the plan over all jobs starts when it does, in words."""

from collections.abc import Mapping
from datetime import date

from app.schedule.joint_network import Joined, work_code
from app.schedule.joint_records import JointJob
from app.schedule.links import lag_reason
from app.schedule.network import Placed, Ready
from app.schedule.records import Task
from app.schedule.stop_words import stop_words
from app.schedule.tasks import step_of
from app.schedule.work_rules import HOIST


def reasons(joint: Joined, ready: Ready, placed: Placed) -> tuple[str, ...]:
    """Say for each task what binds its start.

    Parameters
    ----------
    joint : Joined
        The network and its tasks.
    ready : Ready
        The same, made ready.
    placed : Placed
        The plan.

    Returns
    -------
    words : tuple of str
        One sentence for each, in the order of the network.

    References
    ----------
    Definition.
    """
    places = {work.code: number for number, work in enumerate(joint.network.works)}
    held: dict[str, dict[int, int]] = {}
    for number, work in enumerate(joint.network.works):
        for name, _ in work.uses:
            held.setdefault(name, {})[placed.ends[number]] = number
    return tuple(
        _reason(joint, ready, placed, number, (places, held)) for number in range(len(joint.network.works))
    )


def _reason(
    joint: Joined,
    ready: Ready,
    placed: Placed,
    number: int,
    known: tuple[Mapping[str, int], Mapping[str, Mapping[int, int]]],
) -> str:
    """Say what binds one task: a wait, a day set, a crew or hoist in use, a day off; in this order."""
    places, held = known
    job, task = joint.tasks[number]
    next_on = ready.supply[number].next_on
    start = placed.starts[number]
    words = _notice_words(joint, ready, placed, number, places)
    if words:
        return words
    for code, lag in task.after:
        if code in job.done:
            continue
        before = places[work_code(job.code, code)]
        overlap = dict(task.overlaps).get(code, 0)
        if overlap:
            first = max(placed.starts[before] + 1, placed.ends[before] + 1 - overlap)
        else:
            first = ready.after_lag(placed.ends[before], lag) if lag else placed.ends[before] + 1
        if next_on[min(first, ready.horizon)] == start:
            words = _wait_words(task, joint.tasks[before][1], lag, overlap)
            return words + _stopped(joint, ready, number, first, start)
    bound = joint.network.works[number].not_before
    if next_on[min(bound, ready.horizon)] == start:
        words = _day_words(job, task, joint.day(bound), is_first=bound == 0)
        return words + _stopped(joint, ready, number, bound, start)
    for name, _ in joint.network.works[number].uses:
        ended = [end for end in held[name] if end < start and next_on[min(end + 1, ready.horizon)] == start]
        if ended:
            other_job, other = joint.tasks[held[name][max(ended)]]
            where = "" if other_job.code == job.code else f" of {other_job.number} {other_job.title}"
            who = "The hoist" if name == HOIST else "The crew"
            return f"{who} is on “{other.name}”{where} until then."
    return "It is kept here by the order of the crew's other work."


def _stopped(joint: Joined, ready: Ready, number: int, first: int, start: int) -> str:
    """Say what lay between the day that a task could start on and the one it does; mostly nothing."""
    place = ready.firm_seen[min(first, ready.horizon)]
    if joint.inputs is None or place >= len(ready.firm_days) or ready.firm_days[place] >= start:
        return ""
    job, task = joint.tasks[number]
    return stop_words(joint.inputs, job, task, joint.day(first), joint.day(start - 1))


def _notice_words(joint: Joined, ready: Ready, placed: Placed, number: int, places: Mapping[str, int]) -> str:
    """Say that an outsider's notice holds a task back; empty when something later does."""
    visit = joint.visits[number] if joint.visits else None
    if visit is None:
        return ""
    job, task = joint.tasks[number]
    first = joint.network.works[number].not_before
    for code, lag in task.after:
        if code not in job.done and code not in dict(task.overlaps):
            end = placed.ends[places[work_code(job.code, code)]]
            first = max(first, ready.after_lag(end, lag) if lag else end + 1)
    place = ready.firm_seen[min(first, ready.horizon)]
    start = placed.starts[number]
    if place >= len(ready.firm_days) or ready.firm_days[place] >= start:
        return ""
    on, (can_on, told_on) = joint.day(start), visit
    if told_on == on:
        return f"The {task.who} has been told {on}; another day would need notice again."
    if on < can_on or joint.day(ready.firm_days[ready.firm_seen[(can_on - joint.first_on).days]]) != on:
        return ""
    notice = _working(ready.firm_seen[start])
    return f"Waits for the {task.who}, who needs {notice} notice from {joint.first_on}."


def _working(days: int) -> str:
    """Write days of notice."""
    return "1 working day's" if days == 1 else f"{days} working days'"


def _wait_words(task: Task, before: Task, lag: int, overlap: int) -> str:
    """Say that a task waits for another."""
    if overlap:
        return f"Starts up to {overlap} days before “{before.name}” is finished, as set by hand."
    if lag:
        days = "1 working day" if lag == 1 else f"{lag} working days"
        why = lag_reason(step_of(task), step_of(before))
        if task.is_hold_point:
            notice = _working(lag)
            return f"Waits for the {task.who}, who needs {notice} notice after “{before.name}” is finished."
        return f"Starts {days} after “{before.name}” is finished: {why}."
    if before.is_hold_point:
        return f"Work stops until “{before.name}” has been signed ({before.who})."
    return f"Starts when “{before.name}” is finished."


def _day_words(job: JointJob, task: Task, on: date, *, is_first: bool) -> str:
    """Say that a task waits for a day."""
    if task.fixed_on == on:
        return f"Set by hand: {task.changed}."
    if task.not_before_on == on:
        return f"Set by hand: {task.changed}."
    if dict(job.ready_on).get(task.code) == on and on > job.start_on:
        return f"Its goods are on the roof on {on}."
    if is_first:
        return "Nothing stands before it: it starts on the first day that is planned."
    if on == job.start_on:
        return f"The job starts on {on}."
    return f"Its goods are expected on {on}."
