"""Options: small changes of the job that the client can tick on the link."""

from dataclasses import dataclass, replace
from http import HTTPStatus

from fastapi import APIRouter, Response
from markupsafe import Markup
from starlette.datastructures import FormData

from app.actions.errors import NotFound, StaleSave
from app.actions.estimate_edits import set_options
from app.actions.jobs import job_sheet
from app.actions.options import Alternative, alternatives, combined, names_of
from app.actions.records import JobSheet
from app.actions.takeoff import shop_of
from app.job.errors import InputErrors
from app.pricing.job_pricing import Option, OtherBoard
from app.pricing.options import combinations_of, option_faults
from app.web import drawings
from app.web.findings import Fault
from app.web.page import go, render
from app.web.sheets import Frame, job_frame
from app.web.stale import show_stale
from app.web.visit import AtDesk, Desk, Posted, number, text

router = APIRouter()
_BOARDS = 3
_BLANK = Option("", "")


@dataclass(frozen=True, slots=True)
class OptionsSheet:
    """The options of a job and what each combination comes to.

    Attributes
    ----------
    frame : Frame
        What stands round the page.
    job_id, version : int
        The job, and the version of what is set by hand.
    options : tuple of Option
        As they stand.
    alternatives : tuple of Alternative
        Every combination, worked out.
    currency : str
        Of the prices.
    things, places, boards : tuple of (str, str)
        Id and name: what can be added or left out; what can have another board; the boards.
    board_rows : range
        How many places the form asks for.
    typed : Option
        What stands in the form: one to be changed, one that was refused, or a blank one.
    drawn : Markup or None
        The plan with one combination built; none is looked at unless asked for.
    drawn_names : tuple of str
        Names of the options in it.
    faults : tuple of Fault
        What must be mended.
    """

    frame: Frame
    job_id: int
    version: int
    options: tuple[Option, ...]
    alternatives: tuple[Alternative, ...]
    currency: str
    things: tuple[tuple[str, str], ...]
    places: tuple[tuple[str, str], ...]
    boards: tuple[tuple[str, str], ...]
    board_rows: range
    typed: Option
    drawn: Markup | None
    drawn_names: tuple[str, ...]
    faults: tuple[Fault, ...]


@router.get("/jobs/{job_id}/options")
def show_options(desk: AtDesk, job_id: int, show: str | None = None, change: str = "") -> Response:
    """The options of a job; with `show` (codes with commas between, or none) drawn as built."""
    sheet = job_sheet(desk.db, job_id)
    typed = next((one for one in sheet.pricing.options if one.code == change), _BLANK)
    return _page(desk, sheet, typed=typed, show=show)


@router.post("/jobs/{job_id}/options")
def save_options(desk: AtDesk, form: Posted, job_id: int) -> Response:
    """Add an option, put one in place of the one with its code, or take one out."""
    sheet = job_sheet(desk.db, job_id)
    verb, _, code = text(form, "do").partition(":")
    new = _BLANK
    if verb == "take-out":
        options = tuple(one for one in sheet.pricing.options if one.code != code)
    else:
        new = _option(form)
        faults: tuple[Fault, ...] = (
            () if new.code and new.name else (Fault("Enter a code and a name", "code"),)
        )
        if faults or not new.code.replace("-", "").isalnum():
            faults = (*faults, Fault("Code: use letters, digits and dashes", "code"))
            return _page(desk, sheet, faults, typed=new)
        options = _in_place(sheet.pricing.options, new)
    wanted = replace(sheet, pricing=replace(sheet.pricing, options=options))
    if verb != "take-out" and not option_faults(options):
        _, cannot = alternatives(desk.db, wanted, desk.today)
        if cannot:
            return _page(desk, sheet, tuple(map(Fault, cannot)), typed=new)
    try:
        set_options(desk.db, desk.staff, job_id, number(form, "version"), options, desk.now)
    except InputErrors as wrong:
        return _page(desk, sheet, tuple(Fault(f"{e.path}: {e.wanted}") for e in wrong.errors), typed=new)
    except StaleSave as stale:
        return show_stale(desk, stale, back=f"/jobs/{job_id}/options")
    return go(f"/jobs/{job_id}/options?said=saved")


def _option(form: FormData) -> Option:
    """The option as typed."""

    def ticked(name: str) -> tuple[str, ...]:
        return tuple(str(value)[:80] for value in form.getlist(name))

    pairs = [(text(form, f"place-{n}", 80), text(form, f"board-{n}", 80)) for n in range(_BOARDS)]
    return Option(
        code=text(form, "code", 40).lower(),
        name=text(form, "name", 120),
        text=text(form, "words", 1000),
        adds=ticked("adds"),
        leaves_out=ticked("leaves_out"),
        boards=tuple(OtherBoard(place, board) for place, board in pairs if place and board),
        needs=ticked("needs"),
        excludes=ticked("excludes"),
    )


def _drawn(desk: Desk, sheet: JobSheet, codes: tuple[str, ...]) -> Markup:
    """The plan with some options built; NotFound when they cannot be ticked together."""
    if codes not in combinations_of(sheet.pricing.options):
        raise NotFound("combination of options", ", ".join(codes))
    book, firm = shop_of(desk.db, desk.today, sheet.job)
    return drawings.plan(combined(sheet, codes, book, firm, desk.today))


def _in_place(options: tuple[Option, ...], new: Option) -> tuple[Option, ...]:
    """The options with a new one at the end, or in the place of the one with its code."""
    if new.code not in [one.code for one in options]:
        return (*options, new)
    return tuple(new if one.code == new.code else one for one in options)


def _page(
    desk: Desk,
    sheet: JobSheet,
    faults: tuple[Fault, ...] = (),
    *,
    typed: Option = _BLANK,
    show: str | None = None,
) -> Response:
    plan, choices = sheet.job.plan, sheet.job.choices
    fields = [(one.id, one.name or f"deck {one.id}") for one in plan.deck_fields]
    walls = [(one.id, one.name or f"wall {one.id}") for one in plan.feature_walls]
    boxes = [(one.id, one.name or one.id) for one in (*plan.planters, *plan.benches, *plan.counters)]
    clad = {one.id for one in (*plan.planters, *plan.counters)}
    loose = [(one.id, one.name or f"stone bed {one.id}") for one in plan.stone_beds]
    lights = [one.id for one in plan.fixtures] + [one.id for one in plan.transformers]
    sound = [one.id for one in plan.speakers] + [one.id for one in plan.amplifiers]
    services = [*lights, *sound, *(one.id for one in plan.outlets), *(one.id for one in plan.gas_stubs)]
    found, more = alternatives(desk.db, sheet, desk.today)
    faults = (*faults, *map(Fault, more))
    shown = tuple(filter(None, show.split(","))) if show is not None else ()
    context = OptionsSheet(
        frame=job_frame(desk, sheet, 7, title="Options", is_wrong=bool(faults)),
        job_id=sheet.id,
        version=sheet.pricing_version,
        options=sheet.pricing.options,
        alternatives=found,
        currency=found[0].currency if found else "",
        things=(*walls, *boxes, *loose, *((code, code) for code in services)),
        places=(*fields, *walls, *(pair for pair in boxes if pair[0] in clad)),
        boards=tuple((board.id, board.name) for board in choices.boards),
        board_rows=range(_BOARDS),
        typed=typed,
        drawn=_drawn(desk, sheet, shown) if show is not None else None,
        drawn_names=names_of(sheet.pricing.options, shown),
        faults=faults,
    )
    is_refused = bool(faults) and desk.request.method == "POST"
    status = HTTPStatus.UNPROCESSABLE_ENTITY if is_refused else HTTPStatus.OK
    return render(desk.request, "pages/options.html", context, status)
