"""The log and the figures: no secret stands in either. Source: OWASP ASVS 5.0.0, 16.2.5 and 16.4.1."""

import json
import logging
from collections.abc import Iterator

import pytest

from app.web import watching
from tests.web.conftest import Server
from tests.web.page_client import PageClient

_SECRET = "Jq7cDk2sYv9pWm4xRt6bNz1hLf3gUe8aTo5iXw0yQeA"


class Kept(logging.Handler):
    def __init__(self) -> None:
        super().__init__()
        self.lines: list[str] = []
        self.setFormatter(watching.JsonLines())

    def emit(self, record: logging.LogRecord) -> None:
        self.lines.append(self.format(record))


@pytest.fixture
def kept() -> Iterator[Kept]:
    handler, logger = Kept(), logging.getLogger("upstand")
    level = logger.level
    logger.addHandler(handler)
    logger.setLevel(logging.INFO)
    yield handler
    logger.removeHandler(handler)
    logger.setLevel(level)


@pytest.fixture
def watched(server: Server) -> PageClient:
    watching.install(server.app, "")
    return server.staff()


def test_a_line_names_the_pattern_and_no_secret_of_a_request(
    watched: PageClient, kept: Kept, monkeypatch: pytest.MonkeyPatch
) -> None:
    def fail(*_: object) -> None:
        raise RuntimeError("cause")

    browser = watched.browser
    for path in (
        f"/s/{_SECRET}",
        f"/h/{_SECRET}",
        f"/feeds/{_SECRET}.ics",
        "/jobs/1/plan",
        "/jobs?x=" + _SECRET,
    ):
        browser.get(path)
    monkeypatch.setattr("app.web.client_link.exchange", fail)
    browser.get(f"/s/{_SECRET}")
    browser.get("/api/jobs/1", headers={"authorization": f"Bearer {_SECRET}"})
    browser.post("/sign-in", data={"email": "ada@example.org", "password": _SECRET})
    lines = [json.loads(line) for line in kept.lines]
    assert not [line for line in kept.lines if _SECRET in line]
    routes = {line.get("route") for line in lines}
    assert {"/s/{token}", "/h/{token}", "/feeds/{token}.ics", "/jobs/{job_id}/plan"} <= routes
    assert any(line["level"] == "error" and "RuntimeError" in line["trace"] for line in lines)
    assert next(line for line in lines if line.get("route") == "/jobs/{job_id}/plan")["who"] == 1


def test_what_was_refused_leaves_a_line_without_what_was_typed(server: Server, kept: Kept) -> None:
    crew = server.in_role("crew")
    crew.browser.get("/shop/people")
    visitor = server.visitor()
    typed = {"email": "mallory@example.org", "password": _SECRET}
    for _ in range(9):
        visitor.browser.post("/sign-in", data={**visitor.get("/sign-in").fields("/sign-in"), **typed})
    visitor.browser.post("/sign-in", data=typed, headers={"sec-fetch-site": "cross-site"})
    text = "\n".join(kept.lines)
    for words in ("not for this role", "wrong guess, sign-in", "too many wrong guesses", "another origin"):
        assert words in text, words
    assert "GET /shop/people" in text
    assert not [hidden for hidden in (_SECRET, "mallory") if hidden in text]


def test_a_value_cannot_forge_a_line(kept: Kept) -> None:
    logging.getLogger("upstand.web").error('a\n{"level": "info"}')
    assert len(kept.lines) == 1
    assert "\n" not in kept.lines[0]


def test_the_figures_count_answers_by_pattern(watched: PageClient) -> None:
    watched.browser.get("/jobs")
    watched.browser.request("BREW", "/jobs")
    # The test client calls itself by a name that is no address of this machine.
    assert watched.browser.get("/metrics").status_code == 404


@pytest.mark.parametrize(
    ("token", "headers", "status"),
    [
        ("", {}, 200),
        ("", {"x-forwarded-for": "10.0.0.1"}, 404),
        ("", {"forwarded": "for=10.0.0.1"}, 404),
        ("tok", {}, 404),
        ("tok", {"authorization": "Bearer wrong"}, 404),
        ("tok", {"authorization": "Bearer tok", "x-forwarded-for": "10.0.0.1"}, 200),
    ],
)
def test_figures_are_for_this_machine_or_for_the_token(
    server: Server, token: str, headers: dict[str, str], status: int
) -> None:
    from tests.web.page_client import TestClient

    watching.install(server.app, token)
    browser = TestClient(server.app, client=("127.0.0.1", 5000))
    browser.get("/sign-in")
    answer = browser.get("/metrics", headers=headers)
    assert answer.status_code == status
    if status == 200:
        assert 'upstand_requests_total{method="GET",route="/sign-in",status="200"} 1.0' in answer.text
        assert "upstand_requests_under_way" in answer.text
