"""Making a quantity: shares by place that sum to the amount, in the unit of its basis."""

import math
from collections.abc import Callable, Iterable
from typing import Literal

from app.measure.show import format_length, format_quantity
from app.takeoff.totals.bases import BASES
from app.takeoff.totals.formulas import FORMULAS
from app.takeoff.totals.records import PlaceAmount, Quantity

_BY_CODE = {basis.code: basis for basis in BASES}

Share = tuple[str, float]
Inputs = tuple[tuple[str, str], ...]

_SIGNS = {"m2": "m²", "m3": "m³"}
_KINDS: dict[str, Literal["area", "volume", "mass"]] = {"m2": "area", "m3": "volume", "kg": "mass"}

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
    basis: str,
    shares: Iterable[tuple[str, str, float]],
    why: str,
    inputs: Inputs | Callable[[str], Inputs] = (),
    units: str = "metric",
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
    inputs : tuple of (str, str), or function of an item that gives them
        As `quantity`.
    units : str
        ``imperial`` or ``metric``.

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
        for found in quantity(
            basis,
            item,
            parts,
            f"{why}: {said(math.fsum(a for _, a in parts), _unit(basis), units)}",
            inputs(item) if callable(inputs) else inputs,
        )
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


def said(amount: float, unit: str, units: str) -> str:
    """Give an amount as it is read in a formula, in the job's own system.

    Parameters
    ----------
    amount : float
        In `unit`.
    unit : str
        ``m2``, ``m``, ``m3``, ``kg`` or ``each``.
    units : str
        ``imperial`` or ``metric``.

    Returns
    -------
    text : str
        Number and unit; lengths in feet and inches where the job is written so.

    Examples
    --------
    >>> said(4.6, "m2", "metric"), said(4.6, "m2", "imperial"), said(3.0, "each", "metric")
    ('4.6 m²', '49.5 ft²', '3')

    References
    ----------
    Definition.
    """
    if unit == "each":
        return number(amount)
    if units == "metric":
        return f"{number(amount)} {_SIGNS.get(unit, unit)}"
    if unit == "m":
        return format_length(amount * 1000.0, units)
    return format_quantity(amount, _KINDS[unit], units)


def named(amounts: Iterable[Share], unit: str, units: str) -> Inputs:
    """Give amounts as inputs, those of one name together; what is nought is left out.

    Parameters
    ----------
    amounts : iterable of (str, float)
        Name and amount.
    unit : str
        As `said`.
    units : str
        ``imperial`` or ``metric``.

    Returns
    -------
    inputs : tuple of (str, str)
        In the order in which the names first come.

    Examples
    --------
    >>> named([("D1", 2.0), ("D2", 0.0), ("D1", 1.5)], "m", "metric")
    (('D1', '3.5 m'),)

    References
    ----------
    Definition.
    """
    summed: dict[str, float] = {}
    for name, amount in amounts:
        summed[name] = summed.get(name, 0.0) + amount
    return tuple((name, said(amount, unit, units)) for name, amount in summed.items() if amount > NOTHING)


def listed(name: str, ids: Iterable[str]) -> Inputs:
    """Give the things counted as one input that lists them.

    Parameters
    ----------
    name : str
        What they are.
    ids : iterable of str
        Which.

    Returns
    -------
    inputs : tuple of (str, str)
        One, or none when nothing is counted.

    Examples
    --------
    >>> listed("outlets", ["O1", "O2"])
    (('outlets', 'O1, O2'),)

    References
    ----------
    Definition.
    """
    marks = ", ".join(ids)
    return ((name, marks),) if marks else ()


def sum_of(values: Iterable[float], unit: str, units: str = "metric") -> str:
    """Give a sum written out, shortened when it has many terms.

    Parameters
    ----------
    values : iterable of float
        The terms.
    unit : str
        Their unit, as `said`.
    units : str
        ``imperial`` or ``metric``.

    Returns
    -------
    text : str
        ``1.2 + 3.4 = 4.6 m²``, or the count of terms and the sum.

    Examples
    --------
    >>> sum_of([1.2, 3.4], "m2")
    '1.2 + 3.4 = 4.6 m²'
    >>> sum_of([2.0] * 12, "m")
    '12 lengths, 24 m together'

    References
    ----------
    Definition.
    """
    terms = list(values)
    total = said(math.fsum(terms), unit, units)
    if len(terms) == 1:
        return total
    if len(terms) > 6:
        return f"{len(terms)} lengths, {total} together" if unit == "m" else f"{len(terms)} parts, {total}"
    written = (number(term) if units == "metric" else said(term, unit, units) for term in terms)
    return f"{' + '.join(written)} = {total}"


def _unit(basis: str) -> Literal["m2", "m", "m3", "kg", "each"]:
    """Give the unit of a basis."""
    return _BY_CODE[basis].unit
