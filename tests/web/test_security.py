"""What protects a page: headers, tokens, cookies, limits. Source: OWASP ASVS 5.0.0 chapters 3, 7 and 14."""

import pytest

from app.web.security import MOST_BYTES
from tests.web.conftest import HARBOUR, Server
from tests.web.page_client import PageClient


@pytest.mark.parametrize(
    "path", ["/sign-in", "/", "/nowhere", "/static/css/tokens.css", "/s/none", "/api/jobs/1"]
)
def test_every_answer_carries_the_headers(staff: PageClient, path: str) -> None:
    headers = staff.browser.get(path).headers
    policy = dict(part.strip().split(" ", 1) for part in headers["content-security-policy"].split(";"))
    assert policy["script-src"] == policy["style-src"] == policy["form-action"] == "'self'"
    assert policy["object-src"] == policy["base-uri"] == policy["frame-ancestors"] == "'none'"
    assert headers["x-content-type-options"] == "nosniff"
    assert headers["referrer-policy"] == "no-referrer"


def test_private_pages_are_not_stored_and_static_files_may_be(staff: PageClient) -> None:
    assert staff.browser.get("/").headers["cache-control"] == "no-store"
    assert "no-store" not in staff.browser.get("/static/css/tokens.css").headers.get("cache-control", "")


def test_an_unforeseen_failure_shows_a_reference_and_nothing_of_the_cause(
    server: Server, staff: PageClient, monkeypatch: pytest.MonkeyPatch
) -> None:
    def fail(*_: object) -> None:
        raise RuntimeError("secret cause")

    monkeypatch.setattr("app.web.jobs.find_jobs", fail)
    page = staff.get("/jobs", 500)
    assert "Reference to quote" in page.text
    assert "secret" not in page.text
    assert "content-security-policy" in staff.browser.get("/jobs").headers


@pytest.mark.parametrize("path", ["/", "/jobs", f"/jobs/{HARBOUR}/price", "/shop", "/clients/1"])
def test_nobody_reads_a_private_page_without_signing_in(visitor: PageClient, path: str) -> None:
    assert visitor.get(path).heading == "Sign in"


def test_a_form_without_the_token_changes_nothing(staff: PageClient) -> None:
    data = {"name": "Mallory", "email": "", "phone": "", "address": ""}
    assert staff.post("/clients/new", data, 403).heading == "Not accepted"
    assert "Mallory" not in staff.get("/clients").text


def test_another_visitors_token_is_refused(server: Server, staff: PageClient) -> None:
    other = server.staff().get("/clients/new").token
    data = {"name": "Mallory", "email": "", "phone": "", "address": "", "form_token": other}
    staff.post("/clients/new", data, 403)


def test_a_form_sent_from_another_site_is_refused(staff: PageClient) -> None:
    data = staff.get("/clients/new").fields("/clients/new") | {"name": "Mallory"}
    sent = staff.browser.post("/clients/new", data=data, headers={"sec-fetch-site": "cross-site"})
    assert sent.status_code == 403


def test_json_from_another_site_or_of_another_type_is_refused(staff: PageClient) -> None:
    crossed = staff.browser.put("/api/jobs/1", json={}, headers={"sec-fetch-site": "cross-site"})
    typed = staff.browser.put("/api/jobs/1", content="{}", headers={"content-type": "text/plain"})
    assert crossed.status_code == typed.status_code == 403


def test_cookies_are_out_of_reach_of_scripts_and_of_other_sites(secure_server: Server) -> None:
    browser = secure_server.visitor()
    browser.browser.base_url = "https://testserver"  # type: ignore[assignment]
    page = browser.get("/sign-in")
    account = secure_server.account
    data = {"email": account.email, "password": account.password, "form_token": page.token, "next": "/"}
    answer = browser.browser.post("/sign-in", data=data, follow_redirects=False)
    cookies = [line for line in answer.headers.get_list("set-cookie") if "session=" in line]
    assert len(cookies) == 1
    assert cookies[0].startswith("__Host-session=")
    for word in ("HttpOnly", "SameSite=lax", "Secure", "Path=/"):
        assert word in cookies[0]
    assert answer.headers["strict-transport-security"].startswith("max-age=31536000")


def test_a_body_that_is_too_long_is_refused_before_it_is_read(staff: PageClient) -> None:
    answer = staff.browser.post("/clients/new", content=b"x" * (MOST_BYTES + 1))
    assert answer.status_code == 413


@pytest.mark.parametrize(
    "target", ["https://elsewhere.example/", "//elsewhere.example", "/\\elsewhere.example"]
)
def test_signing_in_never_leads_to_another_site(server: Server, target: str) -> None:
    visitor = server.visitor()
    account = server.account
    data = {
        **visitor.get("/sign-in").fields("/sign-in"),
        "email": account.email,
        "password": account.password,
    }
    answer = visitor.browser.post("/sign-in", data={**data, "next": target}, follow_redirects=False)
    assert answer.headers["location"] == "/"


def test_signing_out_ends_the_session_on_the_server(server: Server, staff: PageClient) -> None:
    kept = staff.browser.cookies["session"]
    staff.send("/", "/sign-out")
    again = server.visitor()
    again.browser.cookies.set("session", kept)
    assert again.get("/").heading == "Sign in"
