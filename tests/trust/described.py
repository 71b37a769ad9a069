"""Requests made up from the API's own description: no server error, every failure in its one shape.

`python -m tests.trust.described 30` goes on for thirty minutes, with other numbers each round.
"""

import sys
import time
from collections import Counter
from typing import Any

import schemathesis
from hypothesis import HealthCheck, Phase, Verbosity, given, seed, settings
from schemathesis import GenerationMode
from schemathesis.checks import not_a_server_error

from tests.trust.fuzz import served
from tests.trust.kill import Template

MODES = (GenerationMode.POSITIVE, GenerationMode.NEGATIVE)
_SHAPE = {"status", "title", "text", "details", "reference"}


def operations(app: Any, session: str) -> list[Any]:
    """Every method and address that the description names."""
    schema = schemathesis.openapi.from_asgi(
        "/api/openapi.json", app, headers={"cookie": f"session={session}"}
    )
    return [result.ok() for result in schema.get_all_operations()]


def try_operation(
    operation: Any, session: str, mode: GenerationMode, number: int, examples: int, counts: Counter[str]
) -> list[str]:
    """Send so many requests to one operation; gives every find, as what makes it again."""

    @seed(number)
    @settings(
        max_examples=examples,
        database=None,
        deadline=None,
        phases=[Phase.explicit, Phase.generate],
        suppress_health_check=list(HealthCheck),
        verbosity=Verbosity.quiet,
    )
    @given(case=operation.as_strategy(generation_mode=mode))
    def try_one(case: Any) -> None:
        if mode is GenerationMode.POSITIVE and "job_id" in (case.path_parameters or {}):
            # A number drawn from all numbers is hardly ever that of a job there is.
            case.path_parameters["job_id"] = 1 + counts.total() % 3
        answer = case.call(headers={"cookie": f"session={session}"})
        counts[f"{answer.status_code // 100}xx"] += 1
        case.validate_response(answer, checks=[not_a_server_error])
        if answer.status_code >= 400:
            error = answer.json()["error"]
            assert set(error) >= _SHAPE, f"another shape: {error}"
            assert error["status"] == answer.status_code

    try:
        try_one()
    except Exception as find:
        return [f"{operation.method.upper()} {operation.path}, {mode.value}, number {number}: {find!s:.600}"]
    return []


def run(number: int, examples: int, counts: Counter[str], template: Template | None = None) -> list[str]:
    """Try every operation once, with what fits the description and with what does not."""
    finds: list[str] = []
    with served(template) as (browser, session, _):
        for operation in operations(browser.app, session):
            for mode in MODES:
                finds += try_operation(operation, session, mode, number, examples, counts)
    return finds


def main(minutes: float) -> int:
    """Go round until the time is over; prints how much was tried, and the finds."""
    until, counts, finds, number = time.monotonic() + minutes * 60, Counter[str](), [], 0
    while time.monotonic() < until:
        finds += run(number, 60, counts)
        number += 1
    print(f"{number} rounds: " + ", ".join(f"{name} {count:,}" for name, count in sorted(counts.items())))
    print(f"{len(finds)} finds")
    print("\n".join(finds[:100]))
    return bool(finds)


if __name__ == "__main__":
    sys.exit(main(float(sys.argv[1]) if len(sys.argv) > 1 else 1))
