"""What client and office ask and answer on the link's page."""

from dataclasses import dataclass
from datetime import datetime

from sqlalchemy import func, select
from sqlalchemy.orm import Session

from app.store.models import QuestionRow


@dataclass(frozen=True, slots=True)
class Said:
    """One thing asked or answered."""

    at: datetime
    who: str
    is_client: bool
    text: str


def add_question(
    session: Session, job_id: int, link_id: int | None, who: str, text: str, now: datetime
) -> None:
    """Keep what was said; through a link it comes from the client."""
    session.add(
        QuestionRow(
            job_id=job_id, link_id=link_id, at=now, who=who[:200], is_client=link_id is not None, text=text
        )
    )
    session.flush()


def list_questions(session: Session, job_id: int) -> tuple[Said, ...]:
    """Give all that was said about a job, in order."""
    query = select(QuestionRow).where(QuestionRow.job_id == job_id).order_by(QuestionRow.id)
    return tuple(Said(row.at, row.who, row.is_client, row.text) for row in session.scalars(query))


def count_from(session: Session, link_id: int) -> int:
    """Give how much was said through one link."""
    query = select(func.count()).select_from(QuestionRow).where(QuestionRow.link_id == link_id)
    return session.scalar(query) or 0
