"""Options worked out: every combination the client can tick, by the engine, within a bound."""

from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from app.actions.database import Database
from app.actions.facts import stops_in
from app.actions.records import JobSheet, Shop, WorkedOut
from app.actions.takeoff import shop_of, with_ticked, work_out_sheet
from app.job.errors import InputErrors
from app.pricing.job_pricing import Option
from app.pricing.options import combinations_of
from app.pricing.records import PriceBook


@dataclass(frozen=True, slots=True)
class Alternative:
    """One combination: what it comes to, and how it differs from the proposal without options."""

    codes: tuple[str, ...]
    names: tuple[str, ...]
    total: Decimal
    currency: str
    more: Decimal
    days: int
    more_days: int
    dead_kg: float
    more_kg: float
    stops: tuple[str, ...]


def combined(sheet: JobSheet, codes: tuple[str, ...], book: PriceBook, firm: Shop, today: date) -> WorkedOut:
    """Work out a job with options ticked; without any option it is the job itself. InputErrors."""
    if not sheet.pricing.options:
        return work_out_sheet(sheet, book, firm, today)
    return work_out_sheet(with_ticked(sheet, codes), book, firm, today)


def alternatives(
    db: Database, sheet: JobSheet, today: date
) -> tuple[tuple[Alternative, ...], tuple[str, ...]]:
    """Give every combination worked out, the empty one first, and why one could not be."""
    options = sheet.pricing.options
    if not options:
        return (), ()
    book, firm = shop_of(db, today, sheet.job)
    found: list[Alternative] = []
    faults: list[str] = []
    base: WorkedOut | None = None
    for codes in combinations_of(options):
        try:
            worked = combined(sheet, codes, book, firm, today)
        except InputErrors as wrong:
            faults += [f"{', '.join(codes) or 'no option'}: {e.path}: {e.wanted}" for e in wrong.errors]
            continue
        base = base or worked
        found.append(_alternative(worked, base, codes, options))
    return tuple(found), tuple(faults)


def names_of(options: tuple[Option, ...], codes: tuple[str, ...]) -> tuple[str, ...]:
    """Give the names of options, in their order."""
    return tuple(option.name for option in options if option.code in codes)


def _alternative(
    worked: WorkedOut, base: WorkedOut, codes: tuple[str, ...], options: tuple[Option, ...]
) -> Alternative:
    here, there = worked.answer, base.answer
    return Alternative(
        codes=codes,
        names=names_of(options, codes),
        total=here.estimate.total,
        currency=here.estimate.currency,
        more=here.estimate.total - there.estimate.total,
        days=len(here.days.days),
        more_days=len(here.days.days) - len(there.days.days),
        dead_kg=here.takeoff.totals.dead_kg,
        more_kg=here.takeoff.totals.dead_kg - there.takeoff.totals.dead_kg,
        stops=stops_in(here),
    )
