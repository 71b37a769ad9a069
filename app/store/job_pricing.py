"""What the office set by hand on a job's price; every version stays."""

from datetime import datetime

from pydantic import TypeAdapter
from sqlalchemy import Connection, bindparam, select
from sqlalchemy.orm import Session

from app.pricing.job_pricing import NOTHING_SET, JobPricing
from app.store.models import JobPricingRow

_PRICING = TypeAdapter(JobPricing)
_LAST = (
    select(JobPricingRow.document, JobPricingRow.version)
    .where(JobPricingRow.job_id == bindparam("job_id"))
    .order_by(JobPricingRow.version.desc())
    .limit(1)
)


def read_pricing(session: Session | Connection, job_id: int) -> tuple[JobPricing, int]:
    """Give what holds for a job, and its version; version 0 when nothing was ever set."""
    row = session.execute(_LAST, {"job_id": job_id}).one_or_none()
    return (_PRICING.validate_json(row.document), row.version) if row else (NOTHING_SET, 0)


def pricing_at(session: Session, job_id: int, version: int) -> JobPricing:
    """Give what held for a job at a version; nothing set at version 0."""
    query = select(JobPricingRow).where(JobPricingRow.job_id == job_id, JobPricingRow.version == version)
    row = session.scalar(query)
    return _PRICING.validate_json(row.document) if row else NOTHING_SET


def add_pricing(
    session: Session, job_id: int, version: int, pricing: JobPricing, who: str, now: datetime
) -> None:
    """Save what is set by hand as a version; two with one number break the table's rule."""
    session.add(
        JobPricingRow(
            job_id=job_id,
            version=version,
            document=_PRICING.dump_json(pricing).decode(),
            set_at=now,
            set_by=who,
        )
    )
    session.flush()
