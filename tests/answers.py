"""Writes shared/schema/ANSWERS.md from the records: `python -m tests.answers` after a record has changed."""

import dataclasses
import inspect
import json
import typing
from pathlib import Path

from app.job.schema import schema
from app.pricing.records import Estimate
from app.schedule.records import DayPlan
from app.takeoff.chain import Takeoff

ANSWERS = Path(__file__).parents[1] / "shared" / "schema" / "ANSWERS.md"
HEAD = """# The machine-readable answers

What `upstand takeoff`, `upstand price` and `upstand days` print with `--json`: one JSON object each.

Every answer has `answer` (`takeoff`, `price` or `days`), `version` (of this form: 1) and `job` (`id`, `title`, `units`, `currency` of the job file). `price` and `days` have `prices`: `prices.from` says whose they are, `prices.as_of` (price only) of which day. Keys may be added without a new version; none is renamed or removed without one.

Ids are those of the job file, or begin with them. A number carries its unit at the end of its key (`length_mm`, `mass_kg`, `hours_h`), whatever the job's own system. Money and exact amounts are text (`"24.60"`), so that no digit is lost; days are ISO 8601; a pair is a list of two; None is `null`. `[]` marks a list.

A job file that cannot be read gives exit code 2, nothing on standard output, and on standard error `{"answer": "refusal", "version": 1, "faults": [{"path", "value", "wanted"}]}`.
"""  # noqa: E501

Rows = list[tuple[str, str]]


def document() -> str:
    """Give the whole document."""
    parts = {"takeoff": _takeoff_rows(), "price": _rows(Estimate), "days": _rows(DayPlan)}
    tables = (
        f"## {name}\n\n| key | what it says |\n| --- | --- |\n{_lines(rows)}\n"
        for name, rows in parts.items()
    )
    return HEAD + "\n" + "\n".join(tables)


def keys_of(value: object, path: str = "") -> set[str]:
    """Give every key of an answer, as the document writes it."""
    if isinstance(value, dict):
        return {
            found
            for key, inner in value.items()
            for found in {f"{path}{key}"} | keys_of(inner, f"{path}{key}.")
        }
    if isinstance(value, list):
        return {found for inner in value for found in keys_of(inner, f"{path[:-1]}[].")} if path else set()
    return set()


def _takeoff_rows() -> Rows:
    hints = typing.get_type_hints(Takeoff)
    rows = [("roof", "The roof as the engine sees it.")]
    rows += [row for row in _rows(hints["roof"], "roof.") if not row[0].startswith(_GATHERED_OF_ROOF)]
    for room in ("layout", "framing", "rough_in", "totals"):
        rows += [row for row in _rows(hints[room]) if not row[0].startswith(_GATHERED)]
    return rows + [row for row in _rows(Takeoff) if row[0].startswith(_GATHERED)]


_GATHERED = ("findings", "assumptions")
_GATHERED_OF_ROOF = ("roof.findings", "roof.assumptions")


def _rows(record: type, prefix: str = "") -> Rows:
    """Give a row for each field of a record and of the records in it."""
    words, hints = _words(record), typing.get_type_hints(record)
    rows: Rows = []
    for field in dataclasses.fields(record):
        hint = hints[field.name]
        if "Callable" in str(hint):
            continue
        inner = _record_in(hint)
        mark = "[]" if inner and "tuple[" in str(hint) else ""
        rows.append((f"{prefix}{field.name}{mark}", words.get(field.name, "")))
        if inner:
            rows += _rows(inner, f"{prefix}{field.name}{mark}.")
    return rows


def _record_in(hint: object) -> type | None:
    if isinstance(hint, type) and dataclasses.is_dataclass(hint):
        return hint
    return next((found for part in typing.get_args(hint) if (found := _record_in(part))), None)


def _words(record: type) -> dict[str, str]:
    """Give what a record's docstring says of each attribute."""
    body = (inspect.getdoc(record) or "").partition("Attributes\n----------\n")[2]
    words: dict[str, str] = {}
    names: list[str] = []
    for line in body.splitlines():
        if line and not line.startswith(" "):
            names = [name.strip() for name in line.partition(" : ")[0].split(",")]
        else:
            words |= {name: f"{words.get(name, '')} {line.strip()}".strip() for name in names}
    return words


def _lines(rows: Rows) -> str:
    return "\n".join(f"| `{key}` | {text.replace('|', '/')} |" for key, text in rows)


if __name__ == "__main__":
    ANSWERS.write_text(document(), encoding="utf-8")
    form = json.dumps(schema(), indent=2, ensure_ascii=False) + "\n"
    ANSWERS.with_name("job-file-v1.schema.json").write_text(form, encoding="utf-8")
