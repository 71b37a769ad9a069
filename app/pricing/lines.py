"""From drafts to lines: waste, packs, hours and money."""

from collections.abc import Sequence
from decimal import Decimal

from app.job.findings import Finding, Grade
from app.pricing.drafts import Draft
from app.pricing.labour import delay_factor, labour_rate
from app.pricing.money import to_cents
from app.pricing.packs import packs_by_line
from app.pricing.records import EstimateLine, PriceItem, PriceRules

# Cutting counts its own waste, and carrying is measured on the way up itself.
BASES_WITHOUT_WASTE = "stock."
BASES_WITHOUT_ACCESS = "carry."


def price_lines(
    drafts: Sequence[Draft], items: dict[str, PriceItem], rules: PriceRules
) -> tuple[EstimateLine, ...]:
    """Give every draft its packs or hours, and its cost.

    Parameters
    ----------
    drafts : sequence of Draft
        In the order of the lines; those of items without a price are left out.
    items : dict of str to PriceItem
        The price list by code.
    rules : PriceRules
        Wage, burden and access factor.

    Returns
    -------
    lines : tuple of EstimateLine
        Cost to the cent, half a cent up.

    Notes
    -----
    Material: net = rate × amount, then waste, then whole packs, rounded once for each item over the job;
    cost = packs × price of a pack. Labour: `net` is rate × amount in hours on the ground, `with_waste`
    the same times the access factor and the delay factor, cost = hours × (wage with burden). The rest:
    amount × rate.

    References
    ----------
    Common practice, no source: net, with waste and ordered are kept apart on each line.
    """
    priced = [draft for draft in drafts if draft.kind != "material" or draft.item in items]
    bought = [draft for draft in priced if draft.kind == "material"]
    packs = packs_by_line([(draft.item, _need_with_spares(draft, items)) for draft in bought], items)
    packs_of = {draft.id: count for draft, count in zip(bought, packs, strict=True)}
    return tuple(
        _material_line(draft, items[draft.item], packs_of[draft.id])
        if draft.kind == "material"
        else _labour_line(draft, rules)
        if draft.kind == "labour"
        else _money_line(draft)
        for draft in priced
    )


def need_with_waste(draft: Draft) -> Decimal:
    """Give what a material draft needs, waste in.

    Parameters
    ----------
    draft : Draft
        Of material.

    Returns
    -------
    need : Decimal
        In the unit of its item; stock lengths get no waste, since cutting has counted it.

    References
    ----------
    Definition.
    """
    net = draft.amount * draft.part.rate
    if draft.basis.startswith(BASES_WITHOUT_WASTE):
        return net
    return net * (1 + draft.part.waste_pct / 100)


def _need_with_spares(draft: Draft, items: dict[str, PriceItem]) -> Decimal:
    """Give what is bought: the need, and what stays with the client over it."""
    return need_with_waste(draft) * (1 + items[draft.item].spares_pct / 100)


def item_findings(drafts: Sequence[Draft], items: dict[str, PriceItem]) -> tuple[Finding, ...]:
    """Say which items have no price, are sold in another unit, or carry waste that cutting has counted.

    Parameters
    ----------
    drafts : sequence of Draft
        Of the whole job.
    items : dict of str to PriceItem
        The price list by code.

    Returns
    -------
    findings : tuple of Finding
        One for each item and fault.

    References
    ----------
    Definition.
    """
    found: dict[tuple[str, str], Finding] = {}
    for draft in drafts:
        if draft.kind != "material":
            continue
        for finding in _faults(draft, items.get(draft.item)):
            found.setdefault((finding.code, draft.item), finding)
    return tuple(found.values())


def _faults(draft: Draft, item: PriceItem | None) -> list[Finding]:
    """Give what is wrong with one material draft."""
    if item is None:
        need = need_with_waste(draft)
        return [
            _finding(
                "pricing.no-price",
                "stop",
                f"{draft.item} is needed ({need:f} for {draft.text}), but it is not in the price list. "
                "Add its price; until then the total is too low.",
            )
        ]
    faults = []
    is_named_by_basis = not draft.part.item
    if is_named_by_basis and draft.part.rate == 1 and item.unit != draft.unit:
        faults.append(
            _finding(
                "pricing.unit-mismatch",
                "stop",
                f"{draft.item} is measured in {draft.unit}, but the price list sells it by {item.unit}. Sell "
                f"it by {draft.unit}, or give the assembly {draft.assembly} a rate that converts.",
            )
        )
    if draft.part.waste_pct and draft.basis.startswith(BASES_WITHOUT_WASTE):
        faults.append(
            _finding(
                "pricing.waste-counted-twice",
                "note",
                f"The assembly {draft.assembly} adds {draft.part.waste_pct} % waste to {draft.item}; cutting "
                "has counted it already, so it was not added again.",
            )
        )
    return faults


def _finding(code: str, grade: Grade, text: str) -> Finding:
    """Give a finding about the whole job."""
    return Finding(code, grade, "job", text, source="the shop's price list and assemblies")


def _material_line(draft: Draft, item: PriceItem, packs: Decimal) -> EstimateLine:
    """Give the line of something bought."""
    return EstimateLine(
        id=draft.id,
        phase=draft.phase,
        kind="material",
        text=draft.text,
        assembly=draft.assembly,
        basis=draft.basis,
        item=draft.item,
        net=draft.amount * draft.part.rate,
        with_waste=need_with_waste(draft),
        packs=packs,
        unit=item.unit,
        unit_price=item.pack_price,
        cost=to_cents(packs * item.pack_price),
        hours_h=0.0,
        priced_on=item.priced_on,
    )


def _labour_line(draft: Draft, rules: PriceRules) -> EstimateLine:
    """Give the line of hours."""
    on_the_ground = draft.amount * draft.part.rate
    is_carried = draft.basis.startswith(BASES_WITHOUT_ACCESS)
    factor = Decimal(1) if is_carried else rules.access_factor * delay_factor(rules.efficiency)
    hours = on_the_ground * factor
    rate = labour_rate(rules)
    return EstimateLine(
        id=draft.id,
        phase=draft.phase,
        kind="labour",
        text=draft.text,
        assembly=draft.assembly,
        basis=draft.basis,
        item="",
        net=on_the_ground,
        with_waste=hours,
        packs=Decimal(0),
        unit="h",
        unit_price=rate,
        cost=to_cents(hours * rate),
        hours_h=float(hours),
        priced_on=None,
    )


def _money_line(draft: Draft) -> EstimateLine:
    """Give the line of equipment, a subcontract or an allowance."""
    return EstimateLine(
        id=draft.id,
        phase=draft.phase,
        kind=draft.kind,
        text=draft.text,
        assembly=draft.assembly,
        basis=draft.basis,
        item="",
        net=draft.amount,
        with_waste=draft.amount,
        packs=Decimal(0),
        unit=draft.unit,
        unit_price=draft.part.rate,
        cost=to_cents(draft.amount * draft.part.rate),
        hours_h=0.0,
        priced_on=None,
    )
