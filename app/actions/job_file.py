"""The job file as text, and what differs between two of them."""

import json
from typing import Any

from app.job.errors import InputErrors
from app.job.job import Job
from app.job.read import read_job
from app.measure.errors import InputError


def read_document(document: object) -> Job:
    """Give the job a document holds; InputErrors with every fault."""
    return read_job(document)


def read_text(text: str, path: str) -> dict[str, Any]:
    """Give the document in a text; InputErrors when it is not JSON, or not an object."""
    try:
        document = json.loads(text, parse_constant=_refuse_constant)
    except ValueError as fault:
        raise InputErrors([InputError(path, text[:40], f"Not JSON: {fault}.")]) from fault
    if not isinstance(document, dict):
        wanted = "A job file is one JSON object with survey, plan and choices."
        raise InputErrors([InputError(path, type(document).__name__, wanted)])
    return document


def as_text(document: dict[str, Any]) -> str:
    """Write a document as it is kept: keys and values as typed."""
    return json.dumps(document, ensure_ascii=False, allow_nan=False, separators=(",", ":"))


def changed_paths(old: Any, new: Any, path: str = "") -> list[str]:
    """List where two documents differ; things in a list are known by their ids."""
    if isinstance(old, dict) and isinstance(new, dict):
        keys = [*old, *(key for key in new if key not in old)]
        return [
            found
            for key in keys
            for found in changed_paths(old.get(key), new.get(key), _join(path, str(key)))
        ]
    by_id = _by_id(old), _by_id(new)
    if by_id[0] is not None and by_id[1] is not None and (old or new):
        return changed_paths(by_id[0], by_id[1], path) or ([path] if old != new else [])
    return [] if old == new else [path or "everything"]


def _by_id(value: Any) -> dict[str, Any] | None:
    """Give a list of things by their ids, or None when it is no such list."""
    if not isinstance(value, list) or not all(isinstance(thing, dict) and "id" in thing for thing in value):
        return None
    return {str(thing["id"]): thing for thing in value}


def _join(path: str, key: str) -> str:
    return f"{path}.{key}" if path else key


def _refuse_constant(name: str) -> float:
    raise ValueError(f"{name} is no number")
