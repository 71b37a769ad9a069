"""Direct cost against plan: hours, orders and bills beside the estimate, and what is still to come."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal

from app.actions.database import Database
from app.actions.day_records import Cost
from app.actions.errors import Refused
from app.actions.records import StaffMember, WorkedOut
from app.actions.sheet import found, subject
from app.build.costs import Cell, CostRow, cost_rows, ordered_costs, planned_costs, whole_cost
from app.build.progress import PhaseOutlook
from app.pricing.labour import labour_rate
from app.pricing.money import to_cents
from app.pricing.records import PHASES
from app.store import audit, costs, deliveries, jobs

BILLED = ("material", "equipment", "subcontract", "allowance")
_CENT = Decimal("0.01")


@dataclass(frozen=True, slots=True)
class CostView:
    """Direct cost by phase and kind, its sum by phase and over all, and every bill."""

    rows: tuple[CostRow, ...]
    phases: tuple[CostRow, ...]
    kinds: tuple[CostRow, ...]
    whole: CostRow
    bills: tuple[Cost, ...]


def cost_view(
    db: Database, worked: WorkedOut, outlook: tuple[PhaseOutlook, ...], done_pct: Mapping[str, float]
) -> CostView:
    """Direct cost of a job against plan."""
    with db.read() as session:
        bills = costs.costs(session, worked.sheet.id)
        orders = deliveries.orders_of(session, worked.sheet.id)
    packs: dict[str, int] = {}
    for order in orders:
        for ordered in order.lines:
            packs[ordered.item] = packs.get(ordered.item, 0) + ordered.packs
    rate = labour_rate(worked.prices.rules)
    spent: dict[Cell, Decimal] = {}
    for bill in bills:
        key = (bill.phase, bill.kind)
        spent[key] = spent.get(key, Decimal("0.00")) + bill.amount
    lines = worked.answer.estimate.lines
    planned = planned_costs(lines)
    at_finish: dict[str, Decimal] = {}
    for row in outlook:
        if row.actual_h:
            spent[row.phase, "labour"] = _labour(row.actual_h, rate)
            at_finish[row.phase] = _labour_at_finish(planned.get((row.phase, "labour")), row, rate)
    rows = cost_rows(planned, ordered_costs(lines, packs), spent, at_finish, done_pct)
    phases = tuple(dict.fromkeys(row.phase for row in rows))
    kinds = tuple(dict.fromkeys(row.kind for row in rows))
    return CostView(
        rows=rows,
        phases=tuple(whole_cost((r for r in rows if r.phase == phase), phase) for phase in phases),
        kinds=tuple(whole_cost((r for r in rows if r.kind == kind), "job", kind) for kind in kinds),
        whole=whole_cost(rows),
        bills=bills,
    )


def note_cost(
    db: Database,
    staff: StaffMember,
    job_id: int,
    what: tuple[str, str, str],
    amount: Decimal,
    on: date,
    note: str,
    now: datetime,
) -> int:
    """Note a bill (its kind, phase and from whom); a wrong one is put right by another with a minus."""
    kind, phase, who = what
    if kind not in BILLED:
        raise Refused(f"There is no kind of bill {kind}; there are {', '.join(BILLED)}.")
    if phase and phase not in PHASES:
        raise Refused(f"There is no phase {phase}; there are {', '.join(PHASES)}.")
    if not amount.is_finite() or amount == 0 or amount != amount.quantize(_CENT):
        raise Refused(f"{amount} is no sum of money; give it to the cent.")
    if not who.strip():
        raise Refused("Give whose bill it is.")
    with db.write() as session:
        found(jobs.find_job(session, job_id, for_change=True), job_id)
        before = sum(
            (one.amount for one in costs.costs(session, job_id) if (one.kind, one.phase) == (kind, phase)),
            Decimal(0),
        )
        if before + amount < 0:
            raise Refused(f"Only {before} was billed for it so far; nothing goes below nothing.")
        new = Cost(0, kind, phase, amount, who.strip()[:200], on, note.strip()[:400], now, staff.name)
        cost_id = costs.add_cost(session, job_id, new)
        words = f"billed by {new.who}: {amount}, {kind}" + (f", {phase}" if phase else "")
        audit.note(session, now, staff.name, words[:400], subject(job_id))
    return cost_id


def _labour(hours_h: float, rate: Decimal) -> Decimal:
    return to_cents(Decimal(str(round(hours_h, 4))) * rate)


def _labour_at_finish(planned: Decimal | None, row: PhaseOutlook, rate: Decimal) -> Decimal:
    """Give what the hours at the finish cost: as planned for as many hours as planned, to the cent."""
    if planned and row.planned_h:
        return to_cents(planned * Decimal(str(row.at_finish_h)) / Decimal(str(row.planned_h)))
    return _labour(row.at_finish_h, rate)
