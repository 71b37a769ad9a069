"""Whole packs, rounded once over the job and then given back to the lines."""

from collections.abc import Sequence
from decimal import ROUND_CEILING, Decimal

from app.pricing.money import share_out
from app.pricing.records import PriceItem


def packs_needed(need: Decimal, pack: Decimal) -> Decimal:
    """Give the whole packs that hold a need.

    Parameters
    ----------
    need : Decimal
        In the item's unit, waste in.
    pack : Decimal
        Units in one pack.

    Returns
    -------
    packs : Decimal
        Whole.

    Examples
    --------
    >>> packs_needed(Decimal("351"), Decimal(350))
    Decimal('2')

    References
    ----------
    Definition: what is sold by the pack is bought by the whole pack.
    """
    return (need / pack).to_integral_value(rounding=ROUND_CEILING)


def packs_by_line(needs: Sequence[tuple[str, Decimal]], items: dict[str, PriceItem]) -> tuple[Decimal, ...]:
    """Round each item up to whole packs over the job, and share its packs among its lines.

    Parameters
    ----------
    needs : sequence of (str, Decimal)
        Item and amount with waste, one for each line.
    items : dict of str to PriceItem
        Every item named in `needs`.

    Returns
    -------
    packs : tuple of Decimal
        Whole packs of each line, by largest remainder; over the lines of an item they sum to its packs.

    Notes
    -----
    A line may carry no pack of its own: it then uses what is left in another line's.

    References
    ----------
    Definition of the largest-remainder method; rounding once over the job is common practice, no source.
    """
    lines_of: dict[str, list[int]] = {}
    for index, (item, _) in enumerate(needs):
        lines_of.setdefault(item, []).append(index)
    packs = [Decimal(0)] * len(needs)
    for item, indexes in lines_of.items():
        wanted = [needs[index][1] for index in indexes]
        whole = packs_needed(sum(wanted, Decimal(0)), items[item].pack)
        for index, share in zip(indexes, share_out(whole, wanted, Decimal(1)), strict=True):
            packs[index] = share
    return tuple(packs)
