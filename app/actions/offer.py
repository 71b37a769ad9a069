"""Offering: a frozen revision, and the client's link to it."""

from datetime import datetime

from app.actions.database import Database
from app.actions.records import LinkCard, Renderer, RevisionCard, StaffMember


def offer(db: Database, staff: StaffMember, job_id: int, now: datetime, renderer: Renderer) -> RevisionCard:
    """Freeze inputs, results and PDF as the next revision; Refused while a stop stands."""
    raise NotImplementedError


def revisions(db: Database, job_id: int) -> tuple[RevisionCard, ...]:
    """All revisions of a job, newest first."""
    raise NotImplementedError


def revision_pdf(db: Database, revision_id: int) -> bytes:
    """The PDF exactly as it was offered."""
    raise NotImplementedError


def make_link(db: Database, staff: StaffMember, revision_id: int, days_valid: int, now: datetime) -> str:
    """Make a client's link and give its token, shown this once."""
    raise NotImplementedError


def links(db: Database, job_id: int, now: datetime | None = None) -> tuple[LinkCard, ...]:
    """All links of a job, newest first."""
    raise NotImplementedError


def revoke_link(db: Database, staff: StaffMember, link_id: int, now: datetime) -> None:
    """Withdraw one link at once."""
    raise NotImplementedError
