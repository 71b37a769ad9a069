"""`upstand days`."""

from argparse import Namespace
from datetime import date

from app.actions.answer_json import days_json
from app.actions.from_file import FileAnswer
from app.cli.job import answer_of, print_json
from app.cli.tables import findings_text, packs_text, section, table
from app.schedule.records import DayPlan


def run(options: Namespace) -> int:
    """Print what happens on which day."""
    answered = answer_of(options)
    if options.json:
        return print_json(days_json(answered.job, answered.answer.days, answered.shop.name))
    print(days_text(answered))
    return 0


def days_text(answered: FileAnswer) -> str:
    """Give the day plan for a person."""
    plan = answered.answer.days
    return "\n".join(
        (
            f"{answered.job.title} ({answered.job.id})",
            f"{plan.crew.name}, {plan.crew.people} people; from {_day(plan.start_on)} to {_day(plan.end_on)}",
            f"Crew, calendar, prices and lead times: {answered.shop.name}",
            section("Tasks", _tasks(plan)),
            section("Day by day", _days(plan)),
            section("Order by", _orders(plan)),
            section("Findings", findings_text(plan.findings)),
        )
    )


def _tasks(plan: DayPlan) -> str:
    rows = (
        (
            planned.task.name,
            planned.task.who,
            _day(planned.start_on),
            _day(planned.end_on),
            f"{planned.task.hours_h:.1f}",
            "none" if planned.is_critical else str(planned.float_days),
            "hold point" if planned.task.is_hold_point else "",
            planned.because,
        )
        for planned in plan.tasks
    )
    heads = ("task", "who", "from", "to", "hours", "float, days", "", "because")
    return table(heads, rows, right=(4, 5))


def _days(plan: DayPlan) -> str:
    names = {planned.task.code: planned.task.name for planned in plan.tasks}
    bought = {line.item: line.name for line in plan.orders}
    rows = (
        (
            _day(day.on),
            "; ".join(names.get(code, code) for code in day.tasks),
            "; ".join(names.get(code, code) for code in day.hold_points),
            "; ".join(bought.get(item, item) for item in day.bring),
        )
        for day in plan.days
    )
    return table(("day", "what", "sign that day", "first needed"), rows)


def _orders(plan: DayPlan) -> str:
    rows = (
        (
            _day(line.order_by_on) + (" (late)" if line.is_late else ""),
            line.item,
            line.name,
            packs_text(line.packs),
            line.cost,
            line.supplier,
            _day(line.needed_on),
        )
        for line in sorted(plan.orders, key=lambda line: (line.order_by_on, line.item))
    )
    return table(("order by", "item", "name", "packs", "cost", "supplier", "needed"), rows, right=(3, 4))


def _day(on: date) -> str:
    return f"{on:%a} {on.isoformat()}"
