"""Working a job out: the pure chain on what is stored, kept in a small cache of copies."""

from datetime import date

from app.actions.database import Database
from app.actions.records import WorkedOut


def work_out(db: Database, job_id: int, today: date) -> WorkedOut:
    """Everything computed about a job as it stands now."""
    raise NotImplementedError
