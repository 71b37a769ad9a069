"""From direct cost to what the client pays, step by step."""

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal

from app.pricing.money import rounded_to, to_cents
from app.pricing.records import KINDS, PriceRules
from app.pricing.rule_parts import ROUNDINGS, TaxShare
from app.pricing.taxes import rate_of, tax_on_buying, tax_on_price


@dataclass(frozen=True, slots=True)
class DirectCost:
    """Direct cost by kind, each to the cent, material before tax.

    Attributes
    ----------
    labour, material, equipment, subcontract, allowance : Decimal
    """

    labour: Decimal = Decimal(0)
    material: Decimal = Decimal(0)
    equipment: Decimal = Decimal(0)
    subcontract: Decimal = Decimal(0)
    allowance: Decimal = Decimal(0)


@dataclass(frozen=True, slots=True)
class BuildUp:
    """Every step between direct cost and the total.

    Attributes
    ----------
    purchase_tax, direct, contingency, cost, overhead, profit, price, contract_tax, total : Decimal
        As in `Estimate`; cost + overhead + profit is the price exactly.
    markup_pct, margin_pct : Decimal
        Price over cost; overhead and profit as share of price, to the hundredth. [%]
    taxes : tuple of TaxShare
        What is taxed at which rate.
    """

    purchase_tax: Decimal
    direct: Decimal
    contingency: Decimal
    cost: Decimal
    overhead: Decimal
    profit: Decimal
    price: Decimal
    contract_tax: Decimal
    total: Decimal
    markup_pct: Decimal
    margin_pct: Decimal
    taxes: tuple[TaxShare, ...] = ()


def build_up(
    direct_cost: DirectCost, rules: PriceRules, by_rate: Mapping[Decimal, Decimal] | None = None
) -> BuildUp:
    """Build the price up from direct cost.

    Parameters
    ----------
    direct_cost : DirectCost
        By kind.
    rules : PriceRules
        The shop's shares and taxes.
    by_rate : mapping of Decimal to Decimal or None
        The same cost by the rate at which it is taxed; None: by kind, at the shop's usual rate.

    Returns
    -------
    steps : BuildUp
        Each step to the cent.

    Raises
    ------
    ValueError
        If overhead and profit together leave nothing of the price for cost.

    Notes
    -----
    The price is rounded to what the shop says (a cent, a whole unit, 5, 10 or 50); the difference is
    profit. D = labour + material + tax on material bought + equipment + subcontract + allowance;
    K = D + contingency; overhead and profit are shares of the price, so price = K / (1 − oh − p).
    Adding the same shares to K as a markup would underprice. Profit is what the price leaves after
    cost and overhead, so that the three add up.

    Examples
    --------
    A cost of 70 with 20 % overhead and 10 % profit of sales sells at 100:

    >>> rules = PriceRules(
    ...     currency="USD",
    ...     wage=Decimal(32),
    ...     burden_pct=Decimal(43),
    ...     overhead_pct=Decimal(20),
    ...     profit_pct=Decimal(10),
    ...     contingency_pct=Decimal(0),
    ...     tax_pct=Decimal(0),
    ...     tax_on="none",
    ...     access_factor=Decimal(1),
    ...     validity_days=30,
    ...     deposit_pct=Decimal(10),
    ...     holdback_pct=Decimal(10),
    ...     stale_after_days=60,
    ... )
    >>> steps = build_up(DirectCost(material=Decimal(70)), rules)
    >>> steps.price, steps.markup_pct, steps.margin_pct
    (Decimal('100.00'), Decimal('42.86'), Decimal('30.00'))

    References
    ----------
    Definition of margin (share of price) and markup (share of cost).
    """
    share = (rules.overhead_pct + rules.profit_pct) / 100
    if share >= 1 or share < 0:
        raise ValueError(
            f"Overhead {rules.overhead_pct} % and profit {rules.profit_pct} % of sales together must lie "
            "between 0 and less than 100 %: the rest of the price pays the cost."
        )
    costs = _by_rate(direct_cost, rules) if by_rate is None else by_rate
    bought = tax_on_buying(costs) if rules.tax_on == "materials" else ()
    purchase_tax = sum((share.tax for share in bought), Decimal("0.00"))
    direct = to_cents(
        direct_cost.labour
        + direct_cost.material
        + purchase_tax
        + direct_cost.equipment
        + direct_cost.subcontract
        + direct_cost.allowance
    )
    contingency = to_cents(direct * rules.contingency_pct / 100)
    cost = direct + contingency
    price = rounded_to(cost / (1 - share), ROUNDINGS[rules.rounding])
    overhead = to_cents(price * rules.overhead_pct / 100)
    sold = tax_on_price(price, costs) if rules.tax_on == "contract" else ()
    contract_tax = sum((share.tax for share in sold), Decimal("0.00"))
    return BuildUp(
        purchase_tax=purchase_tax,
        direct=direct,
        contingency=contingency,
        cost=cost,
        overhead=overhead,
        profit=price - cost - overhead,
        price=price,
        contract_tax=contract_tax,
        total=price + contract_tax,
        markup_pct=to_cents((price - cost) * 100 / cost) if cost else Decimal("0.00"),
        margin_pct=to_cents((price - cost) * 100 / price) if price else Decimal("0.00"),
        taxes=bought or sold,
    )


def _by_rate(direct_cost: DirectCost, rules: PriceRules) -> dict[Decimal, Decimal]:
    """Add up cost by the usual rate and none."""
    costs: dict[Decimal, Decimal] = {}
    for kind in KINDS:
        rate = rate_of(kind, "", rules)
        costs[rate] = costs.get(rate, Decimal("0.00")) + getattr(direct_cost, kind)
    return costs
