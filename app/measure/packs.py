"""How much a pack holds and what a price is for, as suppliers write them, in our own units."""

from fractions import Fraction

from app.measure.errors import InputError
from app.measure.numbers import number_and_rest, plain_text
from app.measure.units import _SPELLINGS, _kind, _spelling, factor

# Our units of sale, by pint's name; a count has no unit.
SOLD_BY = {"each": "", "m": "m", "m2": "m**2", "m3": "m**3", "kg": "kilogram"}
_COUNTS = dict.fromkeys(("", "each", "ea", "ea.", "pc", "pcs", "piece", "pieces", "no"), 1)
# Words for the whole pack, whatever it holds.
WHOLE_PACKS = ("pack", "sheet", "bag", "box", "roll", "length", "bundle", "bucket", "tube", "board", "set")
_LINEAR = {"lf": "foot", "linearfoot": "foot", "linearfeet": "foot", "linft": "foot", "lm": "m"}


def pack_amount(written: str, unit: str) -> Fraction:
    """Give how many units one pack holds.

    Parameters
    ----------
    written : str
        A number in our unit, or a number with a unit of its own: ``100``, ``8 ft``, ``32 sq ft``, ``50 lb``.
    unit : str
        Unit the item is measured in: ``each``, ``m``, ``m2``, ``m3``, ``kg``.

    Returns
    -------
    amount : Fraction
        Exact, in that unit.

    Raises
    ------
    InputError
        When it is no number, or of another kind than the unit.

    Examples
    --------
    >>> pack_amount("8 ft", "m")
    Fraction(1524, 625)

    References
    ----------
    Factors as `factor` has them.
    """
    wanted = f"Give a number of {unit}, such as 100, or one with its unit, such as 8 ft."
    parts = number_and_rest(plain_text(written))
    if parts is None:
        raise InputError("", written, wanted)
    number, rest = parts
    return number * _units_of(rest, unit, written, wanted) if rest else number


def priced_amount(written: str, unit: str, pack: Fraction) -> Fraction:
    """Give how many units a price is for.

    Parameters
    ----------
    written : str
        What stands behind the price: nothing or ``pack`` (the whole pack; also sheet, bag, box, roll …),
        ``100``, ``1000``, ``each``, ``ft``, ``100 lf``, ``m2``, ``lb`` …
    unit : str
        Unit the item is measured in.
    pack : Fraction
        Units in one pack.

    Returns
    -------
    amount : Fraction
        Exact, in that unit: the price of a pack is price × pack / amount.

    Raises
    ------
    InputError
        When it cannot be read, is of another kind than the unit, or is zero.

    Examples
    --------
    >>> priced_amount("100", "each", Fraction(350))
    Fraction(100, 1)
    >>> priced_amount("linear foot", "m", Fraction(1))
    Fraction(381, 1250)

    References
    ----------
    Factors as `factor` has them.
    """
    wanted = "Say what the price is for: pack, sheet, bag, each, 100, 1000, ft, m, sq ft, m2, lb or kg."
    text = plain_text(written).removeprefix("per ").removeprefix("/").strip()
    if text.lower().rstrip("s") in ("", *WHOLE_PACKS) or text.lower() in ("boxes", "bunches"):
        return pack
    parts = number_and_rest(text)
    number, rest = parts if parts is not None else (Fraction(1), text)
    amount = number * _units_of(rest, unit, written, wanted) if rest else number
    if amount <= 0:
        raise InputError("", written, wanted)
    return amount


def _units_of(written: str, unit: str, whole: str, wanted: str) -> Fraction:
    """Give how many of our units are in one of a written unit."""
    spelled = _spelling(written)
    if SOLD_BY[unit] == "":
        if spelled in _COUNTS:
            return Fraction(1)
        raise InputError("", whole, f"{whole} is no count, and this is sold by the piece. {wanted}")
    found = _LINEAR.get(spelled) or _SPELLINGS.get(spelled)
    if found is None:
        raise InputError("", whole, f"{written} is not a unit known here. {wanted}")
    if _kind(found) != _kind(SOLD_BY[unit]):
        raise InputError("", whole, f"{written} is {_kind(found)}, and this is sold by the {unit}. {wanted}")
    return factor(found, SOLD_BY[unit])
