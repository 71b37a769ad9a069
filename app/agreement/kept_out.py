"""Numbers that are never asked for and never kept: payment cards, social security and insurance numbers."""

import re

# 13 to 19 figures, in groups or not (ISO/IEC 7812-1), not part of something longer.
_CARD = re.compile(r"(?<![\w.-])\d(?:[ -]?\d){12,18}(?![\w-])")
# Area, group, serial as the United States write them; 000, 666 and 9xx are not given out.
_SSN = re.compile(r"(?<![\w-])(?!000|666|9)\d{3}([ -])(?!00)\d{2}\1(?!0000)\d{4}(?![\w-])")
_NINE_NAMED = re.compile(
    r"\b(?:ssn|social security|sin|social insurance)\D{0,20}(\d{9}|\d{3}[ -]\d{3}[ -]\d{3})\b", re.I
)


def number_kept_out(text: str) -> str:
    """Say what kind of number stands in a text that must not be kept.

    Parameters
    ----------
    text : str
        As typed.

    Returns
    -------
    kind : str
        ``card number`` or ``social security number``; empty when there is none. A phone number, a date,
        a job number and a fingerprint are none.

    Examples
    --------
    >>> number_kept_out("card 4111 1111 1111 1111"), number_kept_out("call +1 207 555 0117")
    ('card number', '')
    >>> number_kept_out("078-05-1120")
    'social security number'

    Notes
    -----
    A card number is one whose last figure proves the others by the formula of Luhn.

    References
    ----------
    ISO/IEC 7812-1 Annex B (Luhn) and the range of lengths, from memory; the parts of a social security
    number by the Social Security Administration, from memory.
    """
    for found in _CARD.finditer(text):
        figures = [int(letter) for letter in found.group() if letter.isdecimal()]
        if len(set(figures)) > 1 and _is_luhn(figures):
            return "card number"
    if _SSN.search(text) or _NINE_NAMED.search(text):
        return "social security number"
    return ""


def _is_luhn(figures: list[int]) -> bool:
    """Tell whether the last figure proves the others."""
    total = 0
    for place, figure in enumerate(reversed(figures)):
        doubled = figure * 2 if place % 2 else figure
        total += doubled - 9 if doubled > 9 else doubled
    return total % 10 == 0
