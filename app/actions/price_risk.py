"""How sure the price and the days of one job are, from the same draws."""

from dataclasses import dataclass
from datetime import date

from app.actions.records import WorkedOut
from app.pricing.risk import Risk, risk_of
from app.schedule.calendars import working_days_from
from app.schedule.days_risk import DaysRisk, days_risk


@dataclass(frozen=True, slots=True)
class HowSure:
    """Price and days in so many draws of a hundred; None where no line with a range bears on them."""

    price: Risk | None
    days: DaysRisk | None
    ends_on: tuple[date, ...]  # last day at P50, P80, P90


def how_sure(worked: WorkedOut) -> HowSure:
    """Give how sure the price and the days of a job are; the same for the same job."""
    answer, ranges = worked.answer, worked.sheet.pricing.ranges
    price = risk_of(answer.estimate, worked.prices.rules, ranges)
    tasks = [planned.task for planned in answer.days.tasks]
    days = days_risk(tasks, answer.estimate.lines, ranges, worked.crew)
    if days is None:
        return HowSure(price, None, ())
    last = working_days_from(worked.calendar, answer.days.start_on, max(1, days.p90_days))
    counts = (days.p50_days, days.p80_days, days.p90_days)
    return HowSure(price, days, tuple(last[max(1, count) - 1] for count in counts))
