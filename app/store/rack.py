"""The rack: offcuts kept for the next job, which job has them, and which are gone."""

from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import datetime

from sqlalchemy import select
from sqlalchemy.orm import Session

from app.store.jobs import number
from app.store.models import JobRow, RackRow


@dataclass(frozen=True, slots=True)
class RackOffcut:
    """One offcut of the rack.

    `kind` is board or section and `profile` its id in the job it is from; `label` is the board it was cut
    from. `taken_job_id` is the job it is reserved for.
    """

    id: int
    kind: str
    profile: str
    name: str
    material: str
    width_mm: float
    thick_mm: float
    length_mm: float
    label: str
    job_id: int
    put_at: datetime
    put_by: str
    job_number: str = ""
    job_title: str = ""
    taken_job_id: int | None = None
    taken_at: datetime | None = None
    taken_by: str = ""
    taken_number: str = ""

    @property
    def words(self) -> str:
        """What a job file and a cut plan call it."""
        return f"rack {self.id}: {self.label} of job {self.job_number}"


def there(session: Session, *, for_change: bool = False) -> tuple[RackOffcut, ...]:
    """Give what is in the rack, taken or not: by what it is, longest first."""
    query = select(RackRow).where(RackRow.gone_at.is_(None))
    found = [_offcut(row) for row in session.scalars(query.with_for_update() if for_change else query)]
    wanted = {job for one in found for job in (one.job_id, one.taken_job_id) if job is not None}
    jobs = {row.id: row for row in session.scalars(select(JobRow).where(JobRow.id.in_(wanted)))}
    named = (
        replace(
            one,
            job_number=number(jobs[one.job_id]),
            job_title=jobs[one.job_id].title,
            taken_number=number(jobs[one.taken_job_id]) if one.taken_job_id is not None else "",
        )
        for one in found
    )
    return tuple(sorted(named, key=lambda one: (one.kind, one.name, -one.length_mm, one.id)))


def add(session: Session, new: Iterable[RackOffcut]) -> None:
    """Put offcuts in the rack; their ids are given here."""
    session.add_all(
        RackRow(
            kind=one.kind,
            profile=one.profile,
            name=one.name,
            material=one.material,
            width_mm=one.width_mm,
            thick_mm=one.thick_mm,
            length_mm=one.length_mm,
            label=one.label,
            job_id=one.job_id,
            put_at=one.put_at,
            put_by=one.put_by,
            taken_by="",
        )
        for one in new
    )
    session.flush()


def take(session: Session, ids: Iterable[int], job_id: int, who: str, now: datetime) -> None:
    """Reserve offcuts for a job."""
    for row in _rows(session, ids):
        row.taken_job_id, row.taken_at, row.taken_by = job_id, now, who
    session.flush()


def put_back(session: Session, ids: Iterable[int]) -> None:
    """Free offcuts again."""
    for row in _rows(session, ids):
        row.taken_job_id, row.taken_at, row.taken_by = None, None, ""
    session.flush()


def take_out(session: Session, ids: Iterable[int], now: datetime) -> None:
    """Note that offcuts are gone: cut up, or thrown out."""
    for row in _rows(session, ids):
        row.gone_at = now
    session.flush()


def _rows(session: Session, ids: Iterable[int]) -> tuple[RackRow, ...]:
    return tuple(session.scalars(select(RackRow).where(RackRow.id.in_(tuple(ids)))))


def _offcut(row: RackRow) -> RackOffcut:
    return RackOffcut(
        id=row.id,
        kind=row.kind,
        profile=row.profile,
        name=row.name,
        material=row.material,
        width_mm=row.width_mm,
        thick_mm=row.thick_mm,
        length_mm=row.length_mm,
        label=row.label,
        job_id=row.job_id,
        put_at=row.put_at,
        put_by=row.put_by,
        taken_job_id=row.taken_job_id,
        taken_at=row.taken_at,
        taken_by=row.taken_by,
    )
