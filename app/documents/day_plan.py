"""The day plan: who does what with what, day by day, for the board in the van."""

from app.documents.records import DayPlanInputs
from app.documents.render import pdf


def day_plan_pdf(inputs: DayPlanInputs) -> bytes:
    """Print the day plan; the same inputs give the same bytes."""
    plan = inputs.answer.days
    names = {planned.task.code: planned.task.name for planned in plan.tasks}
    bought = {line.item: line.name for line in plan.orders}
    context = {
        **vars(inputs),
        "plan": plan,
        "task_name": names,
        "item_name": bought,
        "cautions": tuple(f for f in inputs.answer.takeoff.findings if f.grade == "check"),
    }
    return pdf("day_plan.html", context)
