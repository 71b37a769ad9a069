"""The demo job as a document that a test may change at one place."""

import copy
import json
import re
from functools import cache
from pathlib import Path
from typing import Any

JOBS = Path(__file__).parents[2] / "seed_data" / "jobs"
LEAVE_OUT = object()


@cache
def _demo_text() -> str:
    return (JOBS / "harbour-workshop.json").read_text(encoding="utf-8")


def demo() -> dict[str, Any]:
    """A fresh copy of the demo job's document."""
    return dict(json.loads(_demo_text()))


def steps(path: str) -> list[str | int]:
    """``plan.fixtures[0].least`` as keys and numbers."""
    return [int(n) if n else key for key, n in re.findall(r"([^.\[\]]+)|\[(\d+)\]", path)]


def at(document: Any, path: str) -> Any:
    """What stands at a path."""
    for step in steps(path):
        document = document[step]
    return document


def changed(path: str, value: Any) -> dict[str, Any]:
    """The demo with one value put in, added at the end of a list (``[+]``), or left out."""
    document = demo()
    if path.endswith("[+]"):
        at(document, path.removesuffix("[+]")).append(copy.deepcopy(value))
        return document
    *way, last = steps(path)
    place: Any = document
    for step in way:
        place = place[step]
    if value is LEAVE_OUT:
        del place[last]
    else:
        place[last] = copy.deepcopy(value)
    return document
