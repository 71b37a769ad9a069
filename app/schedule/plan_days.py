"""The room's entry: an estimate, a crew and a calendar make the plan by day."""

from collections.abc import Sequence
from datetime import date

from app.job.doing import Do, at_once
from app.job.findings import Finding
from app.pricing.price_book import items_by_code
from app.pricing.records import Estimate, PriceBook
from app.schedule.calendars import working_days_from
from app.schedule.critical_path import Activity, longest_chain
from app.schedule.day_entries import day_entries, first_needed
from app.schedule.notes import assumptions, plan_findings
from app.schedule.orders import late_findings, order_lines
from app.schedule.reasons import because
from app.schedule.records import Calendar, Crew, DayPlan, PlannedTask, Task
from app.schedule.serial_rule import CrewOrder, order_crew
from app.schedule.tasks import tasks_of
from app.takeoff.chain import Takeoff
from app.takeoff.totals.records import Quantity


def plan_days(
    takeoff: Takeoff,
    estimate: Estimate,
    prices: PriceBook,
    crew: Crew,
    calendar: Calendar,
    start_on: date,
    today: date,
) -> DayPlan:
    """Plan a job in days.

    Parameters
    ----------
    takeoff : Takeoff
        What was measured; tells whether there is line-voltage or gas work.
    estimate : Estimate
        Hours and goods by phase.
    prices : PriceBook
        Lead times.
    crew : Crew
        Who builds it.
    calendar : Calendar
        Days worked.
    start_on : date
        First day on the roof; moved to the next working day.
    today : date
        Decides what is late.

    Returns
    -------
    plan : DayPlan
        The same for the same inputs.

    References
    ----------
    See `links`, `serial_rule` and `orders`.
    """
    return plan_quantities(takeoff.totals.quantities, estimate, prices, crew, calendar, start_on, today)


def plan_quantities(
    quantities: Sequence[Quantity],
    estimate: Estimate,
    prices: PriceBook,
    crew: Crew,
    calendar: Calendar,
    start_on: date,
    today: date,
    do: Do = at_once,
) -> DayPlan:
    """Plan a job in days from its quantities alone.

    Parameters
    ----------
    quantities : sequence of Quantity
        Tell whether there is line-voltage or gas work.
    estimate : Estimate
        Hours and goods by phase.
    prices : PriceBook
        Lead times.
    crew : Crew
        Who builds it.
    calendar : Calendar
        Days worked.
    start_on : date
        First day on the roof; moved to the next working day.
    today : date
        Decides what is late.
    do : Do
        How its parts are done.

    Returns
    -------
    plan : DayPlan
        With a day entry for every working day from the first to the last.

    References
    ----------
    See `links`, `serial_rule` and `orders`.
    """
    tasks = tasks_of(estimate, quantities, crew)
    of_crew = frozenset(task.code for task in tasks if task.who == crew.code and not task.is_hold_point)
    order = do(order_crew, [Activity(task.code, task.days, task.after) for task in tasks], of_crew)
    length = max((times.early_finish for times in order.times), default=0)
    dates = working_days_from(calendar, start_on, max(1, length))
    planned = _planned(tasks, order, dates)
    needed = first_needed(planned, estimate, dates[0])
    orders = order_lines(estimate.lines, items_by_code(prices), needed, calendar, today)
    findings: tuple[Finding, ...] = (
        *plan_findings(tasks, quantities, calendar, start_on, dates[-1], today),
        *late_findings(orders, calendar, today),
    )
    return DayPlan(
        crew=crew,
        start_on=dates[0],
        end_on=dates[-1],
        tasks=planned,
        days=day_entries(planned, crew, dates[:length], needed),
        orders=orders,
        critical_path=longest_chain(order.activities),
        findings=findings,
        assumptions=assumptions(crew, calendar),
    )


def _planned(tasks: Sequence[Task], order: CrewOrder, dates: Sequence[date]) -> tuple[PlannedTask, ...]:
    """Give each task its dates, float and reason."""
    times = {each.code: each for each in order.times}
    by_code = {task.code: task for task in tasks}
    return tuple(
        PlannedTask(
            task=task,
            start_on=dates[times[task.code].early_start],
            end_on=dates[times[task.code].early_finish - 1],
            latest_end_on=dates[times[task.code].late_finish - 1],
            float_days=times[task.code].float_days,
            is_critical=times[task.code].float_days == 0,
            because=because(task, activity, times, by_code),
        )
        for task, activity in zip(tasks, order.activities, strict=True)
    )
