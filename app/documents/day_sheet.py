"""The day sheet: one page for the van and the phone."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from app.agreement.records import Party
from app.build.day_work import DayWork
from app.documents.purchase_order import Titled
from app.documents.render import pdf_on_one_page
from app.measure.show import format_length
from app.takeoff.totals.records import CutStick

MOST_ITEMS = 14
# How many sticks and goods are listed: as many as leave it one page; the rest stands in the cut plan.
_TRIES = ((40, 14), (24, 14), (16, 10), (8, 6), (0, 3))
Cut = tuple[str, CutStick, frozenset[str]]  # profile, stick, and pieces kept for a later day


@dataclass(frozen=True, slots=True)
class CutOut:
    """A part of a drawing that the day is worked from, and the key to where it lies."""

    name: str
    legend: str
    svg: str
    key: str


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
    cut_outs: tuple[CutOut, ...]
    cuts: tuple[Cut, ...]
    carried: tuple[tuple[str, str, str], ...]
    items: tuple[str, ...]
    missing: tuple[str, ...]
    access: tuple[str, ...]
    system: str
    printed_on: date


def day_sheet_pdf(inputs: DaySheetInputs) -> bytes:
    """Print the day sheet on one page; the same inputs give the same bytes."""
    return pdf_on_one_page("day_sheet.html", (context_of(inputs, *most) for most in _TRIES))


def context_of(inputs: DaySheetInputs, most_cuts: int, most_items: int) -> dict[str, object]:
    """Give what the print is filled from: what is missing on the roof stands first."""
    items = sorted(inputs.items, key=lambda item: item not in inputs.missing)
    shown = max(most_items, len(inputs.missing)) if most_items == MOST_ITEMS else most_items
    return {
        **vars(inputs),
        "job": Titled(inputs.job_title),
        "cut_groups": cut_groups(inputs.cuts[:most_cuts], inputs.system),
        "more_cuts": max(0, len(inputs.cuts) - most_cuts),
        "some_items": tuple(items[:shown]),
        "more_items": max(0, len(items) - shown),
    }


def cut_groups(cuts: Iterable[Cut], system: str) -> tuple[tuple[str, tuple[str, ...]], ...]:
    """Give the sticks by profile, each with how it is cut."""
    found: dict[str, list[str]] = {}
    for cut in cuts:
        found.setdefault(cut[0], []).append(cut_line(cut, system))
    return tuple((profile, tuple(lines)) for profile, lines in found.items())


def cut_line(cut: Cut, system: str) -> str:
    """Say how one stick is cut, and what of it waits for a later day; metric lengths are in mm."""
    _, stick, later = cut

    def size(length_mm: float) -> str:
        return format_length(length_mm, system).removesuffix(" mm")

    def told(name: str, length_mm: float) -> str:
        return f"{name} {size(length_mm)}{' (later)' if name in later else ''}"

    pieces = [told(name, length) for name, length in stick.pieces]
    pieces += [f"{told(name, length)} ripped beside {other}" for name, other, length in stick.beside]
    left = f"; left {size(stick.left_mm)}" if stick.left_mm >= 1 else ""
    return f"{size(stick.stock_mm)}: {', '.join(pieces)}{left}"
