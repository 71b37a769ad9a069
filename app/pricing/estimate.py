"""The room's entry: a takeoff and a price book make an estimate."""

from collections.abc import Sequence
from datetime import date
from decimal import Decimal

from app.job.findings import GRADES, Assumption, Finding
from app.pricing.build_up import BuildUp, DirectCost, build_up
from app.pricing.by_hand import amounts_by_hand, by_hand_findings, lines_by_hand
from app.pricing.conditions import PlaceFacts
from app.pricing.drafts import draft_lines, gap_findings, measured_by_basis
from app.pricing.job_pricing import NOTHING_SET, JobPricing
from app.pricing.labour import delay_factor, labour_rate
from app.pricing.lines import item_findings, price_lines
from app.pricing.money import share_out, to_cents
from app.pricing.price_book import age_findings, items_by_code
from app.pricing.records import KINDS, PHASES, Estimate, EstimateLine, PhasePrice, PriceBook, PriceRules
from app.pricing.taxes import cost_by_rate, tax_by_line, tax_findings, taxed_kinds, with_tax
from app.takeoff.chain import Takeoff
from app.takeoff.totals.records import Quantity


def estimate(
    takeoff: Takeoff,
    prices: PriceBook,
    today: date,
    facts: Sequence[PlaceFacts] = (),
    pricing: JobPricing = NOTHING_SET,
) -> Estimate:
    """Price a takeoff.

    Parameters
    ----------
    takeoff : Takeoff
        What was measured.
    prices : PriceBook
        The shop's prices, assemblies and rules, as they stood on one day.
    today : date
        Decides which prices are stale.
    facts : sequence of PlaceFacts
        What the conditions of assemblies are held against.
    pricing : JobPricing
        What the office set by hand.

    Returns
    -------
    estimate : Estimate
        The same for the same inputs.

    References
    ----------
    Definition; see `build_up` and `price_lines`.
    """
    return estimate_quantities(takeoff.totals.quantities, prices, today, facts, pricing)


def estimate_quantities(
    quantities: Sequence[Quantity],
    prices: PriceBook,
    today: date,
    facts: Sequence[PlaceFacts] = (),
    pricing: JobPricing = NOTHING_SET,
) -> Estimate:
    """Price a list of quantities.

    Parameters
    ----------
    quantities : sequence of Quantity
        What was measured.
    prices : PriceBook
        The shop's prices, assemblies and rules, as they stood on one day.
    today : date
        Decides which prices are stale.
    facts : sequence of PlaceFacts
        What the conditions of assemblies are held against.
    pricing : JobPricing
        What the office set by hand.

    Returns
    -------
    estimate : Estimate
        Lines by phase; direct cost is the sum of the lines and the tax paid on buying; the phases'
        costs sum to the direct cost and their prices to the price before contract tax.

    References
    ----------
    Definition; see `build_up` and `price_lines`.
    """
    rules = prices.rules
    items = items_by_code(prices)
    measured = measured_by_basis(quantities)
    drafts = draft_lines(measured, prices.assemblies, facts)
    reckoned = price_lines(drafts, items, rules)
    by_amount = price_lines(amounts_by_hand(drafts, pricing.overrides), items, rules)
    by_hand = lines_by_hand(reckoned, by_amount, pricing)
    lines = _by_phase(with_tax(by_hand, items, rules, pricing.overrides))
    by_kind = {kind: _sum_of_kind(lines, kind) for kind in DirectCost.__dataclass_fields__}
    steps = build_up(DirectCost(**by_kind), rules, cost_by_rate(lines))
    used = {line.item: items[line.item] for line in lines if line.item}
    findings = (
        *item_findings(drafts, items),
        *gap_findings(measured, prices.assemblies, facts),
        *by_hand_findings(lines, pricing, today),
        *age_findings(used.values(), rules.stale_after_days, today),
        *tax_findings(used.values(), rules),
        *_empty_findings(lines),
    )
    return Estimate(
        currency=rules.currency,
        lines=lines,
        phases=_phases(lines, steps),
        **by_kind,
        purchase_tax=steps.purchase_tax,
        direct=steps.direct,
        contingency=steps.contingency,
        cost=steps.cost,
        overhead=steps.overhead,
        profit=steps.profit,
        price=steps.price,
        contract_tax=steps.contract_tax,
        total=steps.total,
        markup_pct=steps.markup_pct,
        margin_pct=steps.margin_pct,
        hours_h=_hours_h(lines),
        findings=tuple(sorted(findings, key=lambda finding: GRADES.index(finding.grade))),
        assumptions=_assumptions(rules),
        taxes=steps.taxes,
        tax_shown=rules.tax_shown,
    )


def _by_phase(lines: Sequence[EstimateLine]) -> tuple[EstimateLine, ...]:
    """Put lines in the order of the phases; within one they stay as they are."""
    return tuple(sorted(lines, key=lambda line: PHASES.index(line.phase)))


def _sum_of_kind(lines: Sequence[EstimateLine], kind: str) -> Decimal:
    """Add up the cost of one kind."""
    return sum((line.cost for line in lines if line.kind == kind), Decimal("0.00"))


def _hours_h(lines: Sequence[EstimateLine]) -> float:
    """Add up labour hours, exactly: a labour line's amount is its hours."""
    return float(sum((line.with_waste for line in lines if line.kind == "labour"), Decimal(0)))


def _phases(lines: Sequence[EstimateLine], steps: BuildUp) -> tuple[PhasePrice, ...]:
    """Give each phase its cost, tax on buying in, and its share of the price, both summing exactly."""
    phases = [phase for phase in PHASES if any(line.phase == phase for line in lines)]
    if not phases:
        return ()
    of_phase = {phase: [line for line in lines if line.phase == phase] for phase in phases}
    by_line = tax_by_line(lines, steps.purchase_tax)
    taxes = [sum((by_line[line.id] for line in of_phase[phase]), Decimal("0.00")) for phase in phases]
    plain = [sum((line.cost for line in of_phase[phase]), Decimal("0.00")) for phase in phases]
    costs = [cost + tax for cost, tax in zip(plain, taxes, strict=True)]
    shares = share_out(steps.price, costs)
    return tuple(
        PhasePrice(
            phase=phase,
            cost=cost,
            price=price,
            hours_h=_hours_h(of_phase[phase]),
        )
        for phase, cost, price in zip(phases, costs, shares, strict=True)
    )


def _empty_findings(lines: Sequence[EstimateLine]) -> tuple[Finding, ...]:
    """Say that there is nothing to price."""
    if lines:
        return ()
    text = "Nothing was measured that an assembly prices, so the estimate is empty."
    return (
        Finding(code="pricing.nothing-to-price", grade="stop", place="job", text=text, source="Definition"),
    )


def _assumptions(rules: PriceRules) -> tuple[Assumption, ...]:
    """Say what the price takes as given."""
    on = "everything" if taxed_kinds(rules) == KINDS else ", ".join(taxed_kinds(rules))
    codes = "".join(
        f" {one.code}: {one.rate_pct} % {one.text}.".replace(" .", ".") for one in rules.tax_codes
    )
    tax = {
        "materials": f"The firm pays {rules.tax_pct} % tax on buying ({on}); none is added to the price.",
        "contract": f"{rules.tax_pct} % tax is added to the price, on {on}.",
        "none": "No tax is counted.",
    }[rules.tax_on] + (codes if rules.tax_on != "none" else "")
    shop = "the shop's rules; check local law"
    return (
        Assumption("pricing.tax", tax, shop),
        Assumption(
            "pricing.shares",
            f"Overhead {rules.overhead_pct} % and profit {rules.profit_pct} % are shares of the price; "
            f"contingency is {rules.contingency_pct} % of direct cost.",
            "the shop's rules",
        ),
        Assumption(
            "pricing.labour",
            f"An hour costs {to_cents(labour_rate(rules))} {rules.currency}, burden in. Hours are those on "
            f"the ground times {rules.access_factor} for the way up and "
            f"{delay_factor(rules.efficiency):.3g} for how well work goes here; carrying is as measured.",
            "the shop's rules",
        ),
        Assumption(
            "pricing.packs",
            "Each item is rounded up to whole packs once over the job, and its packs are shared among its "
            "lines by largest remainder. Stock lengths get no waste: cutting has counted it.",
            "common practice, no source",
        ),
    )
