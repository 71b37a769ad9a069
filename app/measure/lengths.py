"""Lengths as carpenters write them: feet and inches with fractions, or any metric or imperial unit."""

import re
from fractions import Fraction

from app.measure.errors import InputError
from app.measure.numbers import finite, plain_text
from app.measure.units import factor, read_quantity

WANTED = "A length is wanted, such as 3810 (mm), 3.81 m, 12' 6 1/2\" or 12-6 1/2."

_FOOT_MARK = r"(?:'|ft\.?|feet|foot)"
_INCH_MARK = r'(?:"|in\.?|inches|inch)'
_SIGN = r"(?P<sign>[+-]?)\s*"
_MARKED_FORMS = (
    # 12-6 1/2: feet, dash, inches, without marks; inches need a whole part, or 12-1/2 would be a guess.
    rf"{_SIGN}(?P<feet>\d+)\s*-\s*(?P<inches>\d+(?:\s+\d+\s*/\s*\d+)?)\s*{_INCH_MARK}?",
    # 12' 6 1/2", 12'-6", 12 ft 6 in; after feet the inch mark may be left out.
    rf"{_SIGN}(?P<feet>\d+)\s*{_FOOT_MARK}\s*-?\s*(?P<inches>[\d.][\d./\s-]*?)\s*{_INCH_MARK}?",
    # 6 1/2", 6-1/2", 3/4", 6.5 in
    rf"{_SIGN}(?P<inches>[\d.][\d./\s-]*?)\s*{_INCH_MARK}",
)
_MARKED = tuple(re.compile(form, re.IGNORECASE) for form in _MARKED_FORMS)
_INCHES = re.compile(
    r"(?P<whole>\d+(?:\.\d*)?|\.\d+)?(?:(?(whole)(?:\s*-\s*|\s+))(?P<top>\d+)\s*/\s*(?P<bottom>\d+))?"
)
_GUESS = re.compile(r"[+-]?(?:\d+\s*-\s*|\d+\s+)*\d+\s*/\s*\d+")
SIXTEENTHS_IN_A_FOOT = 192


def _inches(written: str, text: str) -> Fraction:
    """Add up whole inches and their fraction."""
    found = _INCHES.fullmatch(written)
    if found is None:
        raise InputError("", text, f"{written} is not a number of inches. {WANTED}")
    whole, top, bottom = found.group("whole", "top", "bottom")
    inches = Fraction(whole or 0)
    if top is None:
        return inches
    if inches.denominator != 1:
        raise InputError("", text, f"{text} has a decimal and a fraction. {WANTED}")
    if int(bottom) == 0 or (whole and int(top) >= int(bottom)):
        raise InputError("", text, f"{top}/{bottom} is not a part of an inch. {WANTED}")
    return inches + Fraction(int(top), int(bottom))


def _feet_and_inches(text: str) -> Fraction | None:
    """Read feet and inches; None when the text is not written so."""
    for pattern in _MARKED:
        found = pattern.fullmatch(text)
        if found is None:
            continue
        feet = found.groupdict().get("feet")
        inches = _inches(found["inches"], text)
        if feet is not None and inches >= 12:
            raise InputError("", text, f"After feet, inches stay under 12; {text} has {float(inches):g}.")
        total = 12 * int(feet or 0) + inches
        return -total if found["sign"] == "-" else total
    return None


def read_mm(value: object) -> float:
    """Read a length.

    Parameters
    ----------
    value : object
        Number in mm, or text: ``12' 6 1/2"``, ``12-6 1/2``, ``6 1/2"``, ``12.5'``, ``3.81 m``, ``3810``.

    Returns
    -------
    length : float
        In mm.

    Raises
    ------
    InputError
        When it is something else; the sentence says what would do.

    Examples
    --------
    >>> read_mm("12-6 1/2")
    3822.7
    >>> read_mm("381cm")
    3810.0

    References
    ----------
    Definition: one inch is 25.4 mm.
    """
    number = finite(value, WANTED)
    if number is not None:
        return number
    if isinstance(value, str):
        text = plain_text(value)
        inches = _feet_and_inches(text)
        if inches is not None:
            return float(finite(inches * factor("inch", "mm"), WANTED) or 0.0)
        if _GUESS.fullmatch(text):
            raise InputError(
                "", value, f'{text} can be read two ways. Write the marks: 12\' 0 1/2" or 12 1/2".'
            )
    return read_quantity(value, "mm", WANTED)


def feet_and_inches(length_mm: float) -> str:
    """Write a length in feet and inches, to the nearest sixteenth, carried to the next inch and foot.

    Parameters
    ----------
    length_mm : float
        Any length, also below zero. [mm]

    Returns
    -------
    text : str
        Such as ``12' 6 1/2"``; below one foot the feet are left out.

    Examples
    --------
    >>> feet_and_inches(3822.7)
    '12\\' 6 1/2"'
    >>> feet_and_inches(304.5)
    '1\\' 0"'

    References
    ----------
    Definition: one inch is 25.4 mm. Halves of a sixteenth go up: common practice, no source.
    """
    exact = abs(Fraction(length_mm)) / factor("inch", "mm") * 16
    sixteenths = int(exact + Fraction(1, 2))
    sign = "−" if length_mm < 0 and sixteenths else ""
    feet, rest = divmod(sixteenths, SIXTEENTHS_IN_A_FOOT)
    whole, part = divmod(rest, 16)
    inches = " ".join([str(whole)] * bool(whole or not part) + [str(Fraction(part, 16))] * bool(part))
    return f"{sign}{feet}' {inches}\"" if feet else f'{sign}{inches}"'
