"""Price files: sent in, shown as what they would change, let in or dropped; and the whole list out."""

from dataclasses import dataclass
from datetime import timedelta
from http import HTTPStatus

from fastapi import APIRouter, Response
from starlette.background import BackgroundTask
from starlette.datastructures import UploadFile

from app.actions.errors import NotFound, Refused
from app.actions.imports import (
    ImportCard,
    ImportView,
    Progress,
    begin_reading,
    drop_import,
    export_prices,
    finish_reading,
    let_in,
    list_price_imports,
    price_import,
    progress_of,
)
from app.actions.price import shop
from app.pricing.price_rows import COLUMNS
from app.web.findings import Fault
from app.web.page import go, render
from app.web.sheets import Frame, desk_frame
from app.web.visit import AtDesk, Desk, Posted

router = APIRouter()
_MOST_BYTES = 3_500_000
_KINDS = {
    "csv": "text/csv; charset=utf-8",
    "xlsx": "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet",
}
_SHOWN = 50
_LONGEST_READING = timedelta(minutes=5)


@dataclass(frozen=True, slots=True)
class ImportsSheet:
    """Where a price file is sent in.

    Attributes
    ----------
    frame : Frame
        What stands round the page.
    cards : tuple of ImportCard
        The last files, newest first.
    columns : tuple of str
        Names the first row can have.
    faults : tuple of Fault
        What must be mended in the file.
    """

    frame: Frame
    cards: tuple[ImportCard, ...]
    columns: tuple[str, ...]
    faults: tuple[Fault, ...]


@dataclass(frozen=True, slots=True)
class ImportSheet:
    """One price file and what it would change.

    Attributes
    ----------
    frame : Frame
        What stands round the page.
    view : ImportView
        The file, and its changes while it waits.
    progress : Progress or None
        How far it has come, while it is being read or let in.
    is_cut_off : bool
        Whether the server stopped while it read the file.
    currency : str
        Of the prices.
    shown : int
        How many rows of each group the page lists.
    """

    frame: Frame
    view: ImportView
    progress: Progress | None
    is_cut_off: bool
    currency: str
    shown: int


@router.get("/shop/imports")
def show_imports(desk: AtDesk) -> Response:
    """The form for a price file, and the last files."""
    return _page(desk)


@router.post("/shop/imports")
def save_import(desk: AtDesk, form: Posted) -> Response:
    """Take a price file and read it in the background; nothing of it counts until it is let in."""
    sent = form.get("file")
    if not isinstance(sent, UploadFile) or not sent.filename:
        return _page(desk, (Fault("Choose a CSV or XLSX file", "file"),))
    content = sent.file.read(_MOST_BYTES + 1)
    if len(content) > _MOST_BYTES:
        return _page(desk, (Fault("The file is larger than 3.5 MB; send the list in parts", "file"),))
    if not content:
        return _page(desk, (Fault("Choose a CSV or XLSX file; this one is empty", "file"),))
    import_id = begin_reading(desk.db, desk.staff, sent.filename, desk.now)
    response = go(f"/shop/imports/{import_id}")
    # After the answer is sent, so that the page can show how far it has come.
    response.background = BackgroundTask(
        finish_reading, desk.db, import_id, sent.filename, content, desk.today
    )
    return response


@router.get("/shop/imports/{import_id}")
def show_import(desk: AtDesk, import_id: int) -> Response:
    """What a price file would change; or how far it has come; or that it is settled."""
    progress = progress_of(desk.db, import_id)
    view = price_import(desk.db, import_id, desk.today)
    is_reading = view.card.state == "reading"
    sheet = ImportSheet(
        frame=desk_frame(desk, "Price file", at="/shop", is_wrong=bool(view.faults)),
        view=view,
        is_cut_off=is_reading and progress is None and desk.now - view.card.made_at > _LONGEST_READING,
        progress=progress,
        currency=shop(desk.db).rules.currency,
        shown=_SHOWN,
    )
    # A page that asks again and again by itself takes the answer in only when it is a 200.
    is_asked_again = "hx-request" in desk.request.headers
    status = 422 if view.faults and not is_asked_again else 200
    response = render(desk.request, "pages/import.html", sheet, status)
    response.headers["hx-push-url"] = "false"
    return response


@router.post("/shop/imports/{import_id}")
def save_settled_import(desk: AtDesk, form: Posted, import_id: int) -> Response:
    """Let a price file in, or drop it."""
    if form.get("do") == "drop":
        drop_import(desk.db, desk.staff, import_id, desk.now)
        return go("/shop/imports?said=removed")
    if price_import(desk.db, import_id, desk.today).changes is None:
        return go(f"/shop/imports/{import_id}")
    response = go(f"/shop/imports/{import_id}")
    takes_out = form.get("takes_out") is not None
    # After the answer is sent, so that the page can show how far it has come.
    response.background = BackgroundTask(_let_in, desk, import_id, takes_out)
    return response


@router.get("/shop/prices.{kind}")
def show_price_file(desk: AtDesk, kind: str) -> Response:
    """The whole price list as a file."""
    if kind not in _KINDS:
        raise NotFound("kind of file", kind)
    name = f"price-list-{desk.today.isoformat()}.{kind}"
    return Response(
        export_prices(desk.db, kind, desk.today),
        media_type=_KINDS[kind],
        headers={"content-disposition": f'attachment; filename="{name}"'},
    )


def _let_in(desk: Desk, import_id: int, takes_out: bool) -> None:
    """Let a file in; a refusal stands on the page, whoever pressed twice."""
    try:
        let_in(desk.db, desk.staff, import_id, takes_out=takes_out, now=desk.now, today=desk.today)
    except Refused:
        return


def _page(desk: Desk, faults: tuple[Fault, ...] = ()) -> Response:
    sheet = ImportsSheet(
        frame=desk_frame(desk, "Price files", at="/shop", is_wrong=bool(faults)),
        cards=list_price_imports(desk.db),
        columns=COLUMNS,
        faults=faults,
    )
    status = HTTPStatus.UNPROCESSABLE_ENTITY if faults else HTTPStatus.OK
    return render(desk.request, "pages/imports.html", sheet, status)
