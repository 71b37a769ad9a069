"""A job's own plan given the days it has in the plan over all jobs."""

from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import date

from app.pricing.price_book import items_by_code
from app.pricing.records import Estimate, PriceBook
from app.schedule.calendars import working_days_from
from app.schedule.day_entries import day_entries, first_needed
from app.schedule.joint_records import JointTask
from app.schedule.orders import late_findings, order_lines
from app.schedule.records import Calendar, DayPlan, PlannedTask, Task


def redated(
    plan: DayPlan,
    tasks: Sequence[Task],
    joint: Sequence[JointTask],
    estimate: Estimate,
    prices: PriceBook,
    calendar: Calendar,
    today: date,
) -> DayPlan:
    """Give a job's plan with the days of the plan over all jobs.

    Parameters
    ----------
    plan : DayPlan
        As worked out for the job alone.
    tasks : sequence of Task
        Its tasks with what was set by hand.
    joint : sequence of JointTask
        Its tasks in the plan over all jobs; those it lacks keep the days of the job's own plan.
    estimate : Estimate
        Names what is bought.
    prices : PriceBook
        Lead times.
    calendar : Calendar
        Days worked.
    today : date
        Decides what is late.

    Returns
    -------
    plan : DayPlan
        Days, orders and findings follow the new dates.

    References
    ----------
    Definition.
    """
    placed = {task.code: task for task in joint}
    own = {planned.task.code: planned for planned in plan.tasks}
    planned = tuple(_planned(task, placed, own) for task in tasks if task.code in placed or task.code in own)
    if not planned:
        return plan
    first_on = min(each.start_on for each in planned)
    last_on = max(each.end_on for each in planned)
    dates = _working_days(calendar, first_on, last_on)
    needed = first_needed(planned, estimate, first_on)
    orders = order_lines(estimate.lines, items_by_code(prices), needed, calendar, today)
    kept = tuple(found for found in plan.findings if found.code != "schedule.order-late")
    return replace(
        plan,
        start_on=first_on,
        end_on=last_on,
        tasks=planned,
        days=day_entries(planned, plan.crew, dates, needed),
        orders=orders,
        critical_path=tuple(each.task.code for each in planned if each.is_critical),
        findings=(*kept, *late_findings(orders, calendar, today)),
    )


def _planned(task: Task, placed: Mapping[str, JointTask], own: Mapping[str, PlannedTask]) -> PlannedTask:
    """Give one task with its days: those of the plan over all jobs, else its own."""
    found = placed.get(task.code)
    if found is None:
        return replace(own[task.code], task=task)
    return PlannedTask(
        task=task,
        start_on=found.start_on,
        end_on=found.end_on,
        latest_end_on=found.end_on,
        float_days=found.float_days,
        is_critical=found.is_critical,
        because=found.because,
    )


def _working_days(calendar: Calendar, first_on: date, last_on: date) -> tuple[date, ...]:
    """Give the working days from the first to the last."""
    count = (last_on - first_on).days + 1
    return tuple(day for day in working_days_from(calendar, first_on, count) if day <= last_on)
