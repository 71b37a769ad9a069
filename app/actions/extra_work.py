"""Changes agreed by word, as the days of a job have them."""

from collections.abc import Iterable

from app.actions.database import Database
from app.actions.records import WorkedOut
from app.schedule.extra_work import ExtraWork, with_extra_work
from app.schedule.records import Task
from app.store import change_orders
from app.store.day_records import SpokenChange

NOT_SIGNED = "not signed"


def spoken_changes(db: Database, job_id: int) -> tuple[SpokenChange, ...]:
    """The changes of a job that were agreed by word, hold and have days."""
    with db.read() as session:
        return change_orders.spoken_changes(session, (job_id,)).get(job_id, ())


def tasks_of_job(db: Database, worked: WorkedOut) -> tuple[Task, ...]:
    """The tasks of a job with the days of what was agreed by word since."""
    return tasks_with_changes(worked, spoken_changes(db, worked.sheet.id))


def tasks_with_changes(worked: WorkedOut, changes: Iterable[SpokenChange]) -> tuple[Task, ...]:
    """The same from changes that were read already; what nobody signed is flagged."""
    extras = (
        ExtraWork(
            one.number,
            one.title,
            one.days,
            one.phase,
            "" if one.is_signed else NOT_SIGNED,
            one.first_number,
        )
        for one in changes
    )
    own = [planned.task for planned in worked.answer.days.tasks]
    return with_extra_work(own, extras, worked.crew)
