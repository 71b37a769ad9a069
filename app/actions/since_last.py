"""What a change order tells beside its sum: phase by phase against the change before it."""

from collections.abc import Sequence
from datetime import date
from decimal import Decimal
from typing import Any

from app.actions.records import Difference
from app.agreement.terms import Language
from app.documents.words import money_of, words_of
from app.pricing.records import PHASES
from app.store.day_records import ChangeOrder

Row = tuple[str, str, str, str]
_NOTHING = Decimal("0.00")


def stands(now: Difference) -> dict[str, Any]:
    """Give how the job stands, to be kept with a change order for the next one to start from."""
    phases = {phase: str(price) for phase, price in _phases_now(now).items()}
    return {"phases": phases, "total": str(now.total_now), "end_on": now.end_now_on.isoformat()}


def end_before(now: Difference, covered: Sequence[ChangeOrder]) -> date:
    """Give the last day before a change: as the change before it says, else as signed."""
    last = _last(covered)
    return date.fromisoformat(last.document["end_on"]) if last else now.end_then_on


def rows_since(
    now: Difference, covered: Sequence[ChangeOrder], unbilled: Decimal, language: Language
) -> tuple[Row, ...]:
    """Give phase, before, now and change as printed; they add up to what is not in a change order yet.

    None when they would not: a change between was declined or taken back, so that the sums alone tell it.
    """
    last = _last(covered)
    before = {phase: Decimal(price) for phase, price in last.document["phases"].items()} if last else None
    before = dict(now.phases_then) if before is None else before
    total_before = Decimal(last.document["total"]) if last else now.total_then
    if now.total_now - total_before != unbilled:
        return ()
    after = _phases_now(now)
    write, say = money_of(language), words_of(language)
    found: list[Row] = []
    left = unbilled
    for phase in PHASES:
        was, is_now = before.get(phase, _NOTHING), after.get(phase, _NOTHING)
        if was != is_now:
            told = [write(amount, now.currency) for amount in (was, is_now, is_now - was)]
            found.append((say(phase.capitalize()), told[0], told[1], told[2]))
            left -= is_now - was
    if left:
        found.append((say("Tax on the contract, rounding"), "", "", write(left, now.currency)))
    return tuple(found)


def _phases_now(now: Difference) -> dict[str, Decimal]:
    gone = {phase: _NOTHING for phase, _ in now.phases_then}
    return {**gone, **dict(now.phases_now)}


def _last(covered: Sequence[ChangeOrder]) -> ChangeOrder | None:
    """Give the newest change of the plan that was sent or signed and says how the job stood with it."""
    return next((one for one in reversed(covered) if "phases" in one.document), None)
