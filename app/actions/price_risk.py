"""How sure the price and the days of one job are, from the same draws."""

from dataclasses import dataclass
from datetime import date

from app.actions.beside import Beside
from app.actions.by_hand import work_rules
from app.actions.database import Database
from app.actions.records import WorkedOut
from app.pricing.risk import Risk, risk_of
from app.schedule.calendars import working_days_from
from app.schedule.days_risk import DaysRisk, days_risk
from app.schedule.weather_share import weather_shares
from app.schedule.work_rules import WorkRules


@dataclass(frozen=True, slots=True)
class HowSure:
    """Price and days in so many draws of a hundred; None where no line with a range bears on them."""

    price: Risk | None
    days: DaysRisk | None
    ends_on: tuple[date, ...]  # last day at P50, P80, P90


_kept: Beside[HowSure] = Beside()


def how_sure(db: Database, worked: WorkedOut) -> HowSure:
    """Give how sure the price and the days of a job are; drawn once for the same job and rules of work."""
    rules = work_rules(db)
    things = worked.answer, worked.prices, worked.crew, worked.calendar
    return _kept.of(things, (worked.sheet.pricing.ranges, rules), lambda: _drawn(worked, rules))


def _drawn(worked: WorkedOut, rules: WorkRules) -> HowSure:
    answer, ranges = worked.answer, worked.sheet.pricing.ranges
    price = risk_of(answer.estimate, worked.prices.rules, ranges)
    planned = [(one.task, one.start_on) for one in answer.days.tasks]
    lost = weather_shares(rules, worked.calendar, planned)
    days = days_risk(
        [task for task, _ in planned],
        answer.estimate.lines,
        ranges,
        worked.crew,
        lost_share={task.code: share for (task, _), share in zip(planned, lost, strict=True)},
    )
    if days is None:
        return HowSure(price, None, ())
    last = working_days_from(worked.calendar, answer.days.start_on, max(1, days.p90_days))
    counts = (days.p50_days, days.p80_days, days.p90_days)
    return HowSure(price, days, tuple(last[max(1, count) - 1] for count in counts))
