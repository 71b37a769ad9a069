"""What planning needs to know of many jobs, read in as many questions as for one."""

from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import date, datetime

from pydantic import TypeAdapter
from sqlalchemy import func, select
from sqlalchemy.orm import Session

from app.pricing.job_pricing import NOTHING_SET, JobPricing
from app.store import jobs
from app.store.change_orders import spoken_changes
from app.store.day_records import OrderedLine, SpokenChange
from app.store.models import (
    DeliveryRow,
    HoldPointRow,
    JobPricingRow,
    JobRow,
    LogEntryRow,
    OrderPlacedRow,
    PurchaseOrderRow,
)
from app.store.records import StoredJob

_LINES = TypeAdapter(tuple[OrderedLine, ...])
_PRICING = TypeAdapter(JobPricing)


@dataclass(slots=True)
class PlanFacts:
    """Of one job: how far tasks are, what is released, its goods, and the changes agreed by word."""

    progress: dict[str, int] = field(default_factory=dict)
    released: set[str] = field(default_factory=set)
    confirmed: dict[str, date] = field(default_factory=dict)
    ordered: dict[str, datetime] = field(default_factory=dict)
    came: dict[str, int] = field(default_factory=dict)
    spoken: tuple[SpokenChange, ...] = ()


def plan_facts(session: Session, job_ids: Sequence[int]) -> dict[int, PlanFacts]:
    """Give what planning needs to know of each job."""
    found = {job_id: PlanFacts() for job_id in job_ids}
    noted = select(LogEntryRow.job_id, LogEntryRow.task_code, LogEntryRow.done_pct)
    noted = noted.where(LogEntryRow.job_id.in_(job_ids), LogEntryRow.done_pct.is_not(None))
    for job_id, code, pct in session.execute(noted.order_by(LogEntryRow.day, LogEntryRow.id)):
        if code and pct is not None:
            found[job_id].progress[code] = pct
    released = select(HoldPointRow.job_id, HoldPointRow.code).where(HoldPointRow.job_id.in_(job_ids))
    for job_id, code in session.execute(released):
        found[job_id].released.add(code)
    confirmed = select(PurchaseOrderRow.job_id, PurchaseOrderRow.lines, PurchaseOrderRow.confirmed_for_on)
    confirmed = confirmed.where(
        PurchaseOrderRow.job_id.in_(job_ids), PurchaseOrderRow.confirmed_for_on.is_not(None)
    )
    for job_id, lines, on in session.execute(confirmed.order_by(PurchaseOrderRow.id)):
        if on is not None:
            found[job_id].confirmed |= {line.item: on for line in _LINES.validate_json(lines)}
    ordered = select(OrderPlacedRow.job_id, OrderPlacedRow.item, OrderPlacedRow.at)
    for job_id, item, at in session.execute(ordered.where(OrderPlacedRow.job_id.in_(job_ids))):
        found[job_id].ordered[item] = at
    came = select(DeliveryRow.job_id, DeliveryRow.item, func.sum(DeliveryRow.packs - DeliveryRow.damaged))
    came = came.where(DeliveryRow.job_id.in_(job_ids)).group_by(DeliveryRow.job_id, DeliveryRow.item)
    for job_id, item, packs in session.execute(came):
        found[job_id].came[item] = int(packs)
    for job_id, changes in spoken_changes(session, job_ids).items():
        found[job_id].spoken = changes
    return found


def jobs_with_pricing(
    session: Session, job_ids: Sequence[int]
) -> tuple[tuple[StoredJob, JobPricing, int], ...]:
    """Give some jobs with what the office set by hand on their price, and its version; by id."""
    newest = (
        select(JobPricingRow.job_id, func.max(JobPricingRow.version).label("version"))
        .where(JobPricingRow.job_id.in_(job_ids))
        .group_by(JobPricingRow.job_id)
        .subquery()
    )
    rows = select(JobPricingRow.job_id, JobPricingRow.document, JobPricingRow.version).join(
        newest, (JobPricingRow.job_id == newest.c.job_id) & (JobPricingRow.version == newest.c.version)
    )
    by_hand = {job: (_PRICING.validate_json(text), version) for job, text, version in session.execute(rows)}
    query = select(JobRow).where(JobRow.id.in_(job_ids)).order_by(JobRow.id)
    stored = (jobs.stored(row) for row in session.scalars(query))
    return tuple((one, *by_hand.get(one.id, (NOTHING_SET, 0))) for one in stored)
