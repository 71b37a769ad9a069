"""READ FIRST: survey → layout → takeoff → price → days, as one pure function.

The offer is the frozen copy of this answer (`agreement`), made when the owner presses the button.
"""

from dataclasses import dataclass, replace
from datetime import date

from app.job.doing import Do, at_once
from app.job.job import Job
from app.pricing.conditions import place_facts
from app.pricing.estimate import estimate_quantities
from app.pricing.job_pricing import NOTHING_SET, JobPricing
from app.pricing.labour import rules_on_site
from app.pricing.price_book import stock_prices
from app.pricing.records import Estimate, PriceBook
from app.schedule.plan_days import plan_quantities
from app.schedule.records import Calendar, Crew, DayPlan
from app.takeoff.chain import Takeoff, take_off


@dataclass(frozen=True)
class WholeJob:
    """Everything computed about one job.

    Attributes
    ----------
    takeoff : Takeoff
    estimate : Estimate
    days : DayPlan
    """

    takeoff: Takeoff
    estimate: Estimate
    days: DayPlan


def whole_job(
    job: Job,
    prices: PriceBook,
    crew: Crew,
    calendar: Calendar,
    start_on: date,
    today: date,
    pricing: JobPricing = NOTHING_SET,
    do: Do = at_once,
) -> WholeJob:
    """Carry a job the whole way, from the survey to the days.

    Parameters
    ----------
    job : Job
        Survey, plan and choices.
    prices : PriceBook
        The shop's prices, assemblies and rules, as they stood on one day.
    crew : Crew
        Who builds it.
    calendar : Calendar
        Days worked.
    start_on : date
        First day on the roof; moved to the next working day.
    today : date
        The day the question is asked; decides what is late or stale.
    pricing : JobPricing
        What the office set by hand on this job's price.
    do : Do
        How its parts are done: by default at once.

    Returns
    -------
    answer : WholeJob
        The same for the same inputs.

    References
    ----------
    Definition; each room names its own sources.
    """
    takeoff = take_off(job, stock_prices(prices), do)
    prices = replace(prices, rules=rules_on_site(prices.rules, job.survey.way_up, crew.day_h))
    measured, facts = takeoff.totals.quantities, place_facts(job, takeoff.layout)
    priced = do(estimate_quantities, measured, prices, today, facts, pricing)
    days = do(plan_quantities, measured, priced, prices, crew, calendar, start_on, today, do)
    return WholeJob(takeoff=takeoff, estimate=priced, days=days)
