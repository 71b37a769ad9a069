"""The drawing board: the job file in base units, what an unsaved one comes to, and saving what was drawn."""

import copy
import hashlib
from dataclasses import dataclass, replace
from datetime import date, datetime
from typing import Any

from app.actions.database import Database
from app.actions.document import replace_document
from app.actions.errors import NotFound
from app.actions.job_file import as_text
from app.actions.jobs import list_jobs
from app.actions.records import StaffMember, WorkedOut
from app.actions.sheet import job_sheet
from app.actions.takeoff import shop_of, work_out_sheet
from app.job.errors import InputErrors
from app.job.file import read_job, write_job


@dataclass(frozen=True, slots=True)
class Board:
    """A job as the board opens it: all keys, numbers in base units, and the version it stands at."""

    job_id: int
    version: int
    state: str
    document: dict[str, Any]


_MOST_LENDERS = 30


def board(db: Database, job_id: int) -> Board:
    """One job as the board draws it; NotFound."""
    sheet = job_sheet(db, job_id)
    return Board(sheet.id, sheet.version, sheet.state, write_job(sheet.job))


def look(db: Database, job_id: int, document: dict[str, Any], today: date) -> WorkedOut:
    """Everything computed about a drawing not saved yet; InputErrors when it cannot be read.

    Nothing is written. A document that was looked at before costs nothing: `work_out` keeps the last answers.
    """
    sheet = job_sheet(db, job_id, with_history=False)
    job = read_job(document)
    sha256 = hashlib.sha256(as_text(document).encode()).hexdigest()
    unsaved = replace(sheet, document=document, document_sha256=sha256, job=job)
    book, firm = shop_of(db, today)
    return work_out_sheet(unsaved, book, firm, today)


def save_board(
    db: Database, staff: StaffMember, job_id: int, version: int, drawn: dict[str, Any], now: datetime
) -> int:
    """Save what was drawn and give the new version; errors as in `replace_document`.

    What a person once typed ("12' 6") stays as typed wherever the drawing did not move it.
    """
    sheet = job_sheet(db, job_id)
    return replace_document(
        db, staff, job_id, version, _as_typed(sheet.document, write_job(sheet.job), drawn), now
    )


def materials_of(db: Database, job_id: int) -> dict[str, Any]:
    """The materials another job is built of, to start a new one with; NotFound."""
    choices: dict[str, Any] = write_job(job_sheet(db, job_id).job)["choices"]
    return choices


def with_materials(db: Database, but_not: int) -> tuple[tuple[int, str], ...]:
    """The last jobs whose materials can be taken over: id, and number with title."""
    found = []
    for card in list_jobs(db):
        if card.id == but_not:
            continue
        try:
            job = job_sheet(db, card.id).job
        except (InputErrors, NotFound):  # a job that cannot be read lends nothing
            continue
        if job.choices.boards:
            found.append((card.id, f"{card.number} {card.title}"))
        if len(found) == _MOST_LENDERS:
            break
    return tuple(found)


def _as_typed(typed: Any, plain: Any, drawn: Any) -> Any:
    """Give what was drawn, with everything that did not change as it was typed.

    `typed` and `plain` are the same thing as stored and as read; where `plain` equals `drawn` the typed
    form stands. Keys that were never typed and still hold their default stay out.
    """
    if plain == drawn:
        return copy.deepcopy(typed)
    if isinstance(typed, dict) and isinstance(plain, dict) and isinstance(drawn, dict):
        kept = {
            key: _as_typed(typed.get(key), plain.get(key), value)
            for key, value in drawn.items()
            if key in typed or key not in plain or plain[key] != value
        }
        in_order = [key for key in typed if key in kept] + [key for key in kept if key not in typed]
        return {key: kept[key] for key in in_order}
    if isinstance(typed, list) and isinstance(plain, list) and isinstance(drawn, list):
        return [_row_as_typed(typed, plain, number, row) for number, row in enumerate(drawn)]
    return copy.deepcopy(drawn)


def _row_as_typed(typed: list[Any], plain: list[Any], number: int, row: Any) -> Any:
    """Find the row a drawn one was: by its id, or by its number where rows have none."""
    if isinstance(row, dict) and "id" in row:
        number = next((at for at, old in enumerate(plain) if old.get("id") == row["id"]), len(plain))
    if number >= len(plain) or number >= len(typed):
        return copy.deepcopy(row)
    return _as_typed(typed[number], plain[number], row)
