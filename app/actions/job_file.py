"""The job file as it is kept, and what differs between two of them."""

import json
from typing import Any


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
