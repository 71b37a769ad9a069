"""What a form asks, read off a record of the job file: one ask per field, nested as the record is."""

import types
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from functools import cache
from typing import Annotated, Any, Literal, Union, get_args, get_origin

from pydantic import BeforeValidator
from pydantic.fields import FieldInfo

from app.job.record import Record, key_in_job_file
from app.web.forms import words

Kind = Literal[
    "quantity", "number", "count", "text", "words", "code", "date", "choice", "tick", "ticks", "ref"
]


@dataclass(frozen=True, slots=True)
class Ask:
    """One value asked for.

    `default` is what holds when it is left blank, as printed; `refs` are the places in the job file whose
    ids it may name.
    """

    key: str
    label: str
    hint: str
    unit: str
    kind: Kind
    is_needed: bool
    default: str = ""
    options: tuple[str, ...] = ()
    refs: tuple[str, ...] = ()
    is_on: tuple[str, ...] = ()  # of ticks: what is on when nothing was said


@dataclass(frozen=True, slots=True)
class Group:
    """Several values that belong together; an optional group left blank is not there."""

    key: str
    label: str
    hint: str
    asks: tuple["Asked", ...]
    is_needed: bool


@dataclass(frozen=True, slots=True)
class Pair:
    """A corner: x and y."""

    key: str
    label: str
    hint: str
    unit: str = "mm"


@dataclass(frozen=True, slots=True)
class Rows:
    """Any number of the same thing."""

    key: str
    label: str
    hint: str
    one: str
    item: "tuple[Asked, ...] | Pair | Rows"
    is_needed: bool


Asked = Ask | Group | Pair | Rows


@cache
def asks_of(record: type[Record]) -> tuple[Asked, ...]:
    """Everything a record asks, in the order of the record."""
    return tuple(_asked(record.__name__, name, field) for name, field in record.model_fields.items())


def ask_of(record: type[Record], name: str) -> Asked:
    """One field of a record, as asked."""
    return _asked(record.__name__, name, record.model_fields[name])


def _asked(owner: str, name: str, field: FieldInfo) -> Asked:
    annotation, metadata, is_optional = _bare(field.annotation, tuple(field.metadata))
    is_needed = field.is_required()
    key = key_in_job_file(name)
    label, hint = words.label(owner, key), words.hint(owner, key)
    if isinstance(annotation, type) and issubclass(annotation, Record):
        return Group(key, label, hint, asks_of(annotation), is_needed=not is_optional and is_needed)
    if get_origin(annotation) is tuple:
        many = _rows(owner, name, annotation, is_needed=is_needed)
        if many is not None:
            return many
        if get_args(annotation)[-1] is not Ellipsis:
            return Pair(key, label, hint)
        options = tuple(str(option) for option in get_args(get_args(annotation)[0]))
        return Ask(key, label, hint, "", "ticks", False, options=options, is_on=tuple(field.default or ()))
    kind = _kind(owner, key, annotation, metadata)
    return Ask(
        key,
        label,
        hint,
        unit=words.UNITS.get(name.removeprefix(key), ""),
        kind=kind,
        is_needed=is_needed,
        default=_printed(field.default) if not is_needed else "",
        options=tuple(str(option) for option in get_args(annotation)) if kind == "choice" else (),
        refs=words.refs(owner, key),
    )


def _rows(owner: str, name: str, annotation: Any, *, is_needed: bool) -> Rows | None:
    """A tuple of records, of corners or of outlines; None when it is something else."""
    key = key_in_job_file(name)
    label, hint, one = words.label(owner, key), words.hint(owner, key), words.one(key)
    inner, _, _ = _bare(get_args(annotation)[0], ())
    if get_args(annotation)[-1] is not Ellipsis:
        return None
    if isinstance(inner, type) and issubclass(inner, Record):
        return Rows(key, label, hint, one, asks_of(inner), is_needed)
    if get_origin(inner) is tuple and get_args(inner)[-1] is not Ellipsis:
        return Rows(key, label, hint, "corner", Pair("", "Corner", ""), is_needed)
    if get_origin(inner) is tuple:
        corners = Rows("", "Corners", "", "corner", Pair("", "Corner", ""), True)
        return Rows(key, label, hint, one, corners, is_needed)
    return None


def _bare(annotation: Any, metadata: tuple[Any, ...]) -> tuple[Any, tuple[Any, ...], bool]:
    """An annotation without its Annotated and Optional wrappings."""
    is_optional = False
    while True:
        if get_origin(annotation) is Annotated:
            metadata = (*metadata, *annotation.__metadata__)
            annotation = annotation.__origin__
        elif get_origin(annotation) in (Union, types.UnionType):
            is_optional = True
            annotation = next(part for part in get_args(annotation) if part is not type(None))
        else:
            return annotation, metadata, is_optional


def _kind(owner: str, key: str, annotation: Any, metadata: tuple[Any, ...]) -> Kind:
    if get_origin(annotation) is Literal:
        return "choice"
    if words.refs(owner, key):
        return "ref"
    if annotation is float:
        is_read = any(isinstance(part, BeforeValidator) for part in metadata)
        return "quantity" if is_read else "number"
    if annotation is str:
        if key in words.LONG:
            return "words"
        return "code" if any(getattr(part, "pattern", None) for part in metadata) else "text"
    plain: dict[Any, Kind] = {bool: "tick", int: "count", date: "date", Decimal: "number"}
    return plain[annotation]


def _printed(default: Any) -> str:
    if default is None:
        return ""
    if isinstance(default, bool):
        return "yes" if default else ""
    return f"{default:.4g}" if isinstance(default, float) else str(default)
