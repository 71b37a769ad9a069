"""A thing is had by the address of its own job only."""

from app.actions.database import Database
from app.actions.errors import NotFound
from app.store.of_job import is_of_job


def must_be_of_job(db: Database, kind: str, number: int, job_id: int) -> None:
    """Let a thing of the job pass; NotFound for one of another job, as for one that is not there."""
    with db.read() as session:
        if not is_of_job(session, kind, number, job_id):
            raise NotFound(kind, number)
