"""What each kind of thing on the board can be told, and the reading of what was typed for it."""

from collections.abc import Mapping, Sequence
from functools import cache
from typing import Annotated, Any, get_args

from pydantic import TypeAdapter, ValidationError

from app.job.errors import InputErrors
from app.job.plan import Plan
from app.job.record import Record, key_in_job_file
from app.job.survey import Survey
from app.job.wording import errors_of
from app.measure.errors import InputError
from app.measure.lengths import read_mm
from app.measure.services import read_deg
from app.web.forms.asks import Ask, asks_of
from app.web.forms.words import one

_STEMS: Mapping[str, type[Record]] = {"survey": Survey, "plan": Plan}
_MOST_ROWS = 400


@cache
def kinds() -> dict[str, type[Record]]:
    """Every list of things that have an id, by its place: ``plan.planters`` → Planter."""
    found: dict[str, type[Record]] = {}
    for stem, record in _STEMS.items():
        for name, field in record.model_fields.items():
            inner = next(iter(get_args(_plain(field.annotation))), None)
            if isinstance(inner, type) and issubclass(inner, Record) and "id" in inner.model_fields:
                found[f"{stem}.{key_in_job_file(name)}"] = inner
    return found


def fields_json() -> dict[str, Any]:
    """The single values of every kind, as the panel asks them."""
    return {
        place: {
            "word": one(place.partition(".")[2]),
            "fields": [_field(ask) for ask in asks_of(record) if isinstance(ask, Ask)],
        }
        for place, record in kinds().items()
    }


def read_values(place: str, values: Mapping[str, Any]) -> dict[str, Any]:
    """Read what was typed for some fields of one kind; InputErrors with each fault under its key."""
    record = kinds().get(place)
    if record is None:
        raise InputErrors((InputError(place, place, "There is no such kind of thing on the board."),))
    read: dict[str, Any] = {}
    faults: list[InputError] = []
    by_key = {key_in_job_file(name): name for name in record.model_fields}
    for key, typed in values.items():
        if key not in by_key:
            faults.append(InputError(key, typed, f"There is no {key} here."))
            continue
        field = record.model_fields[by_key[key]]
        if typed == "" and not field.is_required():
            read[key] = field.get_default(call_default_factory=True)
            continue
        try:
            read[key] = _adapter(record, by_key[key]).validate_python(typed)
        except ValidationError as wrong:
            faults += [InputError(key, typed, fault.wanted) for fault in errors_of(wrong)]
    if faults:
        raise InputErrors(tuple(faults))
    return read


def read_rows(columns: Sequence[str], rows: Sequence[Sequence[Any]]) -> list[list[float]]:
    """Read rows of lengths (``mm``) and angles (``deg``); a row may stop short. InputErrors by row."""
    if len(rows) > _MOST_ROWS:
        raise InputErrors((InputError("rows", len(rows), f"At most {_MOST_ROWS} rows are read at once."),))
    faults: list[InputError] = []
    read: list[list[float]] = []
    for number, row in enumerate(rows, 1):
        if len(row) > len(columns):
            wanted = f"Row {number} has {len(row)} values; at most {len(columns)} are wanted."
            faults.append(InputError(f"rows[{number - 1}]", list(row), wanted))
            continue
        values = []
        for column, typed in zip(columns, row, strict=False):
            try:
                values.append(read_deg(typed) if column == "deg" else read_mm(typed))
            except InputError as fault:
                faults.append(InputError(f"rows[{number - 1}]", typed, f"Row {number}: {fault.wanted}"))
        read.append(values)
    if faults:
        raise InputErrors(tuple(faults))
    return read


@cache
def _adapter(record: type[Record], name: str) -> TypeAdapter[Any]:
    field = record.model_fields[name]
    annotation: Any = field.annotation
    for part in field.metadata:
        annotation = Annotated[annotation, part]
    return TypeAdapter(annotation)


def _plain(annotation: Any) -> Any:
    """An annotation without its outer Annotated."""
    return get_args(annotation)[0] if hasattr(annotation, "__metadata__") else annotation


def _field(ask: Ask) -> dict[str, Any]:
    return {
        "key": ask.key,
        "label": ask.label,
        "hint": ask.hint,
        "unit": ask.unit,
        "kind": ask.kind,
        "is_needed": ask.is_needed,
        "default": ask.default,
        "options": list(ask.options),
        "refs": list(ask.refs),
    }
