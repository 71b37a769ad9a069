"""Changes after signing: what differs from the signed revision."""

from dataclasses import replace
from datetime import date

from app.actions.database import Database
from app.actions.errors import NotFound, Refused
from app.actions.frozen import read_results
from app.actions.records import Difference
from app.actions.takeoff import work_out
from app.agreement import changes
from app.pricing.records import Estimate
from app.pricing.shown import shown_phases
from app.schedule.records import DayPlan
from app.store import jobs, offers
from app.takeoff.totals.records import Quantity


def difference(db: Database, job_id: int, today: date) -> Difference:
    """The signed revision against the job as it stands; NotFound, Refused when nothing was signed."""
    with db.read() as session:
        if jobs.find_job(session, job_id) is None:
            raise NotFound("job", job_id)
        cards = offers.list_revisions(session, job_id, today)
        signed = next((card for card in cards if card.sign_off is not None), None)
        frozen = offers.frozen_with(session, signed.id) if signed else None
    if signed is None or frozen is None:
        raise Refused("Nothing is signed yet, so there is nothing to compare with.")
    then = read_results(frozen.results)
    now = work_out(db, job_id, today).answer
    try:
        change = changes.difference(
            _answer(then.estimate, then.quantities, then.days),
            _answer(now.estimate, now.takeoff.totals.quantities, now.days),
        )
    except ValueError as fault:
        raise Refused(str(fault)) from fault
    return Difference(
        revision=signed,
        currency=change.currency,
        total_then=change.total_then,
        total_now=change.total_now,
        total_change=change.total_change,
        phases=change.phases,
        lines=change.lines,
        quantities=change.quantities,
        end_then_on=change.end_then_on,
        end_now_on=change.end_now_on,
        working_days_change=change.working_days_change,
        hours_then_h=then.estimate.hours_h,
        hours_now_h=now.estimate.hours_h,
        is_empty=change.is_empty,
        phases_then=shown_phases(then.estimate),
        phases_now=shown_phases(replace(now.estimate, tax_shown=then.estimate.tax_shown)),
    )


def _answer(estimate: Estimate, quantities: tuple[Quantity, ...], days: DayPlan) -> changes.Answer:
    return changes.Answer(estimate, quantities, days.end_on, len(days.days))
