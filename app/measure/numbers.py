"""Numbers as people write them: fractions, typographic signs, commas where they can mean one thing only."""

import math
import re
import unicodedata
from decimal import Decimal
from fractions import Fraction

from app.measure.errors import InputError

LONGEST = 60
_SIGNS = str.maketrans(
    {
        "′": "'",
        "’": "'",
        "‘": "'",
        "ʹ": "'",
        "″": '"',
        "”": '"',
        "“": '"',
        "„": '"',
        "ʺ": '"',
        "−": "-",
        "–": "-",
        "—": "-",
        "‑": "-",
        "⁄": "/",
        "∕": "/",
        "µ": "u",
        "μ": "u",
        "×": "x",
        "·": "*",
    }
)
_SUPERSCRIPTS = str.maketrans("²³", "23")
_NUMBER = re.compile(r"[+-]?(?:\d+(?:[.,]\d*)*|[.,]\d+)(?:[eE][+-]?\d{1,3})?")
_FRACTION = re.compile(r"(?:(?P<whole>\d+)\s+)?(?P<top>\d+)\s*/\s*(?P<bottom>\d+)")
_WELL_GROUPED = re.compile(r"[1-9]\d{0,2}(?:,\d{3})+\.\d*|[1-9]\d{0,2}(?:,\d{3}){2,}")
_ONE_COMMA = re.compile(r"(\d*),(\d+)")


def plain_text(text: str) -> str:
    """Give the text with typographic primes, dashes, fractions and spaces written plainly.

    Parameters
    ----------
    text : str
        As typed or pasted.

    Returns
    -------
    text : str
        Same meaning in plain characters, single spaces, no space at either end.

    Raises
    ------
    InputError
        When it is longer than any number with a unit.

    Examples
    --------
    >>> plain_text("12′ 6½″")
    '12\\' 6 1/2"'

    References
    ----------
    Definition; the fraction characters are decomposed as Unicode says (NFKC).
    """
    if len(text) > LONGEST:
        raise InputError("", text[:LONGEST], f"A number with its unit has at most {LONGEST} characters.")
    spaced = re.sub(r"(\d)(?=[¼½¾⅐-⅞])", r"\1 ", text).translate(_SUPERSCRIPTS).translate(_SIGNS)
    decomposed = unicodedata.normalize("NFKC", spaced).translate(_SIGNS)
    return " ".join(decomposed.replace("''", '"').split())


def number_and_rest(text: str) -> tuple[Fraction, str] | None:
    """Split plain text into the number that it starts with and what follows.

    Parameters
    ----------
    text : str
        Plain text, such as ``3.81 m``.

    Returns
    -------
    parts : tuple of Fraction and str, or None
        The number, exact, and the rest without spaces round it; None when no number comes first.

    Raises
    ------
    InputError
        When a comma can be read two ways.

    Examples
    --------
    >>> number_and_rest("3,81 m")
    (Fraction(381, 100), 'm')

    References
    ----------
    Definition.
    """
    fraction = _FRACTION.match(text)
    if fraction is not None and int(fraction["bottom"]):
        part = Fraction(int(fraction["top"]), int(fraction["bottom"]))
        return int(fraction["whole"] or 0) + part, text[fraction.end() :].strip()
    found = _NUMBER.match(text)
    if found is None:
        return None
    digits, _, exponent = found.group().lower().partition("e")
    number = Fraction(_without_comma(digits, text)) * Fraction(10) ** int(exponent or 0)
    return number, text[found.end() :].strip()


def _without_comma(digits: str, text: str) -> str:
    """Read a comma as the decimal sign or a thousands sign when only one of the two is possible."""
    if "," not in digits:
        if digits.count(".") > 1:
            raise InputError("", text, f"{text} has more than one decimal point. Write it with one.")
        return digits
    sign = digits[0] if digits[0] in "+-" else ""
    bare = digits.removeprefix(sign)
    if _WELL_GROUPED.fullmatch(bare):
        return sign + bare.replace(",", "")
    one = _ONE_COMMA.fullmatch(bare)
    if one is None:
        raise InputError("", text, f"The commas in {text} do not make a number. Use a point for decimals.")
    whole, decimals = one.groups()
    if len(decimals) == 3 and whole not in ("", "0"):
        raise InputError(
            "",
            text,
            f"{text} can be read two ways. Write {whole}{decimals} or {whole}.{decimals} instead.",
        )
    return f"{sign}{whole or '0'}.{decimals}"


def finite(value: object, wanted: str) -> float | None:
    """Give a plain number as a float, the short way that touches no unit.

    Parameters
    ----------
    value : object
        Anything from a job file or a form.
    wanted : str
        Sentence to say when the number is not finite.

    Returns
    -------
    number : float or None
        None when `value` is not a number, but perhaps text to be read.

    Raises
    ------
    InputError
        For not-a-number and infinity, and for true and false.

    Examples
    --------
    >>> finite(3810, "A length is wanted.")
    3810.0

    References
    ----------
    Definition.
    """
    if isinstance(value, bool):
        raise InputError("", value, wanted)
    if isinstance(value, (int, float, Decimal, Fraction)):
        try:
            number = float(value)
        except (OverflowError, ValueError):
            number = math.inf
        if not math.isfinite(number):
            raise InputError("", value, f"The number has no end or is none. {wanted}")
        return number
    return None
