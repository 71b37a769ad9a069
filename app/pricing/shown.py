"""Prices as a client is shown them: with tax on the contract apart from them or in them, to the cent."""

from decimal import Decimal

from app.pricing.money import share_out
from app.pricing.records import Estimate, Phase
from app.pricing.taxes import tax_by_line


def has_tax_inside(estimate: Estimate) -> bool:
    """Tell whether the prices a client is shown have tax in them.

    Parameters
    ----------
    estimate : Estimate
        With the shop's way of showing tax.

    Returns
    -------
    has_tax_inside : bool
        False where no tax is added to the price, since then there is none to be shown in it.

    References
    ----------
    Definition. Where consumers must see prices with tax: Directive 2011/83/EU art. 6(1)(e), SI 2013/3134
    Sch. 2; check local law.
    """
    return estimate.tax_shown == "inside" and bool(estimate.contract_tax)


def shown_total(estimate: Estimate) -> Decimal:
    """Give what the rows that a client is shown add up to.

    Parameters
    ----------
    estimate : Estimate
        Priced.

    Returns
    -------
    total : Decimal
        With tax where prices have it in them, else before tax.

    References
    ----------
    Definition.
    """
    return estimate.total if has_tax_inside(estimate) else estimate.price


def shown_phases(estimate: Estimate) -> tuple[tuple[Phase, Decimal], ...]:
    """Give the price of each phase as a client is shown it.

    Parameters
    ----------
    estimate : Estimate
        Priced.

    Returns
    -------
    phases : tuple of (str, Decimal)
        They add up to `shown_total`.

    References
    ----------
    Definition.
    """
    taxes = _tax_inside(estimate)
    return tuple(
        (
            phase.phase,
            phase.price
            + sum((taxes[line.id] for line in estimate.lines if line.phase == phase.phase), Decimal("0.00")),
        )
        for phase in estimate.phases
    )


def shown_lines(estimate: Estimate) -> tuple[tuple[str, Decimal], ...]:
    """Give every line's share of the price as a client is shown it; its cost stays behind.

    Parameters
    ----------
    estimate : Estimate
        Priced.

    Returns
    -------
    lines : tuple of (str, Decimal)
        What costs nothing is left out; the rest adds up to `shown_total`.

    References
    ----------
    Definition of the largest-remainder method.
    """
    if not estimate.lines:
        return ()
    taxes = _tax_inside(estimate)
    shares = share_out(estimate.price, [line.cost for line in estimate.lines])
    shown = ((line.text, share + taxes[line.id]) for line, share in zip(estimate.lines, shares, strict=True))
    return tuple((text, amount) for text, amount in shown if amount)


def _tax_inside(estimate: Estimate) -> dict[str, Decimal]:
    """Give each line its part of the tax that stands in the prices shown; nothing where it stands apart."""
    inside = estimate.contract_tax if has_tax_inside(estimate) else Decimal("0.00")
    return tax_by_line(estimate.lines, inside)
