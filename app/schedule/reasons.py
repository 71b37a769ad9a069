"""Why a task starts on the day it does, in words."""

from collections.abc import Mapping

from app.schedule.critical_path import Activity, Times
from app.schedule.links import lag_reason
from app.schedule.records import Task
from app.schedule.tasks import step_of


def because(
    task: Task,
    activity: Activity,
    times: Mapping[str, Times],
    tasks: Mapping[str, Task],
) -> str:
    """Say what binds the start of a task.

    Parameters
    ----------
    task : Task
        The task.
    activity : Activity
        The same in the network in which the crew's tasks wait for each other.
    times : mapping of str to Times
        Of that network, by code.
    tasks : mapping of str to Task
        All tasks by code.

    Returns
    -------
    reason : str
        One sentence.

    References
    ----------
    Definition.
    """
    start = times[task.code].early_start
    if start == 0:
        return "Nothing stands before it: it starts on the first working day."
    binding = [(c, lag) for c, lag in activity.after if times[c].early_finish + lag == start]
    code, lag = binding[0]
    before = tasks[code]
    wanted = {known for known, _ in task.after}
    if code not in wanted:
        return f"The crew is on “{before.name}” until then."
    if lag:
        days = "1 working day" if lag == 1 else f"{lag} working days"
        reason = lag_reason(step_of(task), step_of(before))
        return f"Starts {days} after “{before.name}” is finished: {reason}."
    if before.is_hold_point:
        return f"Work stops until “{before.name}” has been signed ({before.who})."
    return f"Starts when “{before.name}” is finished."
