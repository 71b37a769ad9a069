"""Handover: is the file complete?"""

from datetime import date

from app.actions.database import Database
from app.actions.records import Completeness


def completeness(db: Database, job_id: int, today: date) -> Completeness:
    """What the handover file holds and what it lacks."""
    raise NotImplementedError
