"""The JSON API: the job file out and in, everything computed, one shape for every error."""

from decimal import Decimal
from typing import Any

import pytest

from app.actions.takeoff import work_out
from tests.web.conftest import HARBOUR, NOW, Server
from tests.web.page_client import PageClient


def test_a_job_file_goes_out_and_comes_back(staff: PageClient) -> None:
    got = staff.browser.get(f"/api/jobs/{HARBOUR}").json()
    got["document"]["notes"] = "sent by a program"
    body = {"version": got["version"], "document": got["document"]}
    put = staff.browser.put(f"/api/jobs/{HARBOUR}", json=body).json()
    assert put["version"] == got["version"] + 1
    assert staff.browser.get(f"/api/jobs/{HARBOUR}").json()["document"]["notes"] == "sent by a program"


def test_a_stale_job_file_gets_both_versions_back(staff: PageClient) -> None:
    got = staff.browser.get(f"/api/jobs/{HARBOUR}").json()
    body = {"version": got["version"], "document": {**got["document"], "notes": "first"}}
    staff.browser.put(f"/api/jobs/{HARBOUR}", json=body)
    body["document"] = {**got["document"], "notes": "second"}
    late = staff.browser.put(f"/api/jobs/{HARBOUR}", json=body)
    assert late.status_code == 409
    error = late.json()["error"]
    assert error["theirs_version"] == got["version"] + 1
    assert "second" in str(error["yours"])


def test_faults_come_back_with_their_paths(staff: PageClient) -> None:
    got = staff.browser.get(f"/api/jobs/{HARBOUR}").json()
    got["document"]["survey"]["drains"][0]["x"] = "far"
    body = {"version": got["version"], "document": got["document"]}
    answer = staff.browser.put(f"/api/jobs/{HARBOUR}", json=body)
    assert answer.status_code == 422
    assert answer.json()["error"]["faults"][0]["path"] == "survey.drains[0].x"
    empty = staff.browser.put(f"/api/jobs/{HARBOUR}", json={})
    assert {fault["path"] for fault in empty.json()["error"]["faults"]} == {"version", "document"}


def test_takeoff_price_and_days_are_those_of_the_engine(server: Server, staff: PageClient) -> None:
    answer = work_out(server.db, HARBOUR, NOW.date()).answer
    price = staff.browser.get(f"/api/jobs/{HARBOUR}/price").json()
    assert Decimal(price["total"]) == answer.estimate.total
    assert sum(Decimal(line["cost"]) for line in price["lines"]) == sum(
        line.cost for line in answer.estimate.lines
    )
    takeoff = staff.browser.get(f"/api/jobs/{HARBOUR}/takeoff").json()
    assert len(takeoff["layout"]["pieces"]) == len(answer.takeoff.layout.pieces)
    days = staff.browser.get(f"/api/jobs/{HARBOUR}/days").json()
    assert days["end_on"] == answer.days.end_on.isoformat()


_JSON = {"content-type": "application/json"}


@pytest.mark.parametrize(
    ("method", "path", "sent", "status"),
    [
        ("GET", "/api/jobs/999", {}, 404),
        ("GET", "/api/jobs/999/price", {}, 404),
        ("GET", "/api/nothing", {}, 404),
        ("GET", "/api/jobs/x", {}, 404),
        ("DELETE", "/api/jobs/1", {"headers": _JSON}, 405),
        ("PUT", "/api/jobs/1", {"content": b"{bad", "headers": _JSON}, 422),
        ("PUT", "/api/jobs/1", {"content": b"\xff", "headers": _JSON}, 400),
        ("PUT", "/api/jobs/1", {"content": b"[" * 100_000, "headers": _JSON}, 400),
        ("PUT", "/api/jobs/1", {"json": []}, 422),
        ("PUT", "/api/jobs/1", {"json": {"version": "1", "document": {}}}, 422),
        ("PUT", "/api/jobs/1", {"json": {"version": 99, "document": {}}}, 409),
        ("PUT", "/api/jobs/1", {"content": b" " * 4_000_001, "headers": _JSON}, 413),
        ("PUT", "/api/jobs/1", {"content": b"{}", "headers": {"content-type": "text/plain"}}, 403),
        ("POST", "/api/jobs/1/notes", {"json": {"on": "soon"}}, 422),
        ("POST", "/api/jobs/1/board/read", {"json": {"rows": 1}}, 422),
    ],
)
def test_errors_have_one_shape(
    staff: PageClient, method: str, path: str, sent: dict[str, Any], status: int
) -> None:
    answer = staff.browser.request(method, path, **sent)
    assert answer.status_code == status
    assert set(answer.json()) == {"error"}
    error = answer.json()["error"]
    assert set(error) - {"faults", "theirs", "theirs_version", "yours"} == {
        "status",
        "title",
        "text",
        "details",
        "reference",
    }
    assert error["status"] == status


def test_what_is_unforeseen_has_the_same_shape_and_a_reference(
    staff: PageClient, monkeypatch: pytest.MonkeyPatch
) -> None:
    def fail(*_: object) -> None:
        raise RuntimeError("secret cause")

    monkeypatch.setattr("app.web.api.job_sheet", fail)
    answer = staff.browser.get("/api/jobs/1")
    assert answer.status_code == 500
    assert answer.json()["error"]["reference"]
    assert "secret" not in answer.text


def test_nobody_reads_the_api_without_signing_in(visitor: PageClient) -> None:
    answer = visitor.browser.get(f"/api/jobs/{HARBOUR}")
    assert answer.status_code == 401
    assert answer.json()["error"]["title"] == "Sign in"
