"""Jobs: the list, a new one, and the way to its first sheet."""

import json
from dataclasses import dataclass
from typing import Any

from fastapi import APIRouter, Response
from starlette.datastructures import FormData, UploadFile

from app.actions.clients import list_clients
from app.actions.jobs import add_job, find_jobs, job_sheet, let_go, set_state
from app.actions.records import JobPage
from app.job.errors import InputErrors
from app.settings import SEED_DATA
from app.web.findings import Fault
from app.web.forms.drawn import Field, field_id
from app.web.forms.plain import Entry, draw, missing, typed
from app.web.page import go, render
from app.web.rights import may
from app.web.sheets import Frame, desk_frame
from app.web.visit import AtDesk, Desk, Posted, text

router = APIRouter()
_LONGEST_FILE = 2_000_000
_START = (
    Entry("client", "Client", "choice"),
    Entry("title", "Title", hint="What the job is called on every sheet."),
    Entry("pasted", "Job file, pasted", "words", "Used when no file is chosen.", is_needed=False),
)


@dataclass(frozen=True, slots=True)
class JobsSheet:
    """All jobs.

    Attributes
    ----------
    frame : Frame
        What stands round the page.
    page : JobPage
        The last changed first.
    shows_money : bool
        Whether whoever looks may know what was offered.
    """

    frame: Frame
    page: JobPage
    shows_money: bool


@dataclass(frozen=True, slots=True)
class NewJobSheet:
    """What a new job starts from.

    Attributes
    ----------
    frame : Frame
        What stands round the page.
    fields : tuple of Field
        Client, title, pasted job file.
    faults : tuple of Fault
        What must be mended.
    start : str
        blank, file or the name of a demo job file.
    demos : tuple of (str, str)
        Demo job files: name and title.
    has_clients : bool
        Whether there is a client to choose.
    """

    frame: Frame
    fields: tuple[Field, ...]
    faults: tuple[Fault, ...]
    start: str
    demos: tuple[tuple[str, str], ...]
    has_clients: bool


@router.get("/jobs")
def show_jobs(desk: AtDesk, search: str = "", page: int = 1) -> Response:
    """The jobs, page by page, or those that match."""
    shows_money = may(desk.staff, "GET", "/jobs/{job_id}/price")
    found = find_jobs(desk.db, search[:100], max(1, min(page, 1_000_000)))
    sheet = JobsSheet(desk_frame(desk, "Jobs", at="/jobs"), found, shows_money)
    response = render(desk.request, "pages/jobs.html", sheet)
    response.headers["hx-push-url"] = "false"  # a page for every letter would fill the history
    return response


@router.get("/jobs/new")
def show_new_job(desk: AtDesk) -> Response:
    """The form for a new job."""
    chosen = desk.request.query_params.get("client", "")
    return _page(desk, {"client": chosen}, {}, "blank")


@router.post("/jobs/new")
def save_new_job(desk: AtDesk, form: Posted) -> Response:
    """Add a job: blank, from a job file, or from a demo job file."""
    values = typed(_START, form, _LONGEST_FILE)
    start = text(form, "start") or "blank"
    known = {str(card.id): card.id for card in list_clients(desk.db)}
    faults = missing(_START, values)
    if values["client"] not in known:
        faults["client"] = "Choose the client, or add them first"
    try:
        document = _document(start, values["pasted"], form)
    except ValueError as wrong:
        faults["pasted"] = str(wrong)
    if faults:
        return _page(desk, values, faults, start)
    try:
        job_id = add_job(desk.db, desk.staff, known[values["client"]], values["title"], document, desk.now)
    except InputErrors as wrong:
        lines = tuple(Fault(f"{fault.path}: {fault.wanted}", field_id("pasted")) for fault in wrong.errors)
        return _page(
            desk, values, {"pasted": "The job file has faults; they are listed above."}, start, lines
        )
    return go(f"/jobs/{job_id}/survey?said=added")


@router.get("/jobs/{job_id}")
def show_job(desk: AtDesk, job_id: int) -> Response:
    """A job opens at its survey."""
    return go(f"/jobs/{job_sheet(desk.db, job_id).id}/survey")


@router.post("/jobs/{job_id}/state")
def save_state(desk: AtDesk, form: Posted, job_id: int) -> Response:
    """Move a job to another state, or let it go with a reason."""
    state: Any = text(form, "state")
    if state == "let go":
        let_go(desk.db, desk.staff, job_id, text(form, "reason"), desk.now)
    else:
        set_state(desk.db, desk.staff, job_id, state, desk.now)
    return go(f"/jobs/{job_id}/proposal?said=saved")


def _document(start: str, pasted: str, form: FormData) -> dict[str, Any] | None:
    """The job file to start from; ValueError in words when it cannot be read."""
    if start == "blank":
        return None
    if start != "file":
        if start not in dict(_demos()):
            raise ValueError("Choose what the job starts from")
        return _parsed((SEED_DATA / "jobs" / f"{start}.json").read_text("utf-8"))
    return read_job_file(form, pasted)


def read_job_file(form: FormData, pasted: str) -> dict[str, Any]:
    """The job file sent along, or else the one pasted; ValueError in words when it cannot be read."""
    sent = form.get("file")
    if isinstance(sent, UploadFile) and sent.filename:
        raw = sent.file.read(_LONGEST_FILE + 1)
        if len(raw) > _LONGEST_FILE:
            raise ValueError("The job file is longer than 2 MB; a job file is far smaller")
        try:
            pasted = raw.decode("utf-8-sig")
        except UnicodeDecodeError as cause:
            raise ValueError("The job file is not text; choose a JSON file") from cause
    if not pasted:
        raise ValueError("Choose a job file, or paste one")
    return _parsed(pasted)


def _parsed(words: str) -> dict[str, Any]:
    try:
        document = json.loads(words)
    except (json.JSONDecodeError, RecursionError) as cause:
        where = f" in line {cause.lineno}" if isinstance(cause, json.JSONDecodeError) else ""
        raise ValueError(f"The job file is not JSON: look{where}") from cause
    if not isinstance(document, dict):
        raise ValueError("The job file must be one JSON object with survey, plan and choices")
    return document


def _demos() -> tuple[tuple[str, str], ...]:
    """Demo job files with their titles."""
    return tuple(
        (path.stem, str(json.loads(path.read_text("utf-8"))["title"]))
        for path in sorted((SEED_DATA / "jobs").glob("*.json"))
    )


def _page(
    desk: Desk, values: dict[str, str], faults: dict[str, str], start: str, lines: tuple[Fault, ...] = ()
) -> Response:
    clients = list_clients(desk.db)
    options = (("", "Choose"), *((str(card.id), card.name) for card in clients))
    entries = (Entry("client", "Client", "choice", options=options), *_START[1:])
    sheet = NewJobSheet(
        frame=desk_frame(desk, "New job", at="/jobs", is_wrong=bool(faults)),
        fields=draw(entries, values, faults),
        faults=lines or tuple(Fault(words, field_id(name)) for name, words in faults.items()),
        start=start,
        demos=_demos(),
        has_clients=bool(clients),
    )
    return render(desk.request, "pages/new_job.html", sheet, 422 if faults else 200)
