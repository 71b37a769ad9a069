"""Passkeys over HTTP, with a key of the tests' own; and the shop's rule of a second factor."""

import json

from tests.passkey import Key
from tests.web.conftest import Server
from tests.web.page_client import PageClient

SITE = ("http://localhost", "localhost")  # what the server of the tests is set to


def _question(browser: PageClient, page: str, path: str, status: int = 200, **typed: str) -> str:
    token = browser.get(page).token
    answer = browser.browser.post(path, data={"form_token": token, **typed})
    assert answer.status_code == status, answer.text
    assert answer.headers["content-type"] == "application/json"
    return answer.text


def _add(server: Server, browser: PageClient, key: Key, name: str = "blue key") -> str:
    question = _question(browser, "/me", "/me/passkeys/question", passkey_password=server.account.password)
    sent = {"passkey_name": name, "answer": key.make(question)}
    return browser.send("/me", "/me/passkeys", **sent).text


def _at_code(server: Server) -> PageClient:
    visitor, account = server.visitor(), server.account
    page = visitor.send("/sign-in", "/sign-in", email=account.email, password=account.password)
    assert page.heading == "Enter the code"
    return visitor


def test_a_passkey_is_added_used_named_and_removed(server: Server, staff: PageClient) -> None:
    key = Key(*SITE)
    assert "Recovery codes: shown this once" in _add(server, staff, key)
    visitor = _at_code(server)
    asked = visitor.get("/sign-in/code?next=/jobs")
    assert "Use a passkey" in asked.text
    question = _question(visitor, "/sign-in/code", "/sign-in/passkey/question")
    page = visitor.send("/sign-in/code?next=/jobs", "/sign-in/passkey", answer=key.use(question))
    assert page.heading == "Jobs"
    assert "new name" in visitor.send("/me", "/me/passkeys/name", name="<b>red</b>").text
    assert "&lt;b&gt;red&lt;/b&gt;" in visitor.get("/me").text
    visitor.send("/me", "/me/passkeys/remove", 422, password="not it")
    gone = visitor.send("/me", "/me/passkeys/remove", password=server.account.password)
    assert "passkey is removed" in gone.text


def test_no_question_without_the_password_or_a_visit(server: Server, staff: PageClient) -> None:
    said = json.loads(_question(staff, "/me", "/me/passkeys/question", 422, passkey_password="?"))
    assert said == {"text": "That is not your password."}
    visitor = server.visitor()
    said = json.loads(_question(visitor, "/sign-in", "/sign-in/passkey/question", 422))
    assert "Sign in with your password again" in said["text"]


def test_another_origin_a_replay_and_anothers_key_are_refused(server: Server, staff: PageClient) -> None:
    key = Key(*SITE)
    _add(server, staff, key)
    visitor = _at_code(server)
    for wrong in (Key("http://localhost.evil.example", "localhost", id=key.id, key=key.key), Key(*SITE)):
        question = _question(visitor, "/sign-in/code", "/sign-in/passkey/question")
        page = visitor.send("/sign-in/code", "/sign-in/passkey", 422, answer=wrong.use(question))
        assert "not accepted" in page.text
    answer = key.use(_question(visitor, "/sign-in/code", "/sign-in/passkey/question"))
    other = _at_code(server)
    assert "answered already" in other.send("/sign-in/code", "/sign-in/passkey", 422, answer=answer).text
    visitor.send("/sign-in/code", "/sign-in/passkey", answer=answer)
    assert visitor.get("/jobs").heading == "Jobs"
    assert "answered already" in other.send("/sign-in/code", "/sign-in/passkey", 422, answer=answer).text


def test_the_address_is_the_servers_and_not_what_a_request_says(server: Server, staff: PageClient) -> None:
    token = staff.get("/me").token
    answer = staff.browser.post(
        "/me/passkeys/question",
        data={"form_token": token, "passkey_password": server.account.password},
        headers={"host": "evil.example", "x-forwarded-host": "evil.example"},
    )
    assert json.loads(answer.text)["rp"]["id"] == "localhost"


def test_where_the_second_factor_is_compulsory_nothing_else_opens_without_one(
    server: Server, staff: PageClient
) -> None:
    office, crew = server.in_role("office"), server.in_role("crew")
    assert office.get("/jobs").heading == "Jobs"
    after = staff.send("/shop/people", "/shop/people/second-factor", asks="yes")
    assert after.heading == "Your account"
    for one in (staff, office):
        page = one.get("/jobs")
        assert page.heading == "Your account"
        assert "The shop asks owner and office for a second factor" in page.text
        refused = one.browser.get("/api/jobs/1")
        assert (refused.status_code, refused.json()["error"]["title"]) == (403, "Set a second factor")
    assert crew.get("/jobs").heading == "Jobs"
    _add(server, staff, Key(*SITE))
    assert staff.get("/jobs").heading == "Jobs"
    assert "need a second factor" in staff.get("/shop/people").text
    staff.send("/shop/people", "/shop/people/second-factor", asks="no")
    assert office.get("/jobs").heading == "Jobs"
