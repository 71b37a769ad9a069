"""Figures set by hand on one job's price: each with a reason, each in the trail, each to be taken back."""

from collections.abc import Callable, Sequence
from dataclasses import asdict, replace
from datetime import datetime
from decimal import Decimal

from app.actions.database import Database
from app.actions.errors import Refused, Saved, StaleSave
from app.actions.records import StaffMember
from app.actions.sheet import found, subject
from app.job.errors import InputErrors
from app.pricing.job_pricing import (
    DETAILS,
    OVERRIDE_FIELDS,
    AddedLine,
    Detail,
    JobPricing,
    Option,
    Override,
    Range,
)
from app.pricing.options import option_faults
from app.pricing.records import EstimateLine
from app.pricing.risk import usual_ranges
from app.store import audit, jobs
from app.store.job_pricing import add_pricing, pricing_at, read_pricing

MOST_MONEY = Decimal(10) ** 9


def set_override(
    db: Database, staff: StaffMember, job_id: int, version: int, override: Override, now: datetime
) -> int:
    """Set one figure of one line by hand and give the new version; Refused without a reason."""
    if not override.reason.strip():
        raise Refused("Say why the figure is set by hand; the reason stands beside it.")
    if override.field not in OVERRIDE_FIELDS:
        raise Refused(f"{override.field} is no figure that can be set; {', '.join(OVERRIDE_FIELDS)} are.")
    _check_amount(override.value)
    if override.field == "tax_pct" and override.value > 100:
        raise Refused("A rate of tax lies from 0 to 100 %.")
    override = replace(override, by=staff.name, reason=override.reason.strip()[:400])
    what = f"set {override.field} of {override.line} to {override.value}: {override.reason}"
    return _save(db, staff, job_id, version, lambda old: _with_override(old, override), (what, now))


def take_back_override(
    db: Database, staff: StaffMember, job_id: int, version: int, line: str, field: str, now: datetime
) -> int:
    """Take back what was set by hand on a line, so that it stands as reckoned again."""

    def without(old: JobPricing) -> JobPricing:
        kept = tuple(one for one in old.overrides if (one.line, one.field) != (line, field))
        return replace(old, overrides=kept)

    return _save(db, staff, job_id, version, without, (f"took back {field} of {line}", now))


def add_line(
    db: Database, staff: StaffMember, job_id: int, version: int, line: AddedLine, now: datetime
) -> int:
    """Add an allowance or a quote, or put it in place of the one with its code; Refused."""
    _check_amount(line.amount)
    if not line.code.strip() or not line.text.strip() or not line.reason.strip():
        raise Refused("An added sum needs a code, a text, and what it covers or whose quote it is.")

    def with_line(old: JobPricing) -> JobPricing:
        kept = tuple(one for one in old.added if one.code != line.code)
        return replace(old, added=(*kept, line))

    what = f"added {line.kind} {line.code}, {line.amount}: {line.reason}"
    return _save(db, staff, job_id, version, with_line, (what, now))


def take_back_line(
    db: Database, staff: StaffMember, job_id: int, version: int, code: str, now: datetime
) -> int:
    """Take an added sum out again."""

    def without(old: JobPricing) -> JobPricing:
        return replace(old, added=tuple(one for one in old.added if one.code != code))

    return _save(db, staff, job_id, version, without, (f"took out the added sum {code}", now))


def set_range(db: Database, staff: StaffMember, job_id: int, version: int, one: Range, now: datetime) -> int:
    """Say how far a line may fall short or run over; zero on both sides takes the range out. Refused."""
    if not 0 <= one.low_pct <= 100 or not 0 <= one.high_pct <= 1000:
        raise Refused("A line falls short by 0 to 100 % and runs over by 0 to 1000 %.")

    def with_range(old: JobPricing) -> JobPricing:
        kept = tuple(other for other in old.ranges if other.line != one.line)
        return replace(old, ranges=(*kept, one) if one.low_pct or one.high_pct else kept)

    what = f"set the range of {one.line} to -{one.low_pct} % and +{one.high_pct} %"
    return _save(db, staff, job_id, version, with_range, (what, now))


def set_usual_ranges(
    db: Database, staff: StaffMember, job_id: int, version: int, lines: Sequence[EstimateLine], now: datetime
) -> int:
    """Give usual ranges to the lines that cost most and have none; those set already stay."""
    what = "gave usual ranges to the lines that cost most"
    return _save(
        db,
        staff,
        job_id,
        version,
        lambda old: replace(old, ranges=usual_ranges(lines, old.ranges)),
        (what, now),
    )


def set_options(
    db: Database, staff: StaffMember, job_id: int, version: int, options: tuple[Option, ...], now: datetime
) -> int:
    """Say which options the client can tick; InputErrors when they do not fit together."""
    faults = option_faults(options)
    if faults:
        raise InputErrors(faults)
    what = f"set the options: {', '.join(option.name for option in options) or 'none'}"
    return _save(db, staff, job_id, version, lambda old: replace(old, options=options), (what, now))


def set_detail(
    db: Database, staff: StaffMember, job_id: int, version: int, detail: Detail, now: datetime
) -> int:
    """Say how much of the price the client is shown: the total, by phase, or by line."""
    if detail not in DETAILS:
        raise Refused(f"The price is shown as {', '.join(DETAILS)}; not as {detail}.")
    what = f"shows the price by {detail}" if detail != "total" else "shows the total alone"
    return _save(db, staff, job_id, version, lambda old: replace(old, detail=detail), (what, now))


def set_special_orders(
    db: Database, staff: StaffMember, job_id: int, version: int, cost: Decimal, now: datetime
) -> int:
    """Say what goods made or ordered for this job alone cost the firm; Refused."""
    _check_amount(cost)
    what = f"set the cost of special orders to {cost}"
    return _save(db, staff, job_id, version, lambda old: replace(old, special_orders=cost), (what, now))


def undo(db: Database, staff: StaffMember, job_id: int, version: int, now: datetime) -> int:
    """Put back what was set by hand before the last change, as the next version; undone twice it is redone.

    What the client chose by signing stands. Refused when nothing was set, or that choice was the last change.
    """
    if version < 1:
        raise Refused("Nothing was set by hand yet, so there is nothing to undo.")
    with db.read() as session:
        now_set, before = pricing_at(session, job_id, version), pricing_at(session, job_id, version - 1)
    before = replace(before, ticked=now_set.ticked)
    is_choice_lost = not set(before.ticked) <= {option.code for option in before.options}
    if before == now_set or is_choice_lost:
        raise Refused("The last change was, or bears, what the client chose by signing; that stands.")
    what = "undid the last change of what is set by hand on the price"
    return _save(db, staff, job_id, version, lambda _: before, (what, now))


def _with_override(old: JobPricing, override: Override) -> JobPricing:
    kept = tuple(one for one in old.overrides if (one.line, one.field) != (override.line, override.field))
    return replace(old, overrides=(*kept, override))


def _check_amount(amount: Decimal) -> None:
    if not amount.is_finite() or not 0 <= amount < MOST_MONEY:
        raise Refused(f"{amount} will not do; give an amount from 0 up, such as 24.60.")


def _save(
    db: Database,
    staff: StaffMember,
    job_id: int,
    version: int,
    change: Callable[[JobPricing], JobPricing],
    said: tuple[str, datetime],
) -> int:
    """Save what is set by hand as the next version; StaleSave when somebody was quicker."""
    what, now = said
    with db.write() as session:
        found(jobs.find_job(session, job_id, for_change=True), job_id)
        old, kept = read_pricing(session, job_id)
        new = change(old)
        if kept != version:
            theirs, yours = asdict(old), asdict(new)
            raise StaleSave(Saved(kept, "somebody", theirs), Saved(version, staff.name, yours))
        if new == old:
            return kept
        add_pricing(session, job_id, kept + 1, new, staff.name, now)
        audit.note(session, now, staff.name, what, subject(job_id))
    return kept + 1
