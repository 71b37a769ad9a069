"""Looking things up in the price book."""

from collections.abc import Iterable, Mapping
from dataclasses import replace
from datetime import date
from decimal import Decimal

from app.job.findings import Finding
from app.pricing.records import Assembly, PriceBook, PriceItem

# More items than these are told by their suppliers.
MOST_NAMED = 6


def stock_prices(prices: PriceBook) -> dict[str, Decimal]:
    """Give the price of one piece of everything sold by the piece, for cutting at least cost.

    Parameters
    ----------
    prices : PriceBook
        The shop's prices.

    Returns
    -------
    prices : dict of str to Decimal
        Price of one unit by item, before tax; items sold by length, area, volume or mass are left out.

    References
    ----------
    Definition.
    """
    return {item.item: item.pack_price / item.pack for item in prices.items if item.unit == "each"}


def book_for(prices: PriceBook, document: object) -> PriceBook:
    """Give the part of a price book that one job can use.

    Parameters
    ----------
    prices : PriceBook
        The shop's whole list.
    document : object
        The job file: an item can come from there or from an assembly, and from nowhere else.

    Returns
    -------
    prices : PriceBook
        The same, with the items that the job file or an assembly names.

    References
    ----------
    Definition.
    """
    named = codes_in(document, prices.assemblies)
    return replace(prices, items=tuple(item for item in prices.items if item.item in named))


def codes_in(document: object, assemblies: Iterable[Assembly]) -> frozenset[str]:
    """Give every text that could be the code of an item.

    Parameters
    ----------
    document : object
        A job file as read from JSON.
    assemblies : iterable of Assembly
        The shop's.

    Returns
    -------
    codes : frozenset of str
        Every text in the job file, and every item of an assembly.

    References
    ----------
    Definition.
    """
    found = {part.item for assembly in assemblies for part in assembly.parts if part.item}
    waiting = [document]
    while waiting:
        value = waiting.pop()
        if isinstance(value, str):
            found.add(value)
        elif isinstance(value, Mapping):
            waiting.extend(value.values())
        elif isinstance(value, list | tuple):
            waiting.extend(value)
    return frozenset(found)


def items_by_code(prices: PriceBook) -> dict[str, PriceItem]:
    """Give the items by their codes.

    Parameters
    ----------
    prices : PriceBook
        The shop's prices.

    Returns
    -------
    items : dict of str to PriceItem
        One for each code.

    Raises
    ------
    ValueError
        If two items share a code: a price book holds one price for one day.

    References
    ----------
    Definition.
    """
    found: dict[str, PriceItem] = {}
    for item in prices.items:
        if item.item in found:
            raise ValueError(f"The price book holds two prices for {item.item}.")
        found[item.item] = item
    return found


def age_findings(used: Iterable[PriceItem], stale_after_days: int, today: date) -> tuple[Finding, ...]:
    """Say which of the prices used are stale, and which do not hold yet.

    Parameters
    ----------
    used : iterable of PriceItem
        Items that stand in the estimate.
    stale_after_days : int
        Age from which a price is called stale. [days]
    today : date
        The day the question is asked.

    Returns
    -------
    findings : tuple of Finding
        At most one note for stale prices and one check for prices of the future.

    References
    ----------
    Common practice, no source: suppliers hold a price for some weeks, the shop says how many.
    """
    items = sorted(used, key=lambda item: (item.priced_on, item.item))
    stale = [item for item in items if (today - item.priced_on).days > stale_after_days]
    early = [item for item in items if item.priced_on > today]
    findings = []
    if stale:
        oldest_days = (today - stale[0].priced_on).days
        findings.append(
            Finding(
                code="pricing.stale-price",
                grade="note",
                place="job",
                text=(
                    f"{_count(len(stale), 'price is', 'prices are')} older than {stale_after_days} days; "
                    f"ask again before offering: {_listed(stale)}."
                ),
                value=float(oldest_days),
                limit=float(stale_after_days),
                unit="days",
                source="the shop's rule",
            )
        )
    if early:
        findings.append(
            Finding(
                code="pricing.future-price",
                grade="check",
                place="job",
                text=(
                    f"{_count(len(early), 'price holds', 'prices hold')} only from a later day than "
                    f"{today.isoformat()}: {_listed(early)}."
                ),
                source="the price list",
            )
        )
    return tuple(findings)


def _count(number: int, one: str, many: str) -> str:
    """Say how many, with the words that fit."""
    return f"{number} {one if number == 1 else many}"


def _listed(items: list[PriceItem]) -> str:
    """Name the items with their dates; where they are many, whom to ask instead."""
    if len(items) > MOST_NAMED:
        by_supplier: dict[str, list[PriceItem]] = {}
        for item in items:
            by_supplier.setdefault(item.supplier or "no supplier named", []).append(item)
        return "; ".join(
            f"{supplier}, {len(of_one)} of them, oldest {of_one[0].item} ({of_one[0].priced_on.isoformat()})"
            for supplier, of_one in by_supplier.items()
        )
    return ", ".join(f"{item.item} ({item.priced_on.isoformat()})" for item in items)
