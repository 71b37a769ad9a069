"""Plain forms that belong to no record of the job file: sign-in, client, price, entry."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from decimal import Decimal, InvalidOperation

from starlette.datastructures import FormData

from app.web.forms.drawn import Field, field_id


@dataclass(frozen=True, slots=True)
class Entry:
    """One field of a plain form; `fill` is the browser's autocomplete word."""

    name: str
    label: str
    shape: str = "text"
    hint: str = ""
    unit: str = ""
    is_needed: bool = True
    fill: str = "off"
    options: tuple[tuple[str, str], ...] = ()


def draw(
    entries: tuple[Entry, ...], values: Mapping[str, str], faults: Mapping[str, str]
) -> tuple[Field, ...]:
    """The fields with what stands in them; a secret is never drawn back."""
    return tuple(
        Field(
            name=entry.name,
            id=field_id(entry.name),
            label=entry.label,
            hint=entry.hint,
            unit=entry.unit,
            shape=entry.shape,
            value="" if entry.shape == "secret" else values.get(entry.name, ""),
            options=entry.options or ((entry.fill, ""),),
            fault=faults.get(entry.name, ""),
        )
        for entry in entries
    )


def typed(entries: tuple[Entry, ...], form: FormData, most: int = 4000) -> dict[str, str]:
    """What was typed into the fields, trimmed (a secret is kept as it is)."""
    values = {}
    for entry in entries:
        raw = str(form.get(entry.name) or "")[:most]
        values[entry.name] = raw if entry.shape == "secret" else raw.replace("\r\n", "\n").strip()
    return values


def missing(entries: tuple[Entry, ...], values: Mapping[str, str]) -> dict[str, str]:
    """A fault for every needed field left blank."""
    return {
        entry.name: f"Enter {entry.label[:1].lower()}{entry.label[1:]}"
        for entry in entries
        if entry.is_needed and not values.get(entry.name)
    }


def as_day(text: str) -> date | None:
    """A day typed as 2026-11-25, or None."""
    try:
        return date.fromisoformat(text.strip())
    except ValueError:
        return None


def as_decimal(text: str) -> Decimal | None:
    """An amount, with thousands and currency signs let through, or None."""
    plain = text.strip().lstrip("$€£").replace(" ", "").replace("\u00a0", "")
    if plain.count(",") == 1 and "." not in plain and len(plain.rpartition(",")[2]) <= 2:
        plain = plain.replace(",", ".")
    try:
        value = Decimal(plain.replace(",", ""))
    except InvalidOperation:
        return None
    return value if value.is_finite() and abs(value) < Decimal(10) ** 12 else None
