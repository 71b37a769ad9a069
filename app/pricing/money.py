"""Money to the cent: rounding, and sharing a sum so that the shares add up to it exactly."""

from collections.abc import Sequence
from decimal import ROUND_DOWN, ROUND_HALF_UP, Decimal

CENT = Decimal("0.01")
# Quantities come as floats; a millionth of a unit is far below anything that is measured or sold.
GRAIN = Decimal("0.000001")


def to_cents(amount: Decimal) -> Decimal:
    """Give an amount of money to the cent, half a cent up.

    Parameters
    ----------
    amount : Decimal
        Exact amount.

    Returns
    -------
    rounded : Decimal
        With two decimals.

    Examples
    --------
    >>> to_cents(Decimal("2.675"))
    Decimal('2.68')

    References
    ----------
    Common practice, no source.
    """
    return amount.quantize(CENT, rounding=ROUND_HALF_UP)


def rounded_to(amount: Decimal, grain: Decimal) -> Decimal:
    """Give an amount of money rounded to the nearest grain, half a grain up.

    Parameters
    ----------
    amount : Decimal
        Exact amount.
    grain : Decimal
        A cent, a whole unit, 5, 10 or 50.

    Returns
    -------
    rounded : Decimal
        With two decimals.

    Examples
    --------
    >>> rounded_to(Decimal("29317.80"), Decimal(5))
    Decimal('29320.00')

    References
    ----------
    Common practice, no source.
    """
    return to_cents((amount / grain).quantize(Decimal(1), rounding=ROUND_HALF_UP) * grain)


def exact(amount: float) -> Decimal:
    """Give a measured amount as a Decimal, rid of the dust of binary arithmetic.

    Parameters
    ----------
    amount : float
        Any finite number.

    Returns
    -------
    value : Decimal
        To the millionth, without trailing zeros.

    Raises
    ------
    ValueError
        If the amount is not a finite number.

    Examples
    --------
    >>> exact(0.1 + 0.2)
    Decimal('0.3')

    References
    ----------
    Definition.
    """
    value = Decimal(repr(float(amount)))
    if not value.is_finite():
        raise ValueError(f"{amount} is not an amount.")
    value = value.quantize(GRAIN, rounding=ROUND_HALF_UP).normalize()
    # normalize() writes 100 as 1E+2; adding a plain zero writes it out again.
    return value + Decimal(0) if value else Decimal(0)


def share_out(total: Decimal, weights: Sequence[Decimal], grain: Decimal = CENT) -> tuple[Decimal, ...]:
    """Share a sum in proportion to weights, by largest remainder, so that the shares add up exactly.

    Parameters
    ----------
    total : Decimal
        What is shared; a whole number of grains, not negative.
    weights : sequence of Decimal
        None negative; when all are zero the first takes everything.
    grain : Decimal
        Smallest part that is not split: a cent, or one pack.

    Returns
    -------
    shares : tuple of Decimal
        One for each weight; equal remainders go to the earlier one.

    Raises
    ------
    ValueError
        If there is nothing to share among, or something is negative or no whole number of grains.

    Examples
    --------
    >>> share_out(Decimal("100.00"), [Decimal(1), Decimal(1), Decimal(1)])
    (Decimal('33.34'), Decimal('33.33'), Decimal('33.33'))

    References
    ----------
    Definition of the largest-remainder method.
    """
    if not weights:
        raise ValueError("There is nobody to share among.")
    if total < 0 or min(weights) < 0 or total % grain:
        raise ValueError(f"{total} cannot be shared by {list(weights)} in parts of {grain}.")
    whole = sum(weights, Decimal(0))
    if not whole:
        return (total, *(Decimal(0) * grain for _ in weights[1:]))
    ideal = [total * weight / whole for weight in weights]
    shares = [(part / grain).to_integral_value(rounding=ROUND_DOWN) * grain for part in ideal]
    left = int((total - sum(shares, Decimal(0))) / grain)
    by_remainder = sorted(range(len(weights)), key=lambda i: (shares[i] - ideal[i], i))
    for index in by_remainder[:left]:
        shares[index] += grain
    return tuple(shares)
