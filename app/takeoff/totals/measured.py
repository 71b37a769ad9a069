"""Making a quantity: shares by place that sum to the amount, in the unit of its basis."""

import math
from collections.abc import Iterable
from typing import Literal

from app.takeoff.totals.bases import BASES
from app.takeoff.totals.formulas import FORMULAS
from app.takeoff.totals.records import PlaceAmount, Quantity

_BY_CODE = {basis.code: basis for basis in BASES}

Share = tuple[str, float]
Inputs = tuple[tuple[str, str], ...]

NOTHING = 1e-9  # below this an amount is rounding noise of the geometry


def quantity(
    basis: str, item: str, shares: Iterable[Share], why: str, inputs: Inputs = ()
) -> tuple[Quantity, ...]:
    """Give one quantity, or none when there is nothing of it.

    Parameters
    ----------
    basis : str
        What is measured.
    item : str
        What it is bought as; empty when it is not bought.
    shares : iterable of (str, float)
        Place and amount; a place may come more than once.
    why : str
        The formula with its numbers.
    inputs : tuple of (str, str)
        What went in beside the shares by place: name, and value with its unit.

    Returns
    -------
    quantities : tuple of Quantity
        One or none, so that results can be joined.

    Raises
    ------
    KeyError
        When the basis is not in the fixed list.

    Examples
    --------
    >>> quantity("deck.mitres", "", [("D1", 2.0), ("D2", 1.0), ("D1", 2.0)], "4 + 1")[0].places
    (PlaceAmount(place='D1', amount=4.0), PlaceAmount(place='D2', amount=1.0))

    References
    ----------
    Definition.
    """
    by_place: dict[str, list[float]] = {}
    for place, amount in shares:
        by_place.setdefault(place, []).append(amount)
    summed = ((place, math.fsum(amounts)) for place, amounts in by_place.items())
    places = tuple(PlaceAmount(place=place, amount=amount) for place, amount in summed if amount > NOTHING)
    if not places:
        return ()
    return (
        Quantity(
            basis=basis,
            item=item,
            amount=math.fsum(part.amount for part in places),
            unit=_unit(basis),
            places=places,
            why=why,
            formula=FORMULAS[basis],
            inputs=inputs,
        ),
    )


def by_item(
    basis: str, shares: Iterable[tuple[str, str, float]], why: str, inputs: Inputs = ()
) -> tuple[Quantity, ...]:
    """Give one quantity per item bought.

    Parameters
    ----------
    basis : str
        What is measured.
    shares : iterable of (str, str, float)
        Item, place and amount.
    why : str
        The formula in words; the amount by item is put after it.
    inputs : tuple of (str, str)
        As `quantity`.

    Returns
    -------
    quantities : tuple of Quantity
        In the order in which the items first come.

    References
    ----------
    Definition.
    """
    grouped: dict[str, list[Share]] = {}
    for item, place, amount in shares:
        grouped.setdefault(item, []).append((place, amount))
    return tuple(
        found
        for item, parts in grouped.items()
        for found in quantity(basis, item, parts, f"{why}: {number(math.fsum(a for _, a in parts))}", inputs)
    )


def number(value: float) -> str:
    """Give a number as it is read in a formula: no more places than it needs, at most two.

    Parameters
    ----------
    value : float
        Any number.

    Returns
    -------
    text : str
        With a point, no thousands mark.

    Examples
    --------
    >>> number(26.0), number(3.14159)
    ('26', '3.14')

    References
    ----------
    Definition.
    """
    return f"{value:.2f}".rstrip("0").rstrip(".")


def sum_of(values: Iterable[float], unit: str) -> str:
    """Give a sum written out, shortened when it has many terms.

    Parameters
    ----------
    values : iterable of float
        The terms.
    unit : str
        Their unit, as printed.

    Returns
    -------
    text : str
        ``1.2 + 3.4 = 4.6 m2``, or the count of terms and the sum.

    Examples
    --------
    >>> sum_of([1.2, 3.4], "m2")
    '1.2 + 3.4 = 4.6 m2'
    >>> sum_of([2.0] * 12, "m")
    '12 lengths, 24 m together'

    References
    ----------
    Definition.
    """
    terms = list(values)
    total = f"{number(math.fsum(terms))} {unit}"
    if len(terms) == 1:
        return total
    if len(terms) > 6:
        return f"{len(terms)} lengths, {total} together" if unit == "m" else f"{len(terms)} parts, {total}"
    return f"{' + '.join(number(term) for term in terms)} = {total}"


def _unit(basis: str) -> Literal["m2", "m", "m3", "kg", "each"]:
    """Give the unit of a basis."""
    return _BY_CODE[basis].unit
