"""Signing in, and the first account."""

import re

import pyotp

from tests.web.conftest import NOW, Server
from tests.web.page_client import Page, PageClient


def test_an_empty_server_asks_for_the_owner_first(empty_server: Server) -> None:
    visitor = empty_server.visitor()
    assert visitor.get("/").heading == "Make the owner's account"
    answers = {"name": "Ada Quill", "email": "ada@example.org", "password": "ropewalk tar oakum 7"}
    assert visitor.send("/start", "/start", **answers).heading == "Sign in"
    signed = visitor.send("/sign-in", "/sign-in", email="ada@example.org", password=answers["password"])
    assert signed.heading == "Open the shop"
    firm = {"name": "Quill and Tar (invented)", "address": "4 Ropewalk"}
    assert visitor.send("/shop/open", "/shop/open", **firm).heading == "Rules"
    assert "Quill and Tar" in visitor.get("/").text
    assert visitor.get("/shop/open").heading == "Firm"


def test_before_the_shop_is_open_clients_and_jobs_can_be_looked_at(empty_server: Server) -> None:
    visitor = empty_server.visitor()
    answers = {"name": "Ada Quill", "email": "ada@example.org", "password": "ropewalk tar oakum 7"}
    visitor.send("/start", "/start", **answers)
    visitor.send("/sign-in", "/sign-in", email="ada@example.org", password=answers["password"])
    for path, heading in (("/shop", "Open the shop"), ("/clients", "Clients"), ("/jobs", "Jobs")):
        assert visitor.get(path).heading == heading
    visitor.get("/shop/rules", 422)


def test_a_second_owner_cannot_be_made(visitor: PageClient) -> None:
    assert visitor.get("/start").heading == "Sign in"


def test_a_weak_password_is_refused_and_what_was_typed_is_kept(empty_server: Server) -> None:
    visitor = empty_server.visitor()
    page = visitor.send("/start", "/start", 422, name="Ada Quill", email="ada@example.org", password="short")
    assert 'value="Ada Quill"' in page.text
    assert "short" not in page.text


def test_a_wrong_password_says_so_without_saying_which_part(server: Server, visitor: PageClient) -> None:
    page = visitor.send("/sign-in", "/sign-in", 422, email=server.account.email, password="wrong")
    other = visitor.send("/sign-in", "/sign-in", 422, email="nobody@example.org", password="wrong")
    assert "There is a problem" in page.text
    words = [
        text[text.index('id="summary-head"') :].partition("</div>")[0] for text in (page.text, other.text)
    ]
    assert words[0] == words[1]


def test_after_signing_in_the_page_that_was_asked_for_comes(server: Server, visitor: PageClient) -> None:
    visitor.get("/jobs")
    page = visitor.browser.get("/jobs")
    assert str(page.url).endswith("/sign-in?next=/jobs")
    account = server.account
    after = visitor.send("/sign-in?next=/jobs", "/sign-in", email=account.email, password=account.password)
    assert after.heading == "Jobs"


def test_an_empty_form_names_every_field(visitor: PageClient) -> None:
    page = visitor.send("/sign-in", "/sign-in", 422)
    assert page.title.startswith("Error: ")
    assert "#f-email" in page.links()
    assert "#f-password" in page.links()


def test_a_colleague_changes_the_first_password_and_may_not_change_the_shop(
    server: Server, staff: PageClient
) -> None:
    added = {"name": "B. Tarn", "email": "tarn@example.org", "password": "ropewalk tar oakum 7"}
    assert "Added." in staff.send("/shop/people", "/shop/people", **added, role="office").text
    staff.send("/shop/people", "/shop/people", 422, **added, role="office")
    colleague = server.visitor()
    page = colleague.send("/sign-in", "/sign-in", email="tarn@example.org", password=added["password"])
    assert page.heading == "Your account"
    assert "known to two people" in page.text
    assert colleague.get("/jobs").heading == "Your account"
    mine = {"old": added["password"], "new": "bowline kedge fathom 9"}
    assert "password is changed" in colleague.send("/me", "/me/password", **mine).text
    assert colleague.get("/shop/rules").heading == "Rules"
    colleague.send("/shop/rules", "/shop/rules", 403, wage="1")
    assert colleague.get("/shop/people", 403).heading == "Not for your role"


def test_the_owner_changes_roles_and_shuts_people_out_at_once(server: Server, staff: PageClient) -> None:
    colleague = server.in_role("office")
    assert colleague.get("/clients").heading == "Clients"
    action = next(path for path in _actions(staff.get("/shop/people")) if path != "/shop/people")
    staff.send("/shop/people", action, what="role", role="crew")
    assert colleague.get("/clients", 403).heading == "Not for your role"
    staff.send("/shop/people", action, what="shut")
    assert colleague.get("/jobs").heading == "Sign in"
    staff.post(action, {"what": "role", "form_token": staff.get("/me").token, "role": "king"}, 404)


def test_a_second_factor_is_set_asked_for_and_removed(server: Server, staff: PageClient) -> None:
    page = staff.get("/me")
    secret = page.fields("/me/factor")["secret"]
    assert page.text.count("<path") >= 1
    mine, right = server.account.password, pyotp.TOTP(secret).at(NOW)
    staff.send("/me", "/me/factor", 422, code="000000", factor_password=mine)
    asked = {**page.fields("/me/factor"), "code": right}
    assert "not your password" in staff.post("/me/factor", {**asked, "factor_password": "?"}, 422).text
    shown = staff.post("/me/factor", {**asked, "factor_password": mine})
    codes = re.findall(r"<code>((?:[A-Z2-7]{6}-){3}[A-Z2-7]{6})</code>", shown.text)
    assert len(codes) == 10
    other, account = server.visitor(), server.account
    at_code = other.send("/sign-in?next=/jobs", "/sign-in", email=account.email, password=account.password)
    assert at_code.heading == "Enter the code"
    assert other.get("/jobs").heading == "Sign in"
    wrong = other.send("/sign-in/code?next=/jobs", "/sign-in/code", 422, code="000000")
    assert "not right" in wrong.text
    assert other.send("/sign-in/code?next=/jobs", "/sign-in/code", code=codes[0]).heading == "Jobs"
    staff.send("/me", "/me/factor/remove", 422, last_code=codes[0])
    assert "removed" in staff.send("/me", "/me/factor/remove", last_code=codes[1]).text


def test_sessions_are_listed_and_one_is_ended(server: Server, staff: PageClient) -> None:
    other = server.visitor()
    other.browser.headers["user-agent"] = "A telephone <script>"
    other.send("/sign-in", "/sign-in", email=server.account.email, password=server.account.password)
    page = staff.get("/me")
    assert "A telephone &lt;script&gt;" in page.text
    staff.send("/me", "/me/sessions")
    assert other.get("/").heading == "Sign in"


def test_signing_out_everywhere_ends_every_session_of_mine(server: Server, staff: PageClient) -> None:
    other = server.visitor()
    other.send("/sign-in", "/sign-in", email=server.account.email, password=server.account.password)
    staff.send("/me", "/shop/people/sign-out")
    assert other.get("/").heading == "Sign in"


def _actions(page: Page) -> list[str]:
    return [
        action
        for form in page.every("form")
        if re.fullmatch(r"/shop/people(/\d+)?", action := form.get("action") or "")
    ]
