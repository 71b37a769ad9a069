"""The days on which things are carried up, as the Takeoff and Days sheets show them."""

from dataclasses import dataclass
from datetime import date

from app.schedule.records import DayPlan

_PHASE = "carry-up"


@dataclass(frozen=True, slots=True)
class CarryDay:
    """One day of carrying: hours of all people together."""

    on: date
    hours_h: float


def carry_days(plan: DayPlan) -> tuple[CarryDay, ...]:
    """The days of the carry-up task, from the day plan."""
    codes = {planned.task.code for planned in plan.tasks if planned.task.phase == _PHASE}
    return tuple(
        CarryDay(
            entry.on,
            sum(hours_h for code, hours_h in zip(entry.tasks, entry.hours_h, strict=True) if code in codes),
        )
        for entry in plan.days
        if codes & set(entry.tasks)
    )
