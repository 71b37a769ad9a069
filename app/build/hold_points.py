"""Hold points: which are signed, which are due, and what may not start before they are."""

from collections.abc import Iterable
from datetime import date

from app.build.records import HoldPoint, HoldSignature
from app.schedule.records import DayPlan


def hold_points(plan: DayPlan, signatures: Iterable[HoldSignature], today: date) -> tuple[HoldPoint, ...]:
    """Give the hold points of a plan as they stand.

    Parameters
    ----------
    plan : DayPlan
        The job in days.
    signatures : iterable of HoldSignature
        In the order given; the first for a hold point counts.
    today : date
        Decides what is due.

    Returns
    -------
    points : tuple of HoldPoint
        In the order of the plan; then those signed that the plan no longer holds.

    References
    ----------
    Definition: work stops until a named person has signed.
    """
    signed: dict[str, HoldSignature] = {}
    for signature in signatures:
        signed.setdefault(signature.code, signature)
    found = []
    for planned in plan.tasks:
        task = planned.task
        if not task.is_hold_point:
            continue
        signature_here = signed.pop(task.code, None)
        is_due = planned.end_on <= today
        found.append(
            HoldPoint(
                code=task.code,
                name=task.name,
                who=task.who,
                planned_on=planned.end_on,
                state="signed" if signature_here else "due" if is_due else "open",
                holds_back=tuple(
                    other.task.code
                    for other in plan.tasks
                    if any(code == task.code for code, _ in other.task.after)
                ),
                signature=signature_here,
            )
        )
    gone = [HoldPoint(s.code, s.code, "", None, "signed", (), s) for s in signed.values()]
    return (*found, *gone)


def held_back(task_code: str, plan: DayPlan, points: Iterable[HoldPoint]) -> tuple[HoldPoint, ...]:
    """Give the unsigned hold points that a task waits for, directly or through others.

    Parameters
    ----------
    task_code : str
        The task somebody wants to start.
    plan : DayPlan
        The job in days.
    points : iterable of HoldPoint
        As they stand.

    Returns
    -------
    points : tuple of HoldPoint
        Empty when the task may start.

    Raises
    ------
    KeyError
        If the plan has no such task.

    References
    ----------
    Definition.
    """
    after = {planned.task.code: [code for code, _ in planned.task.after] for planned in plan.tasks}
    before: set[str] = set()
    waiting = list(after[task_code])
    while waiting:
        code = waiting.pop()
        if code not in before:
            before.add(code)
            waiting += after[code]
    return tuple(point for point in points if point.state != "signed" and point.code in before)
