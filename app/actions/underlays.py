"""The picture beneath a job's drawing: a photo or a page of an old plan, kept until it is taken away."""

from dataclasses import dataclass
from datetime import datetime

from app.actions.database import Database
from app.actions.document import CLOSED
from app.actions.errors import NotFound, Refused
from app.actions.pictures import kept_picture
from app.actions.records import StaffMember
from app.actions.sheet import found, job_sheet, subject
from app.documents.page_picture import PagePicture, page_picture
from app.store import audit, jobs, underlays
from app.store.sessions import Session
from app.store.underlays import Lying

__all__ = [
    "Lying",
    "Underlay",
    "lay_underlay",
    "move_underlay",
    "take_underlay",
    "underlay_of",
    "underlay_picture",
]

LONGEST_PX = 2400  # letters of an old plan stay readable
FIRST_SCALE = 50.0  # a page is laid down as if drawn 1 : 50
_FIRST_OPACITY_PCT = 60
_PDF = b"%PDF-"

Extent = tuple[float, float, float, float]  # left, bottom, right, top


@dataclass(frozen=True, slots=True)
class Underlay:
    """How the picture lies, and the mark of its bytes."""

    lying: Lying
    sha256: str


def underlay_of(db: Database, job_id: int) -> Underlay | None:
    """How the picture beneath a job's drawing lies, or None."""
    with db.read() as session:
        kept = underlays.underlay(session, job_id)
    return None if kept is None else Underlay(*kept)


def underlay_picture(db: Database, job_id: int) -> bytes:
    """The picture as JPEG; NotFound."""
    with db.read() as session:
        kept = underlays.picture(session, job_id)
    if kept is None:
        raise NotFound("picture beneath the drawing of job", job_id)
    return kept


def lay_underlay(
    db: Database,
    staff: StaffMember,
    job_id: int,
    sent: bytes,
    page: int,
    lying: Lying | None,
    now: datetime,
) -> tuple[Underlay, int]:
    """Keep a photo, or one page of a PDF, beneath the drawing; gives how it lies and the pages there were.

    Told by content, written anew and so without where it was taken. Without a place a page lies as if drawn
    1 : 50, a photo as large as the roof. InputErrors, Refused.
    """
    roof = job_sheet(db, job_id).job.survey.outline_mm
    xs, ys = [x for x, _ in roof], [y for _, y in roof]
    over = (min(xs), min(ys), max(xs), max(ys))
    printed = page_picture(sent, page) if sent[:1024].lstrip().startswith(_PDF) else None
    kept = kept_picture(printed.png if printed else sent, LONGEST_PX)
    lies = lying or _first(over, (kept.width_px, kept.height_px), printed)
    with db.write() as session:
        _refuse_closed(session, job_id)
        underlays.put_underlay(session, job_id, (kept.jpeg, kept.sha256), lies, now, staff.name)
        what = f"page {page} of a PDF" if printed else "a picture"
        audit.note(session, now, staff.name, f"laid {what} beneath the drawing", subject(job_id))
    return Underlay(lies, kept.sha256), printed.pages if printed else 0


def move_underlay(db: Database, staff: StaffMember, job_id: int, lying: Lying, now: datetime) -> Underlay:
    """Lay the picture elsewhere, larger, smaller or fainter; NotFound, Refused."""
    with db.write() as session:
        _refuse_closed(session, job_id)
        if not underlays.move_underlay(session, job_id, lying):
            raise NotFound("picture beneath the drawing of job", job_id)
        what = (
            f"laid the picture beneath the drawing at {lying.left_mm:.0f}, {lying.top_mm:.0f}, "
            f"{lying.wide_mm:.0f} by {lying.high_mm:.0f} mm, {lying.opacity_pct} % seen"
        )
        audit.note(session, now, staff.name, what, subject(job_id))
        kept = underlays.underlay(session, job_id)
    assert kept is not None
    return Underlay(*kept)


def take_underlay(db: Database, staff: StaffMember, job_id: int, now: datetime) -> None:
    """Take the picture away, bytes and all; taken away twice it is gone once. Refused."""
    with db.write() as session:
        _refuse_closed(session, job_id)
        if underlays.take_underlay(session, job_id):
            audit.note(session, now, staff.name, "took the picture beneath the drawing away", subject(job_id))


def _refuse_closed(session: Session, job_id: int) -> None:
    state = found(jobs.find_job(session, job_id, for_change=True), job_id).state
    if state in CLOSED:
        raise Refused(f"The job is {state}; its sheets no longer change.")


def _first(over: Extent, size_px: tuple[int, int], printed: PagePicture | None) -> Lying:
    left, bottom, right, top = over
    if printed:
        wide, high = printed.wide_mm * FIRST_SCALE, printed.high_mm * FIRST_SCALE
    else:
        scale = max((right - left) / size_px[0], (top - bottom) / size_px[1])
        wide, high = size_px[0] * scale, size_px[1] * scale
    return Lying(left, top, round(wide, 1), round(high, 1), _FIRST_OPACITY_PCT)
