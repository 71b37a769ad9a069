"""Tax by line: at which rate each line is taxed, and what that comes to on buying or on the price."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from decimal import Decimal

from app.job.findings import Finding
from app.pricing.job_pricing import Override
from app.pricing.money import share_out, to_cents
from app.pricing.records import KINDS, EstimateLine, Kind, PriceItem, PriceRules
from app.pricing.rule_parts import TaxShare

NONE = Decimal(0)


def taxed_kinds(rules: PriceRules) -> tuple[Kind, ...]:
    """Give the kinds of line that tax falls on.

    Parameters
    ----------
    rules : PriceRules
        The shop's.

    Returns
    -------
    kinds : tuple of str
        As the shop says; where it says nothing: material when the firm pays tax on buying, all of them
        when tax is added to the price.

    References
    ----------
    Definition. Which kinds are taxed differs from state to state: check local law.
    """
    if rules.tax_on == "none":
        return ()
    if rules.taxed:
        return rules.taxed
    return ("material",) if rules.tax_on == "materials" else KINDS


def rate_of(kind: Kind, code: str, rules: PriceRules) -> Decimal:
    """Give the rate at which a kind of line is taxed.

    Parameters
    ----------
    kind : str
        As in `AssemblyPart`.
    code : str
        Tax code of the thing bought; empty, or one the shop does not know: the usual rate.
    rules : PriceRules
        The shop's.

    Returns
    -------
    rate_pct : Decimal
        Zero for a kind that is not taxed. [%]

    References
    ----------
    Definition.
    """
    if kind not in taxed_kinds(rules):
        return NONE
    return next((known.rate_pct for known in rules.tax_codes if code and known.code == code), rules.tax_pct)


def with_tax(
    lines: Iterable[EstimateLine],
    items: Mapping[str, PriceItem],
    rules: PriceRules,
    overrides: Sequence[Override] = (),
) -> tuple[EstimateLine, ...]:
    """Give every line the rate at which it is taxed.

    Parameters
    ----------
    lines : iterable of EstimateLine
        With their costs.
    items : mapping of str to PriceItem
        The price list by code, for the tax codes.
    rules : PriceRules
        The shop's.
    overrides : sequence of Override
        Those of ``tax_pct`` count here.

    Returns
    -------
    lines : tuple of EstimateLine
        In the same order.

    References
    ----------
    Definition.
    """
    by_hand = {one.line: one.value for one in overrides if one.field == "tax_pct"}
    codes = {item.item: item.tax_code for item in items.values()}
    rates: dict[tuple[Kind, str], Decimal] = {}
    taxed = []
    for line in lines:
        kind = (line.kind, codes.get(line.item, ""))
        if kind not in rates:
            rates[kind] = rate_of(*kind, rules)
        taxed.append(replace(line, tax_pct=by_hand.get(line.id, rates[kind])))
    return tuple(taxed)


def cost_by_rate(lines: Iterable[EstimateLine]) -> dict[Decimal, Decimal]:
    """Add up cost by the rate at which it is taxed.

    Parameters
    ----------
    lines : iterable of EstimateLine
        With their rates.

    Returns
    -------
    costs : dict of Decimal to Decimal
        By rate, in rising order; what is not taxed stands under zero.

    References
    ----------
    Definition.
    """
    costs: dict[Decimal, Decimal] = {}
    for line in lines:
        costs[line.tax_pct] = costs.get(line.tax_pct, Decimal("0.00")) + line.cost
    return dict(sorted(costs.items()))


def tax_on_buying(costs: Mapping[Decimal, Decimal]) -> tuple[TaxShare, ...]:
    """Give the tax that the firm pays when it buys.

    Parameters
    ----------
    costs : mapping of Decimal to Decimal
        Cost by rate.

    Returns
    -------
    shares : tuple of TaxShare
        One for each rate that is not zero, its tax to the cent.

    References
    ----------
    Definition: lump-sum contract, the firm is the consumer and pays on what it buys. Check local law.
    """
    return tuple(
        TaxShare(rate, cost, to_cents(cost * rate / 100)) for rate, cost in costs.items() if rate and cost
    )


def tax_on_price(price: Decimal, costs: Mapping[Decimal, Decimal]) -> tuple[TaxShare, ...]:
    """Give the tax that is added to the price.

    Parameters
    ----------
    price : Decimal
        Before tax, to the cent.
    costs : mapping of Decimal to Decimal
        Cost by rate; the price is shared among the rates as cost is.

    Returns
    -------
    shares : tuple of TaxShare
        One for each rate that is not zero, its tax to the cent.

    Notes
    -----
    With one rate for everything the base is the whole price. Where material alone is taxed, the base is
    its share of the price, overhead and profit in.

    References
    ----------
    Definition: separated contract, the firm charges tax on what it sells. Check local law.
    """
    if not costs:
        return ()
    bases = share_out(price, list(costs.values()))
    return tuple(
        TaxShare(rate, base, to_cents(base * rate / 100))
        for rate, base in zip(costs, bases, strict=True)
        if rate and base
    )


def tax_by_line(lines: Sequence[EstimateLine], tax: Decimal) -> dict[str, Decimal]:
    """Give each line its part of a tax.

    Parameters
    ----------
    lines : sequence of EstimateLine
        Of the estimate.
    tax : Decimal
        All of it, paid on buying or added to the price.

    Returns
    -------
    taxes : dict of str to Decimal
        By line, weighed by cost and rate; they sum to the tax.

    References
    ----------
    Definition of the largest-remainder method.
    """
    if not lines:
        return {}
    weights = [line.cost * line.tax_pct for line in lines]
    taxes = share_out(tax, weights)
    return {line.id: part for line, part in zip(lines, taxes, strict=True)}


def tax_findings(items: Iterable[PriceItem], rules: PriceRules) -> tuple[Finding, ...]:
    """Say which items bear a tax code that the shop does not know.

    Parameters
    ----------
    items : iterable of PriceItem
        Those that stand in the estimate.
    rules : PriceRules
        The shop's.

    Returns
    -------
    findings : tuple of Finding
        One check for each code; its items are taxed at the usual rate.

    References
    ----------
    Definition.
    """
    known = {code.code for code in rules.tax_codes}
    lost: dict[str, list[str]] = {}
    if rules.tax_on != "none":
        for item in items:
            if item.tax_code and item.tax_code not in known:
                lost.setdefault(item.tax_code, []).append(item.item)
    return tuple(
        Finding(
            code="pricing.tax-code-unknown",
            grade="check",
            place="job",
            text=(
                f"{', '.join(sorted(named))}: the price list gives the tax code {code}, which the shop's "
                f"rules do not know. {rules.tax_pct} % was taken; add the code with its rate to the rules."
            ),
            source="the shop's rules",
        )
        for code, named in sorted(lost.items())
    )


def tax_within(
    taxes: Sequence[TaxShare], total: Decimal, before: Decimal, amount: Decimal
) -> tuple[TaxShare, ...]:
    """Give the tax that is in one payment of a price with tax.

    Parameters
    ----------
    taxes : sequence of TaxShare
        What is in the whole price, by rate.
    total : Decimal
        The whole price, with tax.
    before : Decimal
        What was asked for before this payment, with tax.
    amount : Decimal
        This payment, with tax.

    Returns
    -------
    shares : tuple of TaxShare
        By rate, in proportion to the whole, to the cent; over all payments they add up to the whole.

    Examples
    --------
    >>> whole = (TaxShare(Decimal(20), Decimal("100.00"), Decimal("20.00")),)
    >>> [tax_within(whole, Decimal(120), Decimal(n) * 40, Decimal(40))[0].tax for n in range(3)]
    [Decimal('6.67'), Decimal('6.66'), Decimal('6.67')]

    References
    ----------
    Definition: what is in all payments so far, less what was in those before. Check local law.
    """
    if not total:
        return ()

    def part(whole: Decimal) -> Decimal:
        return to_cents(whole * (before + amount) / total) - to_cents(whole * before / total)

    return tuple(TaxShare(share.rate_pct, part(share.base), part(share.tax)) for share in taxes)
