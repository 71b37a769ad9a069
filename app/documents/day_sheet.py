"""The day sheet: one page for the van and the phone."""

from dataclasses import dataclass
from datetime import date

from app.agreement.records import Party
from app.build.day_work import DayWork
from app.documents.purchase_order import Titled
from app.documents.render import pdf
from app.measure.show import format_length
from app.takeoff.totals.records import CutStick

# What fits on the page beside everything else; the rest stands in the cut plan.
MOST_CUTS, MOST_ITEMS = 24, 14


@dataclass(frozen=True)
class DaySheetInputs:
    """All that a day sheet is printed from."""

    firm: Party
    job_number: str
    job_title: str
    site_address: str
    crew_code: str
    crew_name: str
    work: DayWork
    svg: str
    drawing_name: str
    cuts: tuple[tuple[str, CutStick], ...]
    items: tuple[str, ...]
    missing: tuple[str, ...]
    access: tuple[str, ...]
    system: str
    printed_on: date


def day_sheet_pdf(inputs: DaySheetInputs) -> bytes:
    """Print the day sheet on one page; the same inputs give the same bytes."""
    return pdf("day_sheet.html", context_of(inputs))


def context_of(inputs: DaySheetInputs) -> dict[str, object]:
    """Give what the page and the print are filled from."""
    return {
        **vars(inputs),
        "job": Titled(inputs.job_title),
        "cut_lines": tuple(
            cut_line(profile, stick, inputs.system) for profile, stick in inputs.cuts[:MOST_CUTS]
        ),
        "more_cuts": max(0, len(inputs.cuts) - MOST_CUTS),
        "some_items": inputs.items[:MOST_ITEMS],
        "more_items": max(0, len(inputs.items) - MOST_ITEMS),
    }


def cut_line(profile: str, stick: CutStick, system: str) -> str:
    """Say how one stick is cut."""
    pieces = ", ".join(f"{name} {format_length(length, system)}" for name, length in stick.pieces)
    left = f"; left {format_length(stick.left_mm, system)}" if stick.left_mm > 0 else ""
    return f"{profile} {format_length(stick.stock_mm, system)}: {pieces}{left}"
