"""Texts in which a number stands that is never kept."""

from collections.abc import Iterator, Mapping
from typing import Any

from app.actions.errors import Refused
from app.agreement.kept_out import number_kept_out


def refuse_numbers(*texts: str) -> None:
    """Refuse texts in which a card or social security number stands; nothing of them is kept."""
    for text in texts:
        kind = number_kept_out(text)
        if kind:
            raise Refused(
                f"There is a {kind} in what you typed. Such numbers are never asked for and never kept here: "
                "take it out and send it once more."
            )


def refuse_numbers_in(document: Mapping[str, Any]) -> None:
    """Refuse a job file in whose words such a number stands; item codes and lengths are no words."""
    refuse_numbers(*_words(document))


_WORDED = frozenset({"title", "name", "note", "notes", "text"})


def _words(part: Any, key: str = "") -> Iterator[str]:
    if isinstance(part, str) and key in _WORDED:
        yield part
    elif isinstance(part, Mapping):
        for name, inner in part.items():
            yield from _words(inner, str(name))
    elif isinstance(part, list):
        for inner in part:
            yield from _words(inner, key)
