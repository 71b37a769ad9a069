"""The fixed words of documents in the reader's language: gettext catalogues, read as they are written."""

from collections.abc import Callable
from datetime import date
from decimal import Decimal
from functools import cache

from babel.dates import format_date
from babel.messages.pofile import read_po

from app.agreement.terms import Language
from app.measure.show import format_money
from app.settings import TEMPLATES

FOLDER = TEMPLATES / "documents" / "words"
_LOCALES: dict[Language, str] = {"en": "en_US", "fr": "fr_CA"}


def words_of(language: Language) -> Callable[[str], str]:
    """Give what turns a fixed text into a language; a text without a translation stays English."""
    if language == "en":
        return str
    known = _catalogue(language)
    return lambda text: known.get(text) or text


def day_of(language: Language) -> Callable[[date], str]:
    """Give what writes a day in a language: Tue 4 Aug 2026."""
    locale = _LOCALES[language]
    return lambda on: format_date(on, "EEE d MMM y", locale=locale)


def money_of(language: Language) -> Callable[[Decimal, str], str]:
    """Give what writes an amount in a language."""
    locale = _LOCALES[language]
    return lambda amount, currency: format_money(amount, currency, locale)


@cache
def _catalogue(language: Language) -> dict[str, str]:
    with (FOLDER / f"{language}.po").open("rb") as file:
        catalogue = read_po(file, locale=language)
    return {str(entry.id): str(entry.string) for entry in catalogue if entry.id and entry.string}
