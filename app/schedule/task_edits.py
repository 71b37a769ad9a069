"""What the office sets by hand about the tasks of a job, each with a reason."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import date

from app.schedule.records import Task


@dataclass(frozen=True, slots=True)
class TaskEdit:
    """What was set by hand about one task.

    Attributes
    ----------
    code : str
    reason : str
    days : int or None
        Working days instead of those worked out. [days]
    not_before_on, fixed_on : date or None
        First day it may start; the day it was promised to start.
    after : str
        Code of one more task it waits for; empty for none.
    lag_days : int
        Working days it waits after that one. [days]
    overlap_code : str
        Code of a task it waits for, before whose end it may start; empty for none.
    overlap_days : int
        By so many days. [days]
    end_by_on : date or None
        The last day promised for it.
    """

    code: str
    reason: str
    days: int | None = None
    not_before_on: date | None = None
    fixed_on: date | None = None
    after: str = ""
    lag_days: int = 0
    overlap_code: str = ""
    overlap_days: int = 0
    end_by_on: date | None = None


def edited(tasks: Sequence[Task], edits: Iterable[TaskEdit]) -> tuple[Task, ...]:
    """Give tasks as they stand after what was set by hand.

    Parameters
    ----------
    tasks : sequence of Task
        As worked out.
    edits : iterable of TaskEdit
        The last one for a task counts; those for tasks that are gone are left out.

    Returns
    -------
    tasks : tuple of Task
        In the same order.

    References
    ----------
    Definition.
    """
    by_code = {edit.code: edit for edit in edits}
    known = {task.code for task in tasks}
    return tuple(_edited(task, by_code[task.code], known) if task.code in by_code else task for task in tasks)


def edit_fault(tasks: Sequence[Task], edit: TaskEdit) -> str:
    """Say why something cannot be set by hand.

    Parameters
    ----------
    tasks : sequence of Task
        With everything else that was set.
    edit : TaskEdit
        What is to be set.

    Returns
    -------
    fault : str
        A sentence; empty when it can.

    References
    ----------
    Definition.
    """
    known = {task.code: task for task in tasks}
    if edit.code not in known:
        return f"There is no task {edit.code}."
    if not edit.reason.strip():
        return "Give the reason; it stands beside the task."
    return _figure_fault(edit) or _link_fault(edit, known)


def _figure_fault(edit: TaskEdit) -> str:
    """Say which figure cannot be."""
    if edit.days is not None and not 1 <= edit.days <= 200:
        return f"{edit.days} days cannot be; give 1 to 200."
    if not 0 <= edit.lag_days <= 60 or not 0 <= edit.overlap_days <= 60:
        return "Give lags and overlaps from 0 to 60 days."
    first_on = max((day for day in (edit.not_before_on, edit.fixed_on) if day is not None), default=None)
    if edit.end_by_on is not None and first_on is not None and edit.end_by_on < first_on:
        return f"It cannot be done by {edit.end_by_on} and start on {first_on} or later."
    return ""


def _link_fault(edit: TaskEdit, known: dict[str, Task]) -> str:
    """Say which link cannot be."""
    for other in filter(None, (edit.after, edit.overlap_code)):
        if other not in known or other == edit.code:
            return f"{other} is not another task of this job."
    if edit.after and edit.code in _before(edit.after, known):
        return f"“{known[edit.after].name}” waits for “{known[edit.code].name}” itself; that would be a ring."
    overlapped = known.get(edit.overlap_code)
    if overlapped is not None and edit.overlap_code not in {code for code, _ in known[edit.code].after}:
        return f"“{known[edit.code].name}” does not wait for “{overlapped.name}”."
    if overlapped is not None and overlapped.is_hold_point:
        return f"Nothing starts before “{overlapped.name}” has been signed."
    return ""


def _before(code: str, known: dict[str, Task]) -> set[str]:
    """Name everything that a task waits for, directly or through others."""
    seen: set[str] = set()
    waiting = [code]
    while waiting:
        for before, _ in known[waiting.pop()].after:
            if before not in seen:
                seen.add(before)
                waiting.append(before)
    return seen


def _edited(task: Task, edit: TaskEdit, known: set[str]) -> Task:
    """Give one task as it stands after what was set by hand."""
    after = dict(task.after)
    if edit.after in known and edit.after != task.code:
        after[edit.after] = max(after.get(edit.after, 0), edit.lag_days)
    is_over = edit.overlap_code in after and edit.overlap_days > 0
    overlaps = ((edit.overlap_code, edit.overlap_days),) if is_over else ()
    said = [
        f"{edit.days} days" if edit.days is not None else "",
        f"not before {edit.not_before_on}" if edit.not_before_on else "",
        f"promised for {edit.fixed_on}" if edit.fixed_on else "",
        f"promised to be done by {edit.end_by_on}" if edit.end_by_on else "",
        f"after {edit.after}" if edit.after in known else "",
        f"overlaps {edit.overlap_code} by {edit.overlap_days} days" if overlaps else "",
    ]
    words = ", ".join(part for part in said if part)
    return replace(
        task,
        days=edit.days if edit.days is not None else task.days,
        after=tuple(after.items()),
        overlaps=overlaps,
        not_before_on=edit.not_before_on,
        fixed_on=edit.fixed_on,
        end_by_on=edit.end_by_on,
        changed=": ".join(filter(None, (words, edit.reason))) if words else "",
    )
