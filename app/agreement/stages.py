"""Payment stages: deposit, progress as phases are finished, holdback; they sum to the total to the cent."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date
from decimal import ROUND_DOWN, ROUND_HALF_UP, Decimal
from typing import Literal

from app.agreement.records import PaymentStage
from app.agreement.withdrawal import READ_ON
from app.pricing.money import CENT, share_out
from app.pricing.records import Phase, PhasePrice

# Milestones that can be seen on the roof; each falls due when its last phase is finished.
MILESTONES: tuple[tuple[str, str, tuple[Phase, ...]], ...] = (
    ("frame", "When the frame stands level on its pads", ("preparation", "carry-up", "frame")),
    ("rough-in", "When the rough-in has been seen and signed", ("rough-in",)),
    ("boards", "When the boards are laid", ("boards",)),
    ("built", "When walls, planters and stone beds are built", ("walls", "planters", "beds")),
    ("fit-out", "When everything is fitted and the roof is clean", ("fit-out", "clean-down")),
)


@dataclass(frozen=True, slots=True)
class DepositCap:
    """The most a firm may ask for before work starts. Check local law.

    Attributes
    ----------
    code, name : str
    share_pct : Decimal
        Of the total. [%]
    amount : Decimal or None
        A sum beside the share; None when there is none.
    rule : str
        ``lesser`` or ``greater`` of the two.
    source : str
        Where it comes from and of what date.
    parts : int
        When not 0, the share is one of so many equal parts, exactly: 3 for a third.
    read_on : date or None
        When the source was last read.
    with_special_orders : bool
        What goods made or ordered for one job alone cost may be asked for, where that is more.
    """

    code: str
    name: str
    share_pct: Decimal
    amount: Decimal | None
    rule: Literal["lesser", "greater"]
    source: str
    parts: int = 0
    read_on: date | None = None
    with_special_orders: bool = False


def cap_for_job(cap: DepositCap | None, special_orders: Decimal) -> DepositCap | None:
    """Give the cap of one job: where the law lets it, at least what its special-order goods cost.

    Parameters
    ----------
    cap : DepositCap or None
        The region's.
    special_orders : Decimal
        Cost of goods made or ordered for this job alone; zero when there are none.

    Returns
    -------
    cap : DepositCap or None
        The greater of share and special orders where the cap knows them; else as it was.

    References
    ----------
    Massachusetts General Laws c. 142A §2(a): a third, or the actual cost of special-order goods.
    """
    if cap is None or not cap.with_special_orders or not special_orders:
        return cap
    return replace(cap, amount=special_orders, rule="greater")


def deposit_for(total: Decimal, deposit_pct: Decimal, cap: DepositCap | None) -> Decimal:
    """Give the deposit.

    Parameters
    ----------
    total : Decimal
        What the client pays.
    deposit_pct : Decimal
        The shop's share. [%]
    cap : DepositCap or None
        The most that may be asked for; None when no cap is set.

    Returns
    -------
    deposit : Decimal
        To the cent; a cap is rounded down, so that it is never passed.

    References
    ----------
    Definition; for caps the source of each.
    """
    asked = (total * deposit_pct / 100).quantize(CENT, rounding=ROUND_HALF_UP)
    if cap is None:
        return min(asked, total)
    share = total / cap.parts if cap.parts else total * cap.share_pct / 100
    limits = [share] + ([cap.amount] if cap.amount is not None else [])
    limit = min(limits) if cap.rule == "lesser" else max(limits)
    return min(asked, limit.quantize(CENT, rounding=ROUND_DOWN), total)


def payment_stages(
    total: Decimal,
    phases: Sequence[PhasePrice],
    deposit_pct: Decimal,
    holdback_pct: Decimal,
    cap: DepositCap | None = None,
) -> tuple[PaymentStage, ...]:
    """Give the payments of a job.

    Parameters
    ----------
    total : Decimal
        What the client pays, tax in.
    phases : sequence of PhasePrice
        Their prices weigh the progress payments.
    deposit_pct : Decimal
        The shop's share asked for at sign-off. [%]
    holdback_pct : Decimal
        Share paid when the punch list is closed. [%]
    cap : DepositCap or None
        The most that may be asked for as a deposit.

    Returns
    -------
    stages : tuple of PaymentStage
        In the order they fall due; they sum to the total exactly and none is zero.

    Raises
    ------
    ValueError
        If deposit and holdback come to more than the total.

    Notes
    -----
    Total − deposit − holdback is shared among the milestones by the price of their phases, by largest
    remainder, so nothing is paid ahead of work that is not done.

    References
    ----------
    Definition of the largest-remainder method; stages by finished work are common practice, no source.
    """
    deposit = deposit_for(total, deposit_pct, cap)
    holdback = min((total * holdback_pct / 100).quantize(CENT, rounding=ROUND_HALF_UP), total)
    rest = total - deposit - holdback
    if rest < 0:
        raise ValueError(f"Deposit {deposit} and holdback {holdback} come to more than the total {total}.")
    price_of = {phase.phase: phase.price for phase in phases}
    weights = [
        sum((price_of.get(phase, Decimal(0)) for phase in named), Decimal(0)) for *_, named in MILESTONES
    ]
    present = [(stone, weight) for stone, weight in zip(MILESTONES, weights, strict=True) if weight]
    # With nothing to weigh by, everything falls due at the end.
    parts = share_out(rest, [weight for _, weight in present]) if present else ()
    due = [
        ("deposit", "At sign-off", deposit),
        *((code, text, part) for ((code, text, _), _), part in zip(present, parts, strict=True)),
        ("holdback", "When the punch list is closed", holdback if present else holdback + rest),
    ]
    return tuple(PaymentStage(code, text, amount) for code, text, amount in due if amount)


DEPOSIT_CAPS: tuple[DepositCap, ...] = (
    DepositCap(
        "us-ca",
        "California home improvement",
        Decimal(10),
        Decimal(1000),
        "lesser",
        "California Business and Professions Code §7159.5, from a copy read in 2026; check local law",
        read_on=READ_ON,
    ),
    DepositCap(
        "us-ma",
        "Massachusetts home improvement",
        Decimal("33.33"),
        None,
        "lesser",
        "Massachusetts General Laws c. 142A §2(a), read in 2026: a third of the price, or the actual cost of "
        "special-order goods if that is more; check local law",
        parts=3,
        read_on=READ_ON,
        with_special_orders=True,
    ),
    DepositCap(
        "ca-on",
        "Ontario, advice of the ministry",
        Decimal(10),
        None,
        "lesser",
        "Ontario ministry advice to consumers, from a copy read in 2026; check local law",
        read_on=READ_ON,
    ),
)
