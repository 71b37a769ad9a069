"""What a new price file would change: new, dearer, cheaper, changed otherwise, gone."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from decimal import Decimal

from app.pricing.records import PriceItem


@dataclass(frozen=True, slots=True)
class PriceMove:
    """One item before and after.

    Attributes
    ----------
    old, new : PriceItem
    change_pct : Decimal
        Of the price of one unit, to the tenth; negative: cheaper. [%]
    differs : tuple of str
        What else differs, in words: ``lead 5 days, was 3``.
    """

    old: PriceItem
    new: PriceItem
    change_pct: Decimal
    differs: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class PriceChanges:
    """Everything a price file would change.

    Attributes
    ----------
    new : tuple of PriceItem
        Not in the list yet.
    dearer, cheaper : tuple of PriceMove
        By the price of one unit, the greatest move first.
    otherwise : tuple of PriceMove
        Same price of a unit; pack, name, supplier, lead, day or mass differ.
    gone : tuple of PriceItem
        In the list and not in the file.
    same : int
        How many do not change at all.
    """

    new: tuple[PriceItem, ...]
    dearer: tuple[PriceMove, ...]
    cheaper: tuple[PriceMove, ...]
    otherwise: tuple[PriceMove, ...]
    gone: tuple[PriceItem, ...]
    same: int


def price_changes(old: Sequence[PriceItem], new: Sequence[PriceItem]) -> PriceChanges:
    """Say what a price file would change.

    Parameters
    ----------
    old : sequence of PriceItem
        The list as it stands, one price for each item.
    new : sequence of PriceItem
        The file; of several prices of one item the one from the latest day counts.

    Returns
    -------
    changes : PriceChanges
        Each item of either in exactly one of its groups.

    References
    ----------
    Definition.
    """
    held = {item.item: item for item in old}
    coming: dict[str, PriceItem] = {}
    for item in sorted(new, key=lambda item: item.priced_on):
        coming[item.item] = item
    moves = [
        PriceMove(held[code], item, _move(held[code], item), _differs(held[code], item))
        for code, item in coming.items()
        if code in held
    ]
    changed = [move for move in moves if move.old != move.new]
    return PriceChanges(
        new=tuple(item for code, item in coming.items() if code not in held),
        dearer=_by_size(move for move in changed if _unit(move.new) > _unit(move.old)),
        cheaper=_by_size(move for move in changed if _unit(move.new) < _unit(move.old)),
        otherwise=tuple(move for move in changed if _unit(move.new) == _unit(move.old)),
        gone=tuple(item for code, item in held.items() if code not in coming),
        same=len(moves) - len(changed),
    )


def _differs(old: PriceItem, new: PriceItem) -> tuple[str, ...]:
    """Say what differs beside the price of a unit."""
    pairs = (
        ("name", old.name, new.name, ""),
        ("supplier", old.supplier, new.supplier, ""),
        ("unit", old.unit, new.unit, ""),
        ("pack", f"{old.pack:f}", f"{new.pack:f}", ""),
        ("lead", old.lead_days, new.lead_days, " days"),
        ("mass", old.mass_kg, new.mass_kg, " kg"),
        ("length", old.length_mm, new.length_mm, " mm"),
        ("spares", f"{old.spares_pct:f}", f"{new.spares_pct:f}", " %"),
        ("tax code", old.tax_code, new.tax_code, ""),
        ("price from", old.priced_on, new.priced_on, ""),
    )
    return tuple(
        f"{name} {_or_none(now)}{unit}, was {_or_none(was)}" for name, was, now, unit in pairs if was != now
    )


def _or_none(value: object) -> str:
    """Give a value as text, a dash where there is none."""
    return "–" if value is None or value == "" else str(value)


def _by_size(moves: Iterable[PriceMove]) -> tuple[PriceMove, ...]:
    """Put the greatest move first."""
    return tuple(sorted(moves, key=lambda move: (-abs(move.change_pct), move.new.item)))


def _unit(item: PriceItem) -> Decimal:
    """Give the price of one unit."""
    return item.pack_price / item.pack


def _move(old: PriceItem, new: PriceItem) -> Decimal:
    """Give the change of the price of a unit in per cent; 100 from nothing."""
    before, after = _unit(old), _unit(new)
    if not before:
        return Decimal(100) if after else Decimal(0)
    return ((after - before) * 100 / before).quantize(Decimal("0.1"))
