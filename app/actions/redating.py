"""A job's own plan on the days of the plan over all jobs, kept until something of it is another."""

from collections import OrderedDict
from collections.abc import Sequence
from dataclasses import dataclass
from threading import Lock

from app.actions.records import WorkedOut
from app.schedule.joint_records import JointTask
from app.schedule.records import DayPlan, Task
from app.schedule.redate import redated

_KEPT = 512  # as many as jobs worked out are kept


@dataclass(frozen=True, slots=True)
class _Kept:
    """What it was made of, whole, and what it gave."""

    worked: WorkedOut
    tasks: tuple[Task, ...]
    joint: tuple[JointTask, ...]
    days: DayPlan


_kept: OrderedDict[int, _Kept] = OrderedDict()
_lock = Lock()


def days_of(worked: WorkedOut, tasks: Sequence[Task], joint: Sequence[JointTask]) -> DayPlan:
    """The plan of one job on the days of its tasks in the plan over all jobs."""
    own, placed = tuple(tasks), tuple(joint)
    # The answer is kept beside what it gave, so that no other can have its place in memory.
    key = id(worked.answer)
    with _lock:
        known = _kept.get(key)
        if known is not None:
            _kept.move_to_end(key)
    if known is not None and _is_of(known, worked, own, placed):
        return known.days
    answer = worked.answer
    days = redated(answer.days, own, placed, answer.estimate, worked.prices, worked.calendar, worked.today)
    with _lock:
        _kept[key] = _Kept(worked, own, placed, days)
        while len(_kept) > _KEPT:
            _kept.popitem(last=False)
    return days


def _is_of(known: _Kept, worked: WorkedOut, tasks: tuple[Task, ...], joint: tuple[JointTask, ...]) -> bool:
    """Tell whether it was made of just this; parts that are the same object are not looked into."""
    return (
        known.worked.answer is worked.answer
        and known.worked.today == worked.today
        and (known.worked.prices is worked.prices or known.worked.prices == worked.prices)
        and (known.worked.calendar is worked.calendar or known.worked.calendar == worked.calendar)
        and known.tasks == tasks
        and known.joint == joint
    )
