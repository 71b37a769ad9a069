"""The JSON API: the job file out and in, everything computed, one shape for every error."""

from decimal import Decimal

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


@pytest.mark.parametrize("path", ["/api/jobs/999", "/api/jobs/999/price", "/api/nothing", "/api/jobs/x"])
def test_errors_have_one_shape(staff: PageClient, path: str) -> None:
    answer = staff.browser.get(path)
    assert answer.status_code == 404
    assert set(answer.json()) == {"error"}
    assert set(answer.json()["error"]) == {"status", "title", "text", "details", "reference"}


def test_nobody_reads_the_api_without_signing_in(visitor: PageClient) -> None:
    answer = visitor.browser.get(f"/api/jobs/{HARBOUR}")
    assert answer.status_code == 401
    assert answer.json()["error"]["title"] == "Sign in"
