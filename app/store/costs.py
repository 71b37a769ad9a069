"""What was billed to a job: goods, hire, other trades."""

from sqlalchemy import select
from sqlalchemy.orm import Session

from app.store.day_records import Cost
from app.store.models import CostRow


def add_cost(session: Session, job_id: int, new: Cost) -> int:
    """Add a bill and give its id (the one in `new` is not looked at)."""
    row = CostRow(
        job_id=job_id,
        kind=new.kind,
        phase=new.phase,
        amount=new.amount,
        who=new.who,
        day=new.on,
        note=new.note,
        at=new.at,
        by=new.by,
    )
    session.add(row)
    session.flush()
    return row.id


def costs(session: Session, job_id: int) -> tuple[Cost, ...]:
    """Give what was billed to a job, oldest first."""
    query = select(CostRow).where(CostRow.job_id == job_id).order_by(CostRow.day, CostRow.id)
    return tuple(
        Cost(row.id, row.kind, row.phase, row.amount, row.who, row.day, row.note, row.at, row.by)
        for row in session.scalars(query)
    )
