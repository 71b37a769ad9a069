"""What the plan by day has to say, and what it takes as given."""

from collections.abc import Sequence
from datetime import date

from app.job.findings import Assumption, Finding
from app.schedule import links
from app.schedule.records import Calendar, Crew, Task
from app.takeoff.totals.records import Quantity

TRADE_OF = {"power.": links.ELECTRICIAN, "gas.": links.GAS_FITTER}
PRACTICE = "common practice, no source"


def plan_findings(
    tasks: Sequence[Task],
    quantities: Sequence[Quantity],
    calendar: Calendar,
    start_on: date,
    end_on: date,
    today: date,
) -> tuple[Finding, ...]:
    """Say what is doubtful about a plan.

    Parameters
    ----------
    tasks : sequence of Task
        All tasks.
    quantities : sequence of Quantity
        Tell whether there is line-voltage or gas work.
    calendar : Calendar
        Days worked.
    start_on : date
        The day asked for.
    end_on : date
        Last working day.
    today : date
        The day the question is asked.

    Returns
    -------
    findings : tuple of Finding
        Stops first.

    References
    ----------
    Common practice, no source.
    """
    findings = []
    if not tasks:
        text = "There is nothing to plan: no phase has hours or a quote."
        findings.append(Finding("schedule.nothing-to-plan", "stop", "job", text, source="Definition"))
    measured = {quantity.basis for quantity in quantities if quantity.amount > 0}
    for start, trade in TRADE_OF.items():
        if any(basis.startswith(start) for basis in measured) and all(task.who != trade for task in tasks):
            text = (
                f"There is work for a {trade}, but no quote of one stands in the estimate, so no day is "
                "planned for it. Line-voltage and gas work is for licensed trades."
            )
            findings.append(Finding("schedule.no-licensed-trade", "check", "job", text, source="local code"))
    if start_on < today:
        text = f"The job is planned to start on {start_on}, which has passed; today is {today}."
        findings.append(Finding("schedule.start-passed", "check", "job", text, source="Definition"))
    last_year = max((day.year for day, _ in calendar.days_off), default=None)
    if last_year is None or last_year < end_on.year:
        text = (
            f"The plan ends on {end_on}, but no day off of {end_on.year} is known; public holidays of that "
            "year are not kept free."
        )
        findings.append(Finding("schedule.calendar-ends", "note", "job", text, source="the shop's calendar"))
    return tuple(findings)


def assumptions(crew: Crew, calendar: Calendar) -> tuple[Assumption, ...]:
    """Say what a plan by day takes as given.

    Parameters
    ----------
    crew : Crew
        Who builds it.
    calendar : Calendar
        Days worked.

    Returns
    -------
    assumptions : tuple of Assumption
        In the order of the work.

    References
    ----------
    Common practice, no source.
    """
    region = calendar.region or "no region"
    return (
        Assumption(
            "schedule.crew",
            f"{crew.name}: {crew.people} people of {crew.day_h:g} hours a day on one task at a time; "
            f"outsiders work beside them, {links.OUTSIDER_DAYS} day for each trade and phase.",
            PRACTICE,
        ),
        Assumption(
            "schedule.calendar",
            f"Public holidays of {region} and the shop's leave are kept free; no weather days are planned.",
            "the shop's calendar; check the local holidays",
        ),
        Assumption(
            "schedule.inspections",
            f"An inspection takes {links.INSPECTION_DAYS} working day and comes {links.NOTICE_DAYS} full "
            "working days after the work is finished: notice is given that evening.",
            PRACTICE,
        ),
        Assumption(
            "schedule.adhesive",
            f"{links.ADHESIVE_DAYS} working day passes between the frame and the boards, for the pad "
            "adhesive; its label decides.",
            PRACTICE,
        ),
        Assumption(
            "schedule.deliveries",
            "What is carried up must be there on the first carrying day; cable, fittings and other goods of "
            "rough-in and fit-out come with the task that uses them.",
            PRACTICE,
        ),
        Assumption(
            "schedule.order-by",
            "Order-by dates keep a fifth of the lead time in hand, at least 2 working days.",
            PRACTICE,
        ),
    )
