"""Made-up files, texts and requests: whatever comes in, no crash and no server error.

`python -m tests.trust.fuzz 30` runs for thirty minutes and prints how much was tried, `python -m
tests.trust.fuzz parsers 1000000` sends a million inputs to the parsers alone; a find is printed with the
number that makes it again, and becomes a test in test_fuzz.py.
"""

import json
import random
import re
import shutil
import sys
import tempfile
import time
from collections import Counter
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from functools import cache
from pathlib import Path
from typing import Any

from app.job.errors import InputErrors
from app.job.file import read_job, read_job_text
from app.job.photometry import read_photometry
from app.measure import quantities
from app.measure.errors import InputError
from tests.demo import answer, demo_job, document
from tests.trust.corpus import (
    LENGTHS,
    LM_63,
    OTHERS,
    PRICES,
    some_value,
    spoilt_bytes,
    spoilt_document,
    spoilt_text,
)
from tests.trust.kill import VISIT, Template, form, make_template

_REFUSALS = (InputErrors, InputError)
_READERS: tuple[Callable[[object], float], ...] = tuple(
    getattr(quantities, name) for name in quantities.__all__
)


def try_quantity(chance: random.Random) -> None:
    """One typed quantity, to one reader: a finite number or a refusal."""
    text = spoilt_text(LENGTHS + OTHERS, chance)
    value = chance.choice(_READERS)(text)
    assert abs(value) < float("inf"), text


def try_job_text(chance: random.Random) -> None:
    """One job file as text."""
    read_job_text(spoilt_bytes(_job_text(), chance).decode("utf-8", "replace"))


def try_job(chance: random.Random) -> None:
    """One job file as a document."""
    read_job(spoilt_document(document("quay-loft"), chance))


def try_photometry(chance: random.Random) -> None:
    """One LM-63 file."""
    read_photometry(spoilt_text((LM_63,), chance))


def try_dxf(chance: random.Random) -> None:
    """One drawing."""
    from app.drawings.dxf_in import read_dxf

    read_dxf(
        spoilt_bytes(_drawing(), chance).decode("utf-8", "replace"),
        chance.choice(("", "mm", "in", "furlong")),
    )


def try_prices(chance: random.Random) -> None:
    """One price file, CSV or what calls itself XLSX."""
    from app.actions.price_file import numbered_rows

    seed = PRICES.encode() if chance.random() < 0.6 else _workbook()
    list(numbered_rows(spoilt_bytes(seed, chance), "prices"))


PARSERS: dict[str, tuple[Callable[[random.Random], None], int]] = {
    # The second figure: how many inputs for each round, since some are a thousand times quicker.
    "quantities": (try_quantity, 400),
    "job file as text": (try_job_text, 4),
    "job file": (try_job, 4),
    "LM-63": (try_photometry, 100),
    "DXF": (try_dxf, 2),
    "price file": (try_prices, 20),
}


def fuzz_parsers(first: int, rounds: int, counts: Counter[str]) -> list[str]:
    """Try every parser in turn; gives every find with the number that makes it again."""
    finds = []
    for number in range(first, first + rounds):
        for name, (parse, many) in PARSERS.items():
            for step in range(many):
                counts[name] += 1
                try:
                    parse(random.Random(f"{name} {number} {step}"))
                except _REFUSALS:
                    continue
                except Exception as find:
                    finds.append(f"{name} {number} {step}: {type(find).__name__}: {find!s:.300}")
    return finds


@contextmanager
def served(template: Template | None = None) -> Iterator[tuple[Any, str, list[str]]]:
    """The demo behind a test client, somebody signed in; gives client, session and every address."""
    import warnings

    from fastapi import FastAPI

    from app.actions.database import open_database
    from app.documents.proposal import proposal_pdf
    from app.web import routes
    from app.web.rights import RIGHTS

    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        from starlette.testclient import TestClient
    with tempfile.TemporaryDirectory() as folder:
        template = template or make_template(Path(folder))
        copied = shutil.copy(template.path, Path(folder) / "served.sqlite")
        db = open_database(f"sqlite:///{copied}")
        app = FastAPI(docs_url=None, redoc_url=None, openapi_url=None)
        routes.install(app, db, proposal_pdf, is_secure=False)
        browser = TestClient(app, raise_server_exceptions=False, follow_redirects=False)
        for name, value in (("session", template.session), ("visit", VISIT), ("offer", template.offer)):
            browser.cookies.set(name, value)
        # What would sign the fuzzer itself out is left out; it is tried elsewhere.
        out = (
            "/sign-out",
            "/shop/people/sign-out",
            "/me/sessions",
            "/me/password",
            "/me/factor",
            "/shop/people/second-factor",
        )
        yield browser, template.session, [row for row in RIGHTS if not row.endswith(out)]
        db.close()


def one_request(browser: Any, session: str, address: str, chance: random.Random) -> int:
    """Send one made-up request to an address; gives the status."""
    method, _, pattern = address.partition(" ")
    path = re.sub(r"{\w+}", lambda _: _some_id(chance), pattern)
    if chance.random() < 0.2:
        path += "?" + "&".join(f"{word}={_quoted(chance)}" for word in ("page", "search", "next", "said"))
    if method == "GET":
        return int(browser.get(path).status_code)
    if path.startswith("/api/"):
        body = _body(browser, path, chance)
        return int(browser.request(method, path, json=body).status_code)
    bound = browser.cookies["offer"] if path.startswith("/offer") else session
    data = dict(form({}, bound)["data"])
    for name in chance.sample(_FIELDS, k=chance.randint(0, 8)):
        data[name] = str(some_value(chance))[:6000].replace("\ud7ff", "")
    files = {"file": ("a.csv", spoilt_bytes(PRICES.encode(), chance))} if chance.random() < 0.15 else None
    return int(browser.request(method, path, data=data, files=files).status_code)


def fuzz_requests(
    first: int, requests: int, counts: Counter[str], template: Template | None = None
) -> list[str]:
    """Send made-up requests to every address; gives every server error with its number."""
    finds = []
    with served(template) as (browser, session, addresses):
        for number in range(first, first + requests):
            chance = random.Random(number)
            address = addresses[number % len(addresses)]
            status = one_request(browser, session, address, chance)
            counts[f"{status // 100}xx"] += 1
            if status >= 500:
                finds.append(f"request {number}: {address} gave {status}")
    return finds


_FIELDS = (
    "name", "email", "phone", "address", "title", "client", "start", "pasted", "version", "part",
    "document", "what", "role", "password", "on", "why", "crew_code", "start_on", "date", "note",
    "notes", "text", "amount", "count", "item", "pack_price", "price", "from_on", "reason", "consent",
    "fingerprint", "code", "file", "job_id", "id", "link_id", "days_valid", "scope", "key_name",
    "days", "state", "who", "hours_h", "lines", "kind", "body", "subject", "to", "task", "place",
)  # fmt: skip
_IDS = ("1", "2", "3", "0", "-1", "99999999999999999999", "x", "%00", "survey", "outline", "..%2f")


def _some_id(chance: random.Random) -> str:
    return chance.choice(_IDS[:3]) if chance.random() < 0.6 else chance.choice(_IDS)


def _quoted(chance: random.Random) -> str:
    return chance.choice(("1", "-1", "0", "x", "%00", "%ff", "99999999999999999999", "'", "%3Cscript%3E", ""))


def _body(browser: Any, path: str, chance: random.Random) -> Any:
    if chance.random() < 0.5:
        return some_value(chance)
    whole = spoilt_document({"document": document("net-store"), "version": 1, "part": "plan"}, chance)
    if chance.random() < 0.3:
        whole["version"] = some_value(chance)
    return json.loads(json.dumps(whole, allow_nan=True).replace("NaN", "0").replace("Infinity", "0"))


@cache
def _job_text() -> bytes:
    return json.dumps(document("net-store")).encode()


@cache
def _drawing() -> bytes:
    from app.drawings.dxf_out import plan_dxf

    return plan_dxf(demo_job("net-store"), answer("net-store").takeoff).encode()


@cache
def _workbook() -> bytes:
    from datetime import date

    from app.actions.price_file import as_xlsx
    from tests.demo import prices

    return as_xlsx(prices().items[:3], date(2026, 5, 4))


def main_of_parsers(inputs: int) -> int:
    """Send so many inputs to the parsers alone."""
    counts, finds, number = Counter[str](), [], 0
    while counts.total() < inputs:
        finds += fuzz_parsers(number, 20, counts)
        number += 20
    return told(counts, finds)


def told(counts: Counter[str], finds: list[str]) -> int:
    """Print how much was tried and what was found; gives 1 when anything was."""
    print(", ".join(f"{name} {count:,}" for name, count in sorted(counts.items())))
    print(f"{counts.total():,} in all, {len(finds)} finds")
    print("\n".join(finds[:200]))
    return bool(finds)


def main(minutes: float) -> int:
    """Try parsers and requests in turn until the time is over."""
    until, counts, finds, number = time.monotonic() + minutes * 60, Counter[str](), [], 0
    while time.monotonic() < until:
        finds += fuzz_parsers(number, 40, counts)
        finds += fuzz_requests(number * 25, 1000, counts)
        number += 40
    return told(counts, finds)


if __name__ == "__main__":
    if sys.argv[1:2] == ["parsers"]:
        sys.exit(main_of_parsers(int(sys.argv[2])))
    sys.exit(main(float(sys.argv[1]) if len(sys.argv) > 1 else 1))
