"""A change: what differs between two frozen answers, in money, days and quantities."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from app.pricing.records import PHASES, Estimate, EstimateLine, Phase
from app.takeoff.totals.records import Quantity

# Amounts come as floats; less than this is the dust of arithmetic.
GRAIN = 1e-6


@dataclass(frozen=True, slots=True)
class Answer:
    """What a change is measured against: the parts of a frozen answer that a client agreed to.

    Attributes
    ----------
    estimate : Estimate
    quantities : tuple of Quantity
    end_on : date
        Last day of the plan.
    working_days : int
        How many working days it holds. [days]
    """

    estimate: Estimate
    quantities: tuple[Quantity, ...]
    end_on: date
    working_days: int


@dataclass(frozen=True, slots=True)
class PhaseChange:
    """The price of one phase, then and now.

    Attributes
    ----------
    phase : str
    then, now, change : Decimal
    """

    phase: Phase
    then: Decimal
    now: Decimal
    change: Decimal


@dataclass(frozen=True, slots=True)
class LineChange:
    """The cost of one line of the estimate, then and now; for the firm's eyes.

    Attributes
    ----------
    id, text : str
    then, now, change : Decimal
        Zero on the side where the line does not stand.
    """

    id: str
    text: str
    then: Decimal
    now: Decimal
    change: Decimal


@dataclass(frozen=True, slots=True)
class AmountChange:
    """One quantity, then and now.

    Attributes
    ----------
    basis, item, unit : str
    then, now, change : float
        In `unit`.
    """

    basis: str
    item: str
    unit: str
    then: float
    now: float
    change: float


@dataclass(frozen=True, slots=True)
class Change:
    """What a change order says.

    Attributes
    ----------
    currency : str
    total_then, total_now, total_change : Decimal
        What the client pays.
    phases : tuple of PhaseChange
        Those that differ.
    lines : tuple of LineChange
        Those that differ.
    quantities : tuple of AmountChange
        Those that differ.
    hours_change_h : float
        Labour. [h]
    working_days_change : int
        Working days more or fewer. [days]
    end_then_on, end_now_on : date
    is_empty : bool
        Whether nothing differs at all.
    """

    currency: str
    total_then: Decimal
    total_now: Decimal
    total_change: Decimal
    phases: tuple[PhaseChange, ...]
    lines: tuple[LineChange, ...]
    quantities: tuple[AmountChange, ...]
    hours_change_h: float
    working_days_change: int
    end_then_on: date
    end_now_on: date
    is_empty: bool


def difference(then: Answer, now: Answer) -> Change:
    """Give what differs between what was agreed and what stands now.

    Parameters
    ----------
    then : Answer
        Frozen with the sign-off.
    now : Answer
        As it stands.

    Returns
    -------
    change : Change
        Nothing is listed that is the same on both sides.

    Raises
    ------
    ValueError
        If the two are in different currencies.

    References
    ----------
    Definition.
    """
    before, after = then.estimate, now.estimate
    if before.currency != after.currency:
        raise ValueError(f"{before.currency} and {after.currency} cannot be compared.")
    phases = _phases(before, after)
    lines = _lines(before.lines, after.lines)
    quantities = _quantities(then.quantities, now.quantities)
    hours_h = round(after.hours_h - before.hours_h, 6)
    days = now.working_days - then.working_days
    total_change = after.total - before.total
    same_end = then.end_on == now.end_on
    return Change(
        currency=before.currency,
        total_then=before.total,
        total_now=after.total,
        total_change=total_change,
        phases=phases,
        lines=lines,
        quantities=quantities,
        hours_change_h=hours_h,
        working_days_change=days,
        end_then_on=then.end_on,
        end_now_on=now.end_on,
        is_empty=not (phases or lines or quantities or hours_h or days or total_change) and same_end,
    )


def sum_of_changes(original: Decimal, approved: Sequence[Decimal]) -> Decimal:
    """Give the contract sum as it runs.

    Parameters
    ----------
    original : Decimal
        Total first signed.
    approved : sequence of Decimal
        Changes both sides have signed; pending ones are kept apart.

    Returns
    -------
    total : Decimal
        Original and approved changes.

    References
    ----------
    Common practice, no source.
    """
    return original + sum(approved, Decimal(0))


def _phases(before: Estimate, after: Estimate) -> tuple[PhaseChange, ...]:
    """Give the phases whose price differs."""
    then = {phase.phase: phase.price for phase in before.phases}
    now = {phase.phase: phase.price for phase in after.phases}
    found = []
    for phase in PHASES:
        was, stands = then.get(phase, Decimal("0.00")), now.get(phase, Decimal("0.00"))
        if was != stands:
            found.append(PhaseChange(phase, was, stands, stands - was))
    return tuple(found)


def _lines(before: Sequence[EstimateLine], after: Sequence[EstimateLine]) -> tuple[LineChange, ...]:
    """Give the lines whose cost differs, in the order they stand now, gone ones last."""
    then = {line.id: line for line in before}
    now = {line.id: line for line in after}
    found = []
    for code in dict.fromkeys([*now, *then]):
        was = then[code].cost if code in then else Decimal("0.00")
        stands = now[code].cost if code in now else Decimal("0.00")
        if was != stands:
            text = (now[code] if code in now else then[code]).text
            found.append(LineChange(code, text, was, stands, stands - was))
    return tuple(found)


def _quantities(before: Sequence[Quantity], after: Sequence[Quantity]) -> tuple[AmountChange, ...]:
    """Give the quantities that differ, in the order they stand now, gone ones last."""
    then, now = _amounts(before), _amounts(after)
    found = []
    for key in dict.fromkeys([*now, *then]):
        was, stands = then.get(key, 0.0), now.get(key, 0.0)
        if abs(stands - was) > GRAIN:
            found.append(AmountChange(*key, then=was, now=stands, change=stands - was))
    return tuple(found)


def _amounts(quantities: Sequence[Quantity]) -> dict[tuple[str, str, str], float]:
    """Add quantities up by basis, item and unit."""
    found: dict[tuple[str, str, str], float] = {}
    for quantity in quantities:
        key = (quantity.basis, quantity.item, quantity.unit)
        found[key] = found.get(key, 0.0) + quantity.amount
    return found
