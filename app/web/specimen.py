"""The specimen sheet: every part that pages are made of, drawn once, for whoever adds a page."""

from dataclasses import dataclass

from fastapi import APIRouter, Response
from markupsafe import Markup

from app.agreement.states import STATES
from app.drawings.legend import legend_svg
from app.job.findings import Finding
from app.web.drawings import on_page
from app.web.findings import Fault
from app.web.forms.drawn import Field, field_id
from app.web.forms.plain import Entry, draw
from app.web.page import render
from app.web.sheets import Frame, desk_frame
from app.web.visit import AtDesk

router = APIRouter()
_COLOURS = (
    ("desk", "what the sheet lies on"),
    ("paper", "the sheet"),
    ("paper-shade", "head of a table, the current row"),
    ("ink", "text and lines"),
    ("ink-soft", "what is said beside"),
    ("line-soft", "lines between rows"),
    ("accent", "what can be pressed, what needs an answer"),
    ("accent-shade", "a field with a fault"),
)
_PARTS = (
    Entry("name", "Words in one line", hint="What it is for stands here, before the field."),
    Entry("length", "A measure", "quantity", "As people write it: 12' 6 1/2\" or 3.81 m.", "mm"),
    Entry("pieces", "A count", "count"),
    Entry("on", "A day", "date"),
    Entry("membrane", "One of a list", "choice", options=(("epdm", "EPDM"), ("pvc", "PVC"))),
    Entry("notes", "Words in many lines", "words"),
    Entry("mark", "A mark", "code"),
    Entry("hoist", "A tick", "tick"),
    Entry("wrong", "A field with a fault", "quantity", unit="mm"),
)
_TYPED = {"name": "Main deck", "length": "3.81 m", "membrane": "pvc", "mark": "deck-1", "wrong": "400 kg"}
_FAULT = "400 kg is no length. Write a number with mm, cm, m, in or ft."
_FINDINGS = (
    Finding(
        "specimen.stop",
        "stop",
        "bed",
        "Do not offer or build before this is settled.",
        2.9,
        2.4,
        "kPa",
        "the engineer's letter",
    ),
    Finding("specimen.check", "check", "deck", "A licensed person or the local code must confirm."),
    Finding("specimen.note", "note", "job", "Worth knowing."),
)


@dataclass(frozen=True, slots=True)
class SpecimenSheet:
    """All parts, with invented content.

    Attributes
    ----------
    frame : Frame
        What stands round the page.
    colours : tuple of (str, str)
        Name of each colour and what it is for.
    states : tuple of str
        The states of a job, in their order.
    findings : tuple of Finding
        One of each grade.
    fields : tuple of Field
        One field of each shape, one of them with a fault.
    faults : tuple of Fault
        What the summary over a form tells.
    legend : Markup
        Lines and hatches of the drawings.
    """

    frame: Frame
    colours: tuple[tuple[str, str], ...]
    states: tuple[str, ...]
    findings: tuple[Finding, ...]
    fields: tuple[Field, ...]
    faults: tuple[Fault, ...]
    legend: Markup


@router.get("/shop/specimen")
def show_specimen(desk: AtDesk) -> Response:
    """Every part that pages are made of."""
    return render(
        desk.request,
        "pages/specimen.html",
        SpecimenSheet(
            frame=desk_frame(desk, "Specimen", at="/shop", is_wrong=True),
            colours=_COLOURS,
            states=STATES,
            findings=_FINDINGS,
            fields=draw(_PARTS, _TYPED, {"wrong": _FAULT}),
            faults=(Fault(_FAULT, field_id("wrong")),),
            legend=on_page(legend_svg(), "legend"),
        ),
    )
