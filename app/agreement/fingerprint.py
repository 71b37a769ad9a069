"""The fingerprint of a frozen answer: one text for one meaning, and its SHA-256."""

import json
from collections.abc import Mapping
from dataclasses import fields, is_dataclass
from datetime import UTC, date, datetime
from decimal import Decimal
from hashlib import sha256
from math import isfinite

from pydantic import BaseModel


def canonical_json(value: object) -> str:
    """Give the one JSON text of a record.

    Parameters
    ----------
    value : object
        Frozen records, job-file records, mappings with text keys, tuples, lists, text, numbers, days.

    Returns
    -------
    text : str
        Keys sorted, no white space, all characters beyond ASCII escaped.

    Raises
    ------
    TypeError
        If something in it has no settled form, such as a function; the message names its place.
    ValueError
        If a number is not finite, or an instant has no time zone.

    Notes
    -----
    Money (Decimal) becomes text without trailing zeros, so 12.50 and 12.5 are the same sum. Floats are
    written with the fewest digits that read back the same, and −0 as 0. Days are written 2026-05-01,
    instants in UTC to the microsecond. Tuples and lists are the same; the name of a record does not count.

    Examples
    --------
    >>> canonical_json({"b": Decimal("12.50"), "a": (1.0, date(2026, 5, 1))})
    '{"a":[1.0,"2026-05-01"],"b":"12.5"}'

    References
    ----------
    RFC 8259 for JSON; the rest by definition, after the idea of RFC 8785.
    """
    plain = _plain(value, "")
    return json.dumps(plain, sort_keys=True, separators=(",", ":"), ensure_ascii=True, allow_nan=False)


def fingerprint(value: object) -> str:
    """Give the fingerprint of a record.

    Parameters
    ----------
    value : object
        As for `canonical_json`.

    Returns
    -------
    digest : str
        SHA-256 of its canonical JSON, in hex.

    References
    ----------
    FIPS 180-4.
    """
    return fingerprint_of_text(canonical_json(value))


def fingerprint_of_text(text: str) -> str:
    """Give the fingerprint of a stored text.

    Parameters
    ----------
    text : str
        Canonical JSON as it was stored.

    Returns
    -------
    digest : str
        SHA-256 of its UTF-8 bytes, in hex.

    Examples
    --------
    >>> fingerprint_of_text("abc")[:16]
    'ba7816bf8f01cfea'

    References
    ----------
    FIPS 180-4; the example is its own.
    """
    return sha256(text.encode()).hexdigest()


def _plain(value: object, path: str) -> object:
    """Give a value in the few forms that JSON knows."""
    if value is None or isinstance(value, bool | str | int):
        return value
    if isinstance(value, float):
        return _float(value, path)
    if isinstance(value, Decimal):
        return _decimal(value, path)
    if isinstance(value, datetime | date):
        return _time(value, path)
    return _whole(value, path)


def _whole(value: object, path: str) -> object:
    """Give something made of parts in the forms that JSON knows."""
    if isinstance(value, BaseModel):
        return {name: _plain(getattr(value, name), f"{path}.{name}") for name in type(value).model_fields}
    if is_dataclass(value) and not isinstance(value, type):
        names = [field.name for field in fields(value)]
        return {name: _plain(getattr(value, name), f"{path}.{name}") for name in names}
    if isinstance(value, Mapping):
        return {_key(key, path): _plain(part, f"{path}.{key}") for key, part in value.items()}
    if isinstance(value, tuple | list):
        return [_plain(part, f"{path}[{number}]") for number, part in enumerate(value)]
    raise TypeError(f"{path or 'the value'} is of {type(value).__name__}, which has no settled form.")


def _float(value: float, path: str) -> float:
    """Give a finite float, without a negative zero."""
    if not isfinite(value):
        raise ValueError(f"{path or 'the value'} is {value}, which is no number.")
    return value + 0.0


def _decimal(value: Decimal, path: str) -> str:
    """Give a Decimal as plain text without trailing zeros."""
    if not value.is_finite():
        raise ValueError(f"{path or 'the value'} is {value}, which is no number.")
    text = f"{value:f}"
    text = text.rstrip("0").rstrip(".") if "." in text else text
    return "0" if text in ("-0", "") else text


def _time(value: datetime | date, path: str) -> str:
    """Give a day, or an instant in UTC."""
    if not isinstance(value, datetime):
        return value.isoformat()
    if value.tzinfo is None:
        raise ValueError(f"{path or 'the value'} is an instant without a time zone.")
    return value.astimezone(UTC).isoformat(timespec="microseconds")


def _key(key: object, path: str) -> str:
    """Give the key of a mapping, which must be text."""
    if not isinstance(key, str):
        raise TypeError(f"{path or 'the value'} has the key {key!r}, which is no text.")
    return key
