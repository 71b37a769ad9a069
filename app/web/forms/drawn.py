"""A form as drawn: every field with its name, label, value, fault and options, ready for the template."""

import re
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from app.web.forms.asks import Ask, Asked, Group, Pair, Rows
from app.web.forms.read import find

_WIDE = 6  # a record that asks more than this is drawn as a block, not as a row


@dataclass(frozen=True, slots=True)
class Field:
    """One field on the page; `shape` tells the template which control to draw."""

    name: str
    id: str
    label: str
    hint: str
    unit: str
    shape: str
    value: Any
    options: tuple[tuple[str, str], ...]
    fault: str


@dataclass(frozen=True, slots=True)
class Box:
    """Fields that belong together."""

    name: str
    id: str
    label: str
    hint: str
    fields: tuple["Drawn", ...]
    fault: str
    shape: str = "box"


@dataclass(frozen=True, slots=True)
class Column:
    """The head of a column: its label, what a blank in it means, and whether numbers stand in it."""

    label: str
    blank: str
    is_number: bool


@dataclass(frozen=True, slots=True)
class Row:
    """One row, with the path by which it is removed."""

    name: str
    label: str
    fields: tuple["Drawn", ...]


@dataclass(frozen=True, slots=True)
class Table:
    """Rows of the same thing, typed into as `rows` of a table or as `blocks` one below the other.

    `columns` are there when every value is a single one, so that the rows can be read as a table.
    """

    name: str
    id: str
    label: str
    hint: str
    one: str
    columns: tuple["Column", ...]
    rows: tuple[Row, ...]
    fault: str
    shape: str
    are_corners: bool


Drawn = Field | Box | Table


@dataclass(frozen=True, slots=True)
class Sketch:
    """What a form is drawn from: the whole document (for the ids it may name) and the faults by path."""

    document: Mapping[str, Any]
    faults: Mapping[str, str]


def draw_asks(
    asks: tuple[Asked, ...], values: Mapping[str, Any], prefix: str, sketch: Sketch
) -> tuple[Drawn, ...]:
    """Draw every ask with the value that stands in the document."""
    return tuple(_draw(asked, values.get(asked.key), f"{prefix}.{asked.key}", sketch) for asked in asks)


def field_id(name: str) -> str:
    """The id of a field on the page."""
    return "f-" + re.sub(r"[^A-Za-z0-9]+", "-", name).strip("-")


def _draw(asked: Asked, value: Any, name: str, sketch: Sketch) -> Drawn:
    if isinstance(asked, Ask):
        return _draw_ask(asked, value, name, sketch)
    fault = sketch.faults.get(name, "")
    if isinstance(asked, Pair):
        sides = _corner(asked.label, value, name, sketch)
        return Box(name, field_id(name), asked.label, asked.hint, sides, fault)
    if isinstance(asked, Group):
        inner = value if isinstance(value, Mapping) else {}
        fields = draw_asks(asked.asks, inner, name, sketch)
        return Box(name, field_id(name), asked.label, asked.hint, fields, fault)
    return _draw_rows(asked, value if isinstance(value, list) else [], name, sketch)


def _draw_rows(rows: Rows, values: list[Any], name: str, sketch: Sketch) -> Table:
    item = rows.item
    flat = item if isinstance(item, tuple) and all(map(_is_single, item)) else ()
    is_block = not isinstance(item, Pair) and not 0 < len(flat) <= _WIDE
    drawn = tuple(
        _draw_row(rows, value, f"{name}[{index}]", index, sketch) for index, value in enumerate(values)
    )
    columns: tuple[Column, ...] = ()
    if isinstance(item, Pair):
        columns = (Column("x, mm", "", True), Column("y, mm", "", True))
    elif flat:
        columns = tuple(_column(asked) for asked in flat)
    shape = "blocks" if is_block else "rows"
    fault = sketch.faults.get(name, "")
    return Table(
        name=name,
        id=field_id(name),
        label=rows.label,
        hint=rows.hint,
        one=rows.one,
        columns=columns,
        rows=drawn,
        fault=fault,
        shape=shape,
        are_corners=isinstance(item, Pair),
    )


def _draw_row(rows: Rows, value: Any, name: str, index: int, sketch: Sketch) -> Row:
    item = rows.item
    if isinstance(item, tuple):
        inner = value if isinstance(value, Mapping) else {}
        mark = str(inner.get("id") or index + 1)
        label = f"{rows.one[:1].upper()}{rows.one[1:]} {mark}"
        return Row(name, label, draw_asks(item, inner, name, sketch))
    if isinstance(item, Pair):
        return Row(name, f"Corner {index}", _corner(f"Corner {index}", value, name, sketch))
    corners = _draw_rows(item, value if isinstance(value, list) else [], name, sketch)
    return Row(name, f"{rows.one[:1].upper()}{rows.one[1:]} {index + 1}", (corners,))


def _corner(label: str, value: Any, name: str, sketch: Sketch) -> tuple[Field, ...]:
    sides = value if isinstance(value, list | tuple) and len(value) == 2 else ("", "")
    whole = sketch.faults.get(name, "")
    return tuple(
        Field(
            name=(side := f"{name}[{axis}]"),
            id=field_id(side),
            label=f"{label}, {'xy'[axis]}",
            hint="",
            unit="mm",
            shape="quantity",
            value=shown(sides[axis]),
            options=(),
            fault=sketch.faults.get(side, whole if axis == 0 else ""),
        )
        for axis in (0, 1)
    )


def _draw_ask(ask: Ask, value: Any, name: str, sketch: Sketch) -> Field:
    options = tuple((option, option) for option in ask.options)
    hint = ask.hint
    if ask.kind == "ref":
        options = _named(ask, sketch.document)
        if value and str(value) not in dict(options):
            options = (*options, (str(value), f"{value} (not in the job)"))
    if ask.kind in ("quantity", "number", "count", "text", "code") and ask.default:
        hint = f"{hint} {_blank_means(ask)}".strip()
    if ask.kind == "choice" and value is None:
        value = ask.default
    if ask.kind == "tick" and value is None:
        value = ask.default == "yes"
    if ask.kind == "ticks" and value is None:
        value = ask.is_on
    if ask.kind not in ("tick", "ticks"):
        value = shown(value)
    if ask.kind in ("choice", "ref") and not (ask.kind == "choice" and ask.default):
        options = (("", "Choose" if ask.is_needed else "Left open"), *options)
    fault = sketch.faults.get(name, "")
    return Field(name, field_id(name), ask.label, hint, ask.unit, ask.kind, value, options, fault)


def _named(ask: Ask, document: Mapping[str, Any]) -> tuple[tuple[str, str], ...]:
    """The ids a field may name, with their names where they have one."""
    found = []
    for place in ask.refs:
        for entry in find(document, place) or ():
            mark = str(entry.get("id", ""))
            found.append((mark, f"{mark}  {entry['name']}" if entry.get("name") else mark))
    return tuple(found)


def _is_single(asked: Asked) -> bool:
    return isinstance(asked, Ask) and asked.kind != "ticks"


def _column(asked: Asked) -> Column:
    is_number = isinstance(asked, Ask) and asked.kind in ("quantity", "number", "count")
    unit = f", {asked.unit}" if isinstance(asked, Ask) and asked.unit else ""
    return Column(asked.label + unit, _blank_means(asked), is_number)


def _blank_means(asked: Asked) -> str:
    if isinstance(asked, Ask) and asked.default and asked.kind not in ("choice", "tick", "ticks", "words"):
        return f"Blank: {asked.default}{' ' + asked.unit if asked.unit else ''}."
    return ""


def shown(value: Any) -> str:
    """A stored value as it was typed: numbers without a useless .0, nothing for nothing."""
    if value is None:
        return ""
    if isinstance(value, float) and value.is_integer() and abs(value) < 1e15:
        return str(int(value))
    return str(value)


def named_fields(drawn: tuple[Drawn, ...], within: str = "") -> dict[str, tuple[str, str]]:
    """Every field, box and table by its path: its id on the page, and its label with the row it stands in."""
    found: dict[str, tuple[str, str]] = {}
    for node in drawn:
        label = (
            f"{within}, {_lowered(node.label)}"
            if within and not node.label.startswith(within)
            else node.label
        )
        found[node.name] = (node.id, label)
        if isinstance(node, Box):
            found |= named_fields(node.fields, within)
        elif isinstance(node, Table):
            for row in node.rows:
                place = f"{within}, {_lowered(row.label)}" if within else row.label
                first = named_fields(row.fields, place)
                found[row.name] = (next(iter(first.values()))[0], place)
                found |= first
    return found


def _lowered(label: str) -> str:
    """A label in the middle of a sentence; x, y and abbreviations stay as they are."""
    return label[:1].lower() + label[1:] if label[1:2].islower() else label


def is_blank(node: Drawn) -> bool:
    """Whether nothing stands in a field, a box or a table."""
    if isinstance(node, Box):
        return all(is_blank(field) for field in node.fields)
    return not node.rows if isinstance(node, Table) else not node.value
