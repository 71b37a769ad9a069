"""A short run of the fuzzer, and what long runs found; the long run is `python -m tests.trust.fuzz 30`."""

import random
from collections import Counter
from contextlib import suppress

import pytest

from app.job.errors import InputErrors
from app.measure.errors import InputError
from tests.trust.fuzz import PARSERS, fuzz_parsers, fuzz_requests, served
from tests.trust.kill import Template


def test_spoilt_input_is_read_or_refused_and_never_crashes_a_parser() -> None:
    counts = Counter[str]()
    assert fuzz_parsers(1_000_000, 8, counts) == []
    assert counts["quantities"] == 3200


@pytest.mark.parametrize(
    ("name", "number", "step"),
    [("DXF", 10041, 0), ("price file", 10095, 3), ("price file", 10104, 8)],
    ids=["a polyline without corners", "a part of a zip version to come", "another"],
)
def test_what_a_long_run_found_is_refused_or_read_now(name: str, number: int, step: int) -> None:
    parse, _ = PARSERS[name]
    with suppress(InputError, InputErrors):
        parse(random.Random(f"{name} {number} {step}"))


@pytest.mark.xdist_group("kill")
def test_made_up_requests_to_every_address_make_no_server_error(template: Template) -> None:
    counts = Counter[str]()
    assert fuzz_requests(1_000_000, 200, counts, template) == []
    assert counts["2xx"] > 20
    assert counts["4xx"] > 20


@pytest.mark.xdist_group("kill")
def test_a_number_greater_than_any_of_a_database_leads_nowhere(template: Template) -> None:
    with served(template) as (browser, _, _):
        for path in (
            "/jobs/99999999999999999999/plan",
            "/jobs/-99999999999/plan",
            "/shop/imports/2147483648",
        ):
            assert browser.get(path).status_code == 404, path
