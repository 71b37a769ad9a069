"""Figures set by hand, put in place of those reckoned: each with its reason, each can be taken back."""

from collections.abc import Sequence
from dataclasses import replace
from datetime import date
from decimal import Decimal

from app.job.findings import Finding
from app.pricing.drafts import Draft
from app.pricing.job_pricing import AddedLine, JobPricing, Override
from app.pricing.money import to_cents
from app.pricing.records import EstimateLine


def amounts_by_hand(drafts: Sequence[Draft], overrides: Sequence[Override]) -> tuple[Draft, ...]:
    """Give the drafts with the net amounts that were set by hand, before packs are rounded.

    Parameters
    ----------
    drafts : sequence of Draft
        As measured.
    overrides : sequence of Override
        Those of amounts count here.

    Returns
    -------
    drafts : tuple of Draft
        In the same order.

    References
    ----------
    Definition.
    """
    wanted = {one.line: one.value for one in overrides if one.field == "amount"}
    return tuple(
        replace(draft, amount=wanted[draft.id] / draft.part.rate) if draft.id in wanted else draft
        for draft in drafts
    )


def lines_by_hand(
    reckoned: Sequence[EstimateLine], lines: Sequence[EstimateLine], pricing: JobPricing
) -> tuple[EstimateLine, ...]:
    """Give the lines with what was set by hand, and the sums that no assembly brings.

    Parameters
    ----------
    reckoned : sequence of EstimateLine
        Without anything set by hand; says what a cost was.
    lines : sequence of EstimateLine
        With the amounts set by hand.
    pricing : JobPricing
        What was set.

    Returns
    -------
    lines : tuple of EstimateLine
        Added sums stand after the lines of their phase's assemblies.

    References
    ----------
    Definition.
    """
    was = {line.id: line.cost for line in reckoned}
    by_line: dict[str, list[Override]] = {}
    for override in pricing.overrides:
        by_line.setdefault(override.line, []).append(override)
    changed = [_changed(line, by_line.get(line.id, []), was.get(line.id)) for line in lines]
    return (*changed, *(_added(line) for line in pricing.added))


def by_hand_findings(lines: Sequence[EstimateLine], pricing: JobPricing, today: date) -> tuple[Finding, ...]:
    """Say what was set by hand, what of it hangs in the air, and which quote has run out.

    Parameters
    ----------
    lines : sequence of EstimateLine
        Of the estimate.
    pricing : JobPricing
        What was set by hand.
    today : date
        Decides which quote has run out.

    Returns
    -------
    findings : tuple of Finding
        A note with the count, a check for each override without a line and each quote run out.

    References
    ----------
    Definition.
    """
    known = {line.id for line in lines}
    lost = [one for one in pricing.overrides if one.line not in known]
    set_by_hand = [line for line in lines if line.was is not None]
    found = [
        _finding(
            "pricing.override-without-line",
            f"{one.line} was set by hand ({one.reason}), but the job has "
            "no such line any more. Take it back, or set it on the line that took its place.",
        )
        for one in lost
    ]
    found += [
        _finding(
            "pricing.quote-run-out", f"The quote for {one.text} held until {one.valid_until_on}. Ask again."
        )
        for one in pricing.added
        if one.valid_until_on is not None and one.valid_until_on < today
    ]
    if set_by_hand:
        moved = sum((line.cost - (line.was or Decimal(0)) for line in set_by_hand), Decimal(0))
        many = "1 line is" if len(set_by_hand) == 1 else f"{len(set_by_hand)} lines are"
        text = f"{many} set by hand, and the direct cost moves by {moved:+}."
        found.append(Finding("pricing.set-by-hand", "note", "job", text, source="the office"))
    return tuple(found)


def _changed(line: EstimateLine, overrides: Sequence[Override], was: Decimal | None) -> EstimateLine:
    """Give one line with what was set on it; the cost of the whole line is set last."""
    for override in sorted(overrides, key=lambda one: one.field == "cost"):
        line = _with(line, override)
    if not overrides:
        return line
    reasons = "; ".join(f"{one.field.replace('_', ' ')}: {one.reason}" for one in overrides)
    return replace(line, was=Decimal("0.00") if was is None else was, reason=reasons)


def _with(line: EstimateLine, override: Override) -> EstimateLine:
    """Give one line with one figure set."""
    value = override.value
    if override.field == "cost":
        return replace(line, cost=to_cents(value))
    if override.field == "hours" and line.kind == "labour":
        return replace(line, with_waste=value, hours_h=float(value), cost=to_cents(value * line.unit_price))
    if override.field == "unit_price":
        bought = line.packs if line.kind == "material" else line.with_waste
        return replace(line, unit_price=value, cost=to_cents(bought * value))
    return line


def _added(line: AddedLine) -> EstimateLine:
    """Give a sum that no assembly brings as a line."""
    return EstimateLine(
        id=f"{line.phase}/added/{line.code}",
        phase=line.phase,
        kind=line.kind,
        text=line.text,
        assembly="added",
        basis="",
        item="",
        net=Decimal(1),
        with_waste=Decimal(1),
        packs=Decimal(0),
        unit="each",
        unit_price=line.amount,
        cost=to_cents(line.amount),
        hours_h=0.0,
        priced_on=None,
        reason=line.reason,
    )


def _finding(code: str, text: str) -> Finding:
    """Give a check about the whole job."""
    return Finding(code, "check", "job", text, source="the office")
