"""What a stranger would try, by script, on every address: methods, headers, paths, foreign ids, more fields.

Source: OWASP ASVS 5.0.0, 3.4, 4.1.4, 5.3.2, 8.2.2, 13.4.4, 15.3.3, 15.3.7.
"""

import re
from pathlib import Path
from urllib.parse import quote

import pytest
from fastapi.routing import APIRoute

from app.main import create_app
from app.settings import Settings
from app.store.models import Base
from app.web.rights import RIGHTS, THINGS
from tests.rows import add_row
from tests.web.conftest import HARBOUR, NET_STORE, Server
from tests.web.page_client import PageClient

_METHODS = ("DELETE", "GET", "HEAD", "OPTIONS", "PATCH", "POST", "PUT", "TRACE")
_VALUES = {"job_id": str(HARBOUR), "client_id": "1", "kind": "csv", "on": "2026-06-15", "stem": "survey"}
_CLIMBS = (
    "..%2f..%2f..%2f..%2fetc%2fpasswd",
    "%2e%2e%2f%2e%2e%2fpyproject.toml",
    "..%5c..%5cpyproject.toml",
    "%2fetc%2fpasswd",
    "....//....//etc/passwd",
    "%252e%252e%252fetc%252fpasswd",
    "upstand.sqlite%00.jpg",
)
_OF_A_FILE = ("root:", "[project]", "SQLite format", "def create_app")


def filled(pattern: str, value: str = "1") -> str:
    return re.sub(r"{(\w+)}", lambda found: _VALUES.get(found[1], value), pattern)


def patterns() -> dict[str, set[str]]:
    found: dict[str, set[str]] = {}
    for row in RIGHTS:
        method, _, pattern = row.partition(" ")
        found.setdefault(pattern, set()).add(method)
    return found


def test_every_address_takes_its_own_methods_only_and_names_them(staff: PageClient) -> None:
    for pattern, own in patterns().items():
        for method in set(_METHODS) - own:
            answer = staff.browser.request(method, filled(pattern), follow_redirects=False)
            fits_another = {
                other
                for more, theirs in patterns().items()
                if _fits(more, filled(pattern))
                for other in theirs
            }
            if method in fits_another:
                continue
            assert answer.status_code == 405, f"{method} {pattern}"
            assert set(answer.headers["allow"].split(", ")) <= fits_another, f"{method} {pattern}"


def _fits(pattern: str, path: str) -> bool:
    return re.fullmatch(re.sub(r"{\w+}", "[^/]+", pattern), path) is not None


def test_every_answer_says_what_it_is_and_nothing_of_what_made_it(server: Server, staff: PageClient) -> None:
    foreign = {"origin": "https://elsewhere.example", "access-control-request-method": "PUT"}
    for browser in (server.visitor().browser, staff.browser):
        for pattern, own in patterns().items():
            if "GET" not in own:
                continue
            answer = browser.get(filled(pattern), headers=foreign, follow_redirects=False)
            kind = answer.headers.get("content-type", "")
            assert answer.status_code < 500, pattern
            assert kind or not answer.content, pattern
            assert not kind.startswith("text/") or "charset=utf-8" in kind, f"{pattern}: {kind}"
            assert answer.headers["x-content-type-options"] == "nosniff", pattern
            assert "frame-ancestors 'none'" in answer.headers["content-security-policy"], pattern
            assert answer.headers["cache-control"] == "no-store", pattern
            named = {
                "server",
                "x-powered-by",
                "access-control-allow-origin",
                "access-control-allow-credentials",
            }
            assert not named & set(answer.headers), pattern
            for cookie in answer.headers.get_list("set-cookie"):
                assert {"HttpOnly", "Path=/", "SameSite=lax"} <= set(cookie.split("; ")), pattern


@pytest.mark.parametrize("climb", _CLIMBS)
def test_no_path_climbs_out_to_a_file(staff: PageClient, climb: str) -> None:
    asked = [f"/static/{climb}", f"/static/css/{climb}", f"/{climb}", f"/jobs?search={climb}"]
    for pattern, own in patterns().items():
        open_places = set(re.findall(r"{(\w+)}", pattern)) - {"job_id"}
        if "GET" in own and open_places:
            asked.append(re.sub(r"{(\w+)}", lambda at: str(HARBOUR) if at[1] == "job_id" else climb, pattern))
    for path in asked:
        answer = staff.browser.get(path, follow_redirects=False)
        assert answer.status_code < 500, path
        assert not [sign for sign in _OF_A_FILE if sign in answer.text], path


def _foreign(server: Server, table: str, **given: object) -> int:
    """Add a row that belongs to another job than the one that is asked for."""
    with server.db.connection() as connection:
        return int(add_row(connection, Base.metadata.tables[table], **given))


_TABLES = {
    "change order": "change_orders",
    "invoice": "invoices",
    "photo": "photos",
    "punch item": "punch_items",
    "purchase order": "purchase_orders",
    "revision": "revisions",
}


@pytest.mark.parametrize("name", sorted(set(THINGS) - {"link_id"}))
def test_a_thing_of_another_job_is_not_there(server: Server, staff: PageClient, name: str) -> None:
    kind = THINGS[name]
    number = "number" if kind in ("invoice", "revision") else "id"
    given = {"job_id": NET_STORE} | ({number: 40} if kind in ("invoice", "revision") else {})
    made = _foreign(server, _TABLES[kind], **given)
    tried = 0
    for row in RIGHTS:
        method, _, pattern = row.partition(" ")
        if not pattern.startswith("/jobs/{job_id}"):
            continue
        if f"{{{name}}}" in pattern:
            tried += 1
            data = {"form_token": staff.get("/me").token} if method == "POST" else None
            path = pattern.replace(f"{{{name}}}", str(made)).replace("{kind}", "csv")
            here = staff.browser.request(method, path.format(job_id=HARBOUR), data=data)
            assert here.status_code == 404, row
        elif method == "POST" and name in ("change", "close", "invoice", "order_id", "revision"):
            tried += 1
            data = {"form_token": staff.get("/me").token, name: str(made)}
            answer = staff.browser.post(filled(pattern, "outline"), data=data, follow_redirects=False)
            assert answer.status_code == 404, row
    assert tried


def test_a_link_of_another_job_is_not_withdrawn(server: Server, staff: PageClient) -> None:
    with server.db.connection() as connection:
        tables = Base.metadata.tables
        revision = add_row(connection, tables["revisions"], job_id=NET_STORE, number=40)
        link = add_row(connection, tables["links"], revision_id=revision, revoked_at=None)
    data = {"form_token": staff.get("/me").token}
    for job, status in ((HARBOUR, 404), (NET_STORE, 303)):
        path = f"/jobs/{job}/links/{link}/revoke"
        assert staff.browser.post(path, data=data, follow_redirects=False).status_code == status


def test_every_number_in_an_address_of_a_job_is_held_against_that_job() -> None:
    # A copy of the handover file is numbered within its job.
    harmless = {"copy_id", "job_id", "on", "kind", "stem", "name"}
    for row in RIGHTS:
        pattern = row.partition(" ")[2]
        if pattern.startswith("/jobs/{job_id}"):
            assert set(re.findall(r"{(\w+)}", pattern)) - harmless <= set(THINGS), row


def test_the_clients_link_opens_nothing_of_another_job(server: Server) -> None:
    made = _foreign(server, "change_orders", job_id=NET_STORE, state="offered")
    client = server.visitor()
    client.browser.get(f"/s/{server.account.client_token}")
    assert client.browser.get(f"/offer/changes/{made}.pdf").status_code == 404
    token = client.get("/offer").token
    data = {"form_token": token, "change": str(made), "answer": "yes", "name": "Eve", "consent": "yes"}
    assert client.browser.post("/offer/changes", data=data, follow_redirects=False).status_code == 404


def test_a_field_that_a_form_does_not_have_changes_nothing(server: Server, staff: PageClient) -> None:
    more = {"id": "1", "version": "99", "made_at": "1999-01-01", "is_active": "no", "state": "signed"}
    staff.send("/clients/new", "/clients/new", name="Ada", **more)
    colleague = {
        "name": "Tor",
        "email": "tor@example.org",
        "password": "ropewalk tar oakum 7",
        "role": "crew",
    }
    staff.send("/shop/people", "/shop/people", **colleague, must_change="", totp_secret="A" * 16, id="1")
    with server.db.connection() as connection:
        tables = Base.metadata.tables
        ada = connection.execute(tables["clients"].select().order_by(tables["clients"].c.id.desc())).first()
        tor = connection.execute(tables["staff"].select().where(tables["staff"].c.name == "Tor")).one()
    assert ada is not None
    assert (ada.name, ada.version, ada.id > 1) == ("Ada", 1, True)
    assert (tor.role, tor.must_change, tor.totp_secret, tor.is_active) == ("crew", True, "", True)


def test_a_field_that_the_api_does_not_have_changes_nothing(staff: PageClient) -> None:
    got = staff.browser.get(f"/api/jobs/{HARBOUR}").json()
    body = {
        "version": got["version"],
        "document": got["document"],
        "state": "signed",
        "id": 1,
        "client_id": 2,
    }
    saved = staff.browser.put(f"/api/jobs/{HARBOUR}", json=body).json()
    assert saved["id"] == HARBOUR
    assert staff.browser.get(f"/api/jobs/{HARBOUR}").json()["state"] == got["state"]
    body = {"version": saved["version"], "document": {**got["document"], "owner": "Eve"}}
    refused = staff.browser.put(f"/api/jobs/{HARBOUR}", json=body)
    assert refused.status_code == 422
    assert refused.json()["error"]["faults"][0]["path"] == "owner"


def test_a_field_sent_twice_gives_no_more_than_one_of_the_two(server: Server, staff: PageClient) -> None:
    sent = {"name": "Tor", "email": "tor@example.org", "password": "ropewalk tar oakum 7"}
    data = {**sent, "role": ["crew", "king"], "form_token": staff.get("/shop/people").token}
    assert staff.browser.post("/shop/people", data=data, follow_redirects=False).status_code in (404, 422)
    # A role in the address is no role in the form.
    data = {**sent, "form_token": data["form_token"]}
    staff.browser.post("/shop/people?role=owner", data=data)
    with server.db.connection() as connection:
        staff_table = Base.metadata.tables["staff"]
        roles = connection.execute(staff_table.select().where(staff_table.c.name == "Tor")).all()
    assert "owner" not in [row.role for row in roles]


def test_the_whole_server_has_no_address_beside_those_of_the_table(tmp_path: Path) -> None:
    app = create_app(Settings(data_dir=tmp_path))
    beside = {route.path for route in app.routes if isinstance(route, APIRoute)}
    assert beside == {"/health", "/ready", "/metrics"}
    assert [
        getattr(route, "path", "")
        for route in app.routes
        if hasattr(route, "app") and not isinstance(route, APIRoute)
    ] == ["/static"]


def test_an_address_is_itself_and_no_redirect_names_a_host(staff: PageClient) -> None:
    for path in ("/jobs/", "/api/jobs/1/"):
        answer = staff.browser.get(path, headers={"host": "elsewhere.example"}, follow_redirects=False)
        assert answer.status_code == 404, path
    for path in ("/s/none", "/sign-in", "/"):
        answer = staff.browser.get(path, headers={"host": "elsewhere.example"}, follow_redirects=False)
        assert "elsewhere" not in answer.headers.get("location", "") + answer.text, path


@pytest.mark.parametrize("value", ["a\r\nset-cookie: evil=1", "a\nx: y", "\u2028x", '"; filename="x.exe'])
def test_a_typed_text_makes_no_header(staff: PageClient, value: str) -> None:
    staff.send("/shop", "/shop", name=value, address="4 Ropewalk")
    data = {
        **staff.get("/shop/mail").fields("/shop/mail"),
        "host": "mail.example.org",
        "sender": f"{value}@x.org",
    }
    staff.browser.post("/shop/mail", data=data)
    for path in (
        "/",
        f"/jobs/{HARBOUR}/drawings/plan.svg",
        f"/sign-in?next={quote(value)}",
        "/shop/prices.csv",
    ):
        answer = staff.browser.get(path, follow_redirects=False)
        assert "evil" not in str(answer.headers), path
        assert answer.headers.get("x") is None, path
        assert ".exe" not in answer.headers.get("content-disposition", ""), path


@pytest.mark.parametrize("text", ["{{ 7 * 191 }}", "{% if 1 %}{{ 7 * 191 }}{% endif %}", "${7*191}"])
def test_a_typed_text_is_never_a_template(staff: PageClient, text: str) -> None:
    page = staff.send("/clients/new", "/clients/new", name=text)
    assert "1337" not in page.text
    assert staff.get(f"/jobs?search={quote(text)}").text.count("1337") == 0
