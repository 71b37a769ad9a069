"""Reading a posted form back into the shape of the job file, keeping what was typed."""

import re
from collections.abc import Iterator
from typing import Any, Protocol

from app.web.forms.asks import Ask, Asked, Group, Pair, Rows
from app.web.forms.words import MARKS

_PLAIN = re.compile(r"[-−]?\d{1,12}([.,]\d{1,12})?")
_COUNTED = re.compile(r"(.*?)(\d{1,9})")
_STEP = re.compile(r"([^.\[\]]+)|\[(\d+)\]")


class Posted(Protocol):
    """As much of a posted form as is needed here."""

    def get(self, key: str, /) -> Any: ...
    def getlist(self, key: str, /) -> list[Any]: ...
    def __iter__(self) -> Iterator[str]: ...


def read_asks(asks: tuple[Asked, ...], form: Posted, prefix: str) -> dict[str, Any]:
    """Every value of the asks that was filled in; blank ones are left out, so that defaults hold."""
    found: dict[str, Any] = {}
    for asked in asks:
        value = _read(asked, form, f"{prefix}.{asked.key}")
        if value is not None:
            found[asked.key] = value
    return found


def _read(asked: Asked, form: Posted, name: str) -> Any:
    if isinstance(asked, Ask):
        return _read_ask(asked, form, name)
    if isinstance(asked, Pair):
        pair = [_typed(form, f"{name}[{axis}]", is_number=True) for axis in (0, 1)]
        return None if pair == [None, None] else ["" if side is None else side for side in pair]
    if isinstance(asked, Group):
        inner = read_asks(asked.asks, form, name)
        return inner if asked.is_needed or not _is_blank(asked.asks, inner) else None
    return [row for index in _indexes(form, name) if (row := _read_row(asked, form, f"{name}[{index}]"))]


def _read_row(rows: Rows, form: Posted, name: str) -> Any:
    if isinstance(rows.item, tuple):
        row = read_asks(rows.item, form, name)
        return None if _is_blank(rows.item, row) else row
    return _read(rows.item, form, name)


def _read_ask(ask: Ask, form: Posted, name: str) -> Any:
    if ask.kind == "tick":
        return form.get(name) is not None
    if ask.kind == "ticks":
        return [str(value) for value in form.getlist(name) if value in ask.options]
    return _typed(form, name, is_number=ask.kind in ("quantity", "number", "count"))


def _typed(form: Posted, name: str, *, is_number: bool) -> Any:
    """What was typed: a plain number becomes one, anything else stays as it is."""
    text = str(form.get(name) or "").strip()
    if not text:
        return None
    if is_number and _PLAIN.fullmatch(text):
        plain = text.replace("−", "-").replace(",", ".")
        return float(plain) if "." in plain else int(plain)
    return text


def _is_blank(asks: tuple[Asked, ...], values: dict[str, Any]) -> bool:
    """Whether nothing was typed or chosen by hand; ticks and preset choices do not count."""
    for asked in asks:
        value = values.get(asked.key)
        is_silent = isinstance(asked, Ask) and (
            asked.kind in ("tick", "ticks") or (asked.kind == "choice" and not asked.is_needed)
        )
        if value not in (None, [], {}) and not is_silent:
            return False
    return True


def _indexes(form: Posted, name: str) -> list[int]:
    shape = re.compile(re.escape(name) + r"\[(\d{1,6})\]")
    return sorted({int(match[1]) for key in form if (match := shape.match(key))})


def steps(name: str) -> list[str | int]:
    """The steps of a path: ``survey.drains[2].x`` gives survey, drains, 2, x."""
    return [int(number) if number else word for word, number in _STEP.findall(name)]


def find(tree: Any, name: str) -> Any:
    """What stands at a path, or None."""
    for step in steps(name):
        try:
            tree = tree[step]
        except (KeyError, IndexError, TypeError):
            return None
    return tree


def add_row(tree: dict[str, Any], name: str) -> None:
    """Add an empty row to the list at a path, making the list where there is none."""
    *way, last = steps(name)
    for step in way:
        tree = tree[step]  # type: ignore[index]
    rows = tree[last] if isinstance(last, int) else tree.setdefault(last, [])  # type: ignore[index]
    mark = MARKS.get(str(last))
    rows.append({"id": _next_mark(rows, mark)} if mark else {})


def remove_row(tree: dict[str, Any], name: str) -> None:
    """Take the row at a path out of its list; nothing happens when it is not there."""
    rows = find(tree, name[: name.rindex("[")])
    last = steps(name)[-1]
    if isinstance(rows, list) and isinstance(last, int) and last < len(rows):
        del rows[last]


def _next_mark(rows: list[Any], mark: str) -> str:
    """A mark not taken yet, counted on from the last row's where that ends in a number."""
    marks = [str(row.get("id") or "") for row in rows if isinstance(row, dict)]
    counted = _COUNTED.fullmatch(marks[-1]) if marks else None
    stem, digits = (counted[1], counted[2]) if counted else (mark, "0")
    numbers = (str(int(digits) + step).zfill(len(digits)) for step in range(1, len(rows) + 2))
    return next(name for number in numbers if (name := f"{stem}{number}") not in marks)
