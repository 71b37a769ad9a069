"""Route × role, tried over HTTP for every address. Source: OWASP ASVS 5.0.0, 8.2.1 and 8.3.1."""

import re

import pytest
from fastapi.routing import APIRoute

from app.web.rights import RIGHTS, may
from app.web.routes import _ROOMS
from tests.web.conftest import HARBOUR, Server
from tests.web.page_client import PageClient

_VALUES = {
    "job_id": str(HARBOUR),
    "client_id": "1",
    "stem": "survey",
    "name": "outline",
    "kind": "csv",
    "item": "SCREW-DECK",
    "on": "2026-06-15",
}
_REACH = {
    "nobody": set(),
    "client": set(),
    "crew": {"crew"},
    "office": {"crew", "office"},
    "owner": {"crew", "office", "owner"},
}


def _addresses() -> list[str]:
    return sorted(
        f"{method} {route.path}"
        for room in _ROOMS
        for route in room.router.routes
        if isinstance(route, APIRoute)
        for method in route.methods
    )


def _filled(path: str) -> str:
    return re.sub(r"{(\w+)}", lambda found: _VALUES.get(found[1], "1"), path)


def test_every_address_has_its_row_and_no_row_is_left_over() -> None:
    assert sorted(RIGHTS) == _addresses()


def _who(server: Server, who: str) -> PageClient:
    if who in ("crew", "office"):
        return server.in_role(who)  # type: ignore[arg-type]
    browser = server.staff() if who == "owner" else server.visitor()
    if who == "client":
        browser.browser.get(f"/s/{server.account.client_token}")
    return browser


def _ask(browser: PageClient, address: str, token: str) -> tuple[int, str]:
    method, _, path = address.partition(" ")
    if method != "GET" and path.startswith("/api/"):
        answer = browser.browser.request(method, _filled(path), json={}, follow_redirects=False)
    elif method != "GET":
        answer = browser.browser.request(
            method, _filled(path), data={"form_token": token}, follow_redirects=False
        )
    else:
        answer = browser.browser.get(_filled(path), follow_redirects=False)
    return answer.status_code, answer.headers.get("location", "") + answer.text


@pytest.mark.parametrize("who", ["nobody", "client", "crew", "office"])
def test_whoever_may_not_is_turned_away_from_every_address(server: Server, who: str) -> None:
    browser = _who(server, who)
    token = browser.get("/me" if who in ("crew", "office") else "/sign-in").token
    tried = 0
    for address, right in RIGHTS.items():
        if right in ("anyone", "client") or right in _REACH[who]:
            continue
        tried += 1
        status, said = _ask(browser, address, token)
        if who in ("crew", "office"):
            assert status == 403, address
            assert "Not for your role" in said, address
        elif address.split(" ")[1].startswith("/api/"):
            assert status == 401, address
        else:
            assert status == 303, address
            assert said.startswith("/sign-in"), address
    assert tried > 10


@pytest.mark.parametrize("who", ["crew", "office"])
def test_whoever_may_is_let_in_everywhere(server: Server, who: str) -> None:
    browser = _who(server, who)
    for address, right in RIGHTS.items():
        if right not in _REACH[who] or not address.startswith("GET "):
            continue
        if who == "office" and right == "crew":
            continue  # the crew has been there
        status, said = _ask(browser, address, "")
        assert status in (200, 303, 404), f"{address}: {status}"
        assert not said.startswith("/sign-in"), address


def test_the_crew_sees_no_amount_of_money_on_any_page_of_its_own(server: Server) -> None:
    browser = _who(server, "crew")
    for address, right in RIGHTS.items():
        if right == "crew" and address.startswith("GET ") and not address.endswith((".pdf", ".dxf", ".jpg")):
            _, said = _ask(browser, address, "")
            # What the lights cost a year in electricity is no price of ours.
            said = re.sub(r"kWh a year, \S+", "", said)
            assert not re.search(r"[$€£]\s?\d", said), address


def test_a_person_whose_first_password_stands_only_changes_it(server: Server) -> None:
    from app.store.models import StaffRow

    browser = _who(server, "office")
    with server.db.write() as session:
        session.query(StaffRow).filter(StaffRow.email == "office@example.org").update({"must_change": True})
    assert browser.get("/jobs").heading == "Your account"
    assert browser.browser.get("/api/jobs/1").status_code == 403


def test_a_key_reads_or_writes_for_its_person_and_opens_no_page(server: Server, staff: PageClient) -> None:
    made = {}
    for scope in ("read", "write"):
        shown = staff.send("/me", "/me/keys", key_name=f"ledger {scope}", scope=scope, days="30")
        found = re.search(r"<code>([\w-]{43})</code>", shown.text)
        assert found
        made[scope] = {"authorization": f"Bearer {found[1]}"}
    program = server.visitor().browser
    sheet = program.get("/api/jobs/1", headers=made["read"]).json()
    body = {"version": sheet["version"], "document": {**sheet["document"], "notes": "by a program"}}
    refused = program.put("/api/jobs/1", json=body, headers=made["read"])
    assert refused.status_code == 403
    assert refused.json()["error"]["title"] == "Not for your role"
    assert program.put("/api/jobs/1", json=body, headers=made["write"]).status_code == 200
    assert program.get("/jobs", headers=made["write"], follow_redirects=False).status_code == 303
    assert program.get("/api/jobs/1", headers={"authorization": "Bearer nonsense"}).status_code == 401
    staff.send("/me", "/me/keys/remove")
    staff.send("/me", "/me/keys/remove")
    assert program.get("/api/jobs/1", headers=made["read"]).status_code == 401


def test_the_description_of_the_api_is_for_the_signed_in_and_whole(server: Server, staff: PageClient) -> None:
    assert server.visitor().browser.get("/api/openapi.json").status_code == 401
    described = staff.browser.get("/api/openapi.json").json()
    of_the_api = {address for address in RIGHTS if address.split(" ")[1].startswith("/api/")}
    assert {
        f"{method.upper()} {path}" for path, rows in described["paths"].items() for method in rows
    } == of_the_api
    assert "Failure" in described["components"]["schemas"]


def test_the_owner_may_do_all_that_others_may() -> None:
    from app.actions.records import StaffMember

    for address, right in RIGHTS.items():
        method, _, path = address.partition(" ")
        if right != "client":
            assert may(StaffMember(1, "A", "a@example.org", "owner"), method, path), address
