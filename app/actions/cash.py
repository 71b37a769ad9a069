"""What is out of pocket on each day of a job: what is paid out against what the client's stages bring in."""

from collections import defaultdict
from dataclasses import dataclass
from datetime import date, timedelta
from decimal import Decimal

from app.actions.beside import Beside
from app.actions.records import WorkedOut
from app.agreement.records import PaymentStage
from app.agreement.stages import DEPOSIT_CAPS, MILESTONES, cap_for_job, payment_stages
from app.pricing.labour import labour_rate
from app.pricing.money import share_out, to_cents
from app.pricing.taxes import tax_by_line

ONE_DAY = timedelta(days=1)


@dataclass(frozen=True, slots=True)
class CashDay:
    """One day on which money moves; `balance` is what has come in less what has gone out, that day in."""

    on: date
    out: Decimal
    into: Decimal
    balance: Decimal
    what: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class CashView:
    """Every day on which money moves, and the deepest the firm is out of pocket."""

    days: tuple[CashDay, ...]
    deepest: Decimal
    deepest_on: date | None
    left: Decimal


_kept: Beside[CashView] = Beside()


def cash_view(worked: WorkedOut, deposit_cap: str) -> CashView:
    """Give the cash of a job as planned: goods when ordered, labour and the rest day by day, stages when due.

    Goods are paid on their order day, since small firms rarely have terms: common practice, no source.
    Overhead is no part of it: it is paid whether there is a job or not.
    """
    things, more = (worked.answer, worked.prices, worked.calendar), (worked.today, deposit_cap)
    return _kept.of(things, more, lambda: _day_by_day(worked, deposit_cap))


def _day_by_day(worked: WorkedOut, deposit_cap: str) -> CashView:
    moves: dict[date, list[tuple[Decimal, str]]] = defaultdict(list)
    _goods_out(worked, moves)
    _work_out(worked, moves)
    for on, stage in _stages_in(worked, deposit_cap):
        moves[on].append((stage.amount, stage.text))
    estimate = worked.answer.estimate
    if estimate.contract_tax:
        moves[worked.answer.days.end_on].append((-estimate.contract_tax, "tax on the contract"))
    days, balance = [], Decimal("0.00")
    for on in sorted(moves):
        out = -sum((amount for amount, _ in moves[on] if amount < 0), Decimal("0.00"))
        into = sum((amount for amount, _ in moves[on] if amount > 0), Decimal("0.00"))
        balance += into - out
        days.append(CashDay(on, out, into, balance, tuple(text for amount, text in moves[on] if amount)))
    worst = min(days, key=lambda day: day.balance, default=None)
    deepest = min(worst.balance, Decimal("0.00")) if worst else Decimal("0.00")
    return CashView(tuple(days), deepest, worst.on if worst and deepest < 0 else None, balance)


def _goods_out(worked: WorkedOut, moves: dict[date, list[tuple[Decimal, str]]]) -> None:
    """Material, with the tax paid on it, on the day it is ordered; what has no order day on the first day."""
    estimate, plan = worked.answer.estimate, worked.answer.days
    cost: dict[str, Decimal] = defaultdict(Decimal)
    taxes = tax_by_line(estimate.lines, estimate.purchase_tax)
    for line in estimate.lines:
        if line.kind == "material":
            cost[line.item] += line.cost + taxes[line.id]
    order_on = {order.item: order.order_by_on for order in plan.orders}
    for item, spent in cost.items():
        moves[order_on.get(item, plan.start_on)].append((-spent, item))


def _work_out(worked: WorkedOut, moves: dict[date, list[tuple[Decimal, str]]]) -> None:
    """Labour and the other direct cost of each phase, shared over the days of its tasks."""
    plan = worked.answer.days
    rate = labour_rate(worked.prices.rules)
    taxes = tax_by_line(worked.answer.estimate.lines, worked.answer.estimate.purchase_tax)
    for phase in worked.answer.estimate.phases:
        lines = [line for line in worked.answer.estimate.lines if line.phase == phase.phase]
        rest = [line for line in lines if line.kind != "material"]
        spent = sum((line.cost + taxes[line.id] for line in rest), Decimal("0.00"))
        tasks = [task for task in plan.tasks if task.task.phase == phase.phase]
        start = min((task.start_on for task in tasks), default=plan.start_on)
        end = max((task.end_on for task in tasks), default=start)
        days = _worked_days(worked, start, end)
        hours = to_cents(Decimal(repr(phase.hours_h)))
        text = f"{phase.phase}: {hours} h at {to_cents(rate)} and the rest" if hours else phase.phase
        for on, part in zip(days, share_out(to_cents(spent), [Decimal(1)] * len(days)), strict=True):
            if part:
                moves[on].append((-part, text))


def _worked_days(worked: WorkedOut, start: date, end: date) -> list[date]:
    """Give the days of the plan between two days; the first of them when it names none."""
    off = {on for on, _ in worked.calendar.days_off}
    every = [start + ONE_DAY * n for n in range((end - start).days + 1)]
    found = [on for on in every if on.weekday() in worked.calendar.weekdays and on not in off]
    return found or [start]


def _stages_in(worked: WorkedOut, deposit_cap: str) -> list[tuple[date, PaymentStage]]:
    """Give every payment of the client with the day it falls due."""
    estimate, plan, rules = worked.answer.estimate, worked.answer.days, worked.prices.rules
    cap = next((cap for cap in DEPOSIT_CAPS if cap.code == deposit_cap), None)
    cap = cap_for_job(cap, worked.sheet.pricing.special_orders)
    stages = payment_stages(estimate.total, estimate.phases, rules.deposit_pct, rules.holdback_pct, cap)
    phases_of = {code: phases for code, _, phases in MILESTONES}
    found = []
    for stage in stages:
        ends = [task.end_on for task in plan.tasks if task.task.phase in phases_of.get(stage.code, ())]
        first = min(worked.today, plan.start_on)
        on = first if stage.code == "deposit" else max(ends, default=plan.end_on)
        found.append((on, stage))
    return found
