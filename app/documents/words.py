"""The fixed words of documents in the reader's language: gettext catalogues, read as they are written."""

import html
import re
from collections.abc import Callable
from datetime import UTC, date, datetime
from decimal import Decimal
from functools import cache, lru_cache

from babel.dates import format_date, format_datetime
from babel.messages.pofile import read_po

from app.agreement.terms import Language
from app.measure.show import format_money
from app.settings import TEMPLATES

# A figure as we write it: 1,234.5 but no date, no clause such as 411.3.3 and no part of a name.
_FIGURE = re.compile(r"(?<![\w.,§-])−?\d{1,3}(?:(?:,\d{3})+(?:\.\d+)?|\d*\.\d+)(?![\w(-]|\.\d)")
_LOOSE = re.compile(r" (?=[:;!?»])|(?<=«) ")
_WORDS = re.compile(r"(>)([^<>]*[A-Za-z][^<>]*)(<)")
_LABEL = re.compile(r'(aria-label=")([^"]*)(")')
_END = re.compile(r"(?<=\.) ")
FOLDER = TEMPLATES / "documents" / "words"
_LOCALES: dict[Language, str] = {"en": "en_US", "fr": "fr_CA"}


def words_of(language: Language) -> Callable[[str], str]:
    """Give what turns a text of ours into a language; a text without a translation stays English.

    A text of the catalogue may hold places, written {}: a sentence with numbers and names in them is
    recognised, and they stand in the translation in the same order, figures with its decimal mark.
    """
    if language == "en":
        return str
    return lambda text: _said(language, text)


def filled(language: Language) -> Callable[..., str]:
    """Give what turns a text with places, written {}, into a language and fills them."""
    say = words_of(language)
    return lambda text, *parts: say(text).format(*parts)


def is_said(language: Language, text: str) -> bool:
    """Tell whether a text of ours can be said in a language."""
    return language == "en" or not text or _found(language, text) is not None


def drawing_in(svg: str, language: Language) -> str:
    """Give a drawing with the words in it in a language; names that people typed stay."""
    if language == "en":
        return svg

    def put(found: re.Match[str]) -> str:
        words = html.unescape(found.group(2))
        return f"{found.group(1)}{html.escape(_said(language, words))}{found.group(3)}"

    return _LABEL.sub(put, _WORDS.sub(put, svg))


def day_of(language: Language) -> Callable[[date], str]:
    """Give what writes a day in a language: Tue 4 Aug 2026."""
    locale = _LOCALES[language]
    return lambda on: format_date(on, "EEE d MMM y", locale=locale)


def money_of(language: Language) -> Callable[[Decimal, str], str]:
    """Give what writes an amount in a language."""
    locale = _LOCALES[language]
    return lambda amount, currency: format_money(amount, currency, locale)


def rate_of(language: Language) -> Callable[[Decimal], str]:
    """Give what writes a rate in a language, without zeros behind: 20 and 5.5."""
    return lambda pct: figures_in(f"{pct.normalize():f}", language)


def instant_of(language: Language) -> Callable[[datetime], str]:
    """Give what writes an instant in a language, in UTC: Tue 4 Aug 2026, 14:05 UTC."""
    locale = _LOCALES[language]
    shape = "EEE d MMM y, HH:mm 'UTC'"
    return lambda at: format_datetime(at, shape, tzinfo=UTC, locale=locale)


def event_of(language: Language) -> Callable[[str], str]:
    """Give what writes what was done through a link: looked at: price."""
    say = words_of(language)

    def done(what: str) -> str:
        head, mark, part = what.partition(": ")
        return f"{say(head)}{mark}{say(part)}" if mark else say(what)

    return done


@lru_cache(maxsize=4096)
def _said(language: Language, text: str) -> str:
    return _found(language, text) or text


@lru_cache(maxsize=4096)
def _found(language: Language, text: str) -> str | None:
    """Give a text in a language: whole, sentence by sentence, or with sentences in its places; else None."""
    known = _catalogue(language)
    if text in known:
        return known[text]
    return (
        _filled_in(language, text, is_strict=True)
        or _by_sentence(language, text)
        or _filled_in(language, text, is_strict=False)
    )


def _by_sentence(language: Language, text: str) -> str | None:
    """Give a text of several sentences, when each of them can be said."""
    for end in _END.finditer(text):
        first, rest = _found_alone(language, text[: end.start()]), _found(language, text[end.end() :])
        if first is not None and rest is not None:
            return f"{first} {rest}"
    return None


def _found_alone(language: Language, sentence: str) -> str | None:
    return _catalogue(language).get(sentence) or _filled_in(language, sentence, is_strict=True)


def _filled_in(language: Language, text: str, *, is_strict: bool) -> str | None:
    """Give a text that has the shape of one of the catalogue; strictly: no place ends a sentence."""
    for shape, translation in _shapes(language, is_strict):
        found = shape.fullmatch(text)
        if found:
            return translation.format(*(_part(language, part) for part in found.groups()))
    return None


def _part(language: Language, part: str) -> str:
    """Give a place of a sentence: a figure with the decimal mark of the language, else words or a name."""
    return figures_in(_said(language, part), language)


def figures_in(text: str, language: Language) -> str:
    """Give a text with its figures written as a language does: 1,234.5 becomes 1 234,5."""
    if language == "en":
        return text
    return _FIGURE.sub(lambda one: one.group().replace(",", "\u00a0").replace(".", ","), text)


@cache
def _shapes(language: Language, is_strict: bool) -> tuple[tuple[re.Pattern[str], str], ...]:
    """Give the sentences with places, those that say most first."""
    known = [text for text in _catalogue(language) if "{}" in text]
    known.sort(key=lambda text: -len(text))
    place = r"((?:(?!\. ).)+?)" if is_strict else "(.+?)"
    return tuple(
        (re.compile(place.join(map(re.escape, text.split("{}"))), re.DOTALL), _catalogue(language)[text])
        for text in known
    )


@cache
def _catalogue(language: Language) -> dict[str, str]:
    with (FOLDER / f"{language}.po").open("rb") as file:
        catalogue = read_po(file, locale=language)
    return {
        str(entry.id): _tied(language, str(entry.string)) for entry in catalogue if entry.id and entry.string
    }


def _tied(language: Language, text: str) -> str:
    """Tie the signs that French parts from their word by a space to it, so that no line starts with one."""
    return _LOOSE.sub("\u00a0", text) if language == "fr" else text
