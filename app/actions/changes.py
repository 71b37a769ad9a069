"""Changes after signing: what differs from the signed revision."""

from datetime import date

from app.actions.database import Database
from app.actions.records import Difference


def difference(db: Database, job_id: int, today: date) -> Difference:
    """The signed revision against the job as it stands; Refused when nothing was signed."""
    raise NotImplementedError
