"""Signing in, and the first account."""

from tests.web.conftest import Server
from tests.web.page_client import PageClient


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


def test_a_colleague_is_added_and_may_not_change_the_shop(server: Server, staff: PageClient) -> None:
    added = {"name": "B. Tarn", "email": "tarn@example.org", "password": "ropewalk tar oakum 7"}
    assert "Added." in staff.send("/shop/people", "/shop/people", **added).text
    staff.send("/shop/people", "/shop/people", 422, **added)
    colleague = server.visitor()
    colleague.send("/sign-in", "/sign-in", email="tarn@example.org", password=added["password"])
    assert "Only the owner adds colleagues" in colleague.get("/shop/people").text
    colleague.send("/shop/rules", "/shop/rules", 422, wage="1")
    token = colleague.get("/shop/people").token
    colleague.post("/shop/people", {**added, "email": "other@example.org", "form_token": token}, 422)


def test_signing_out_everywhere_ends_every_session_of_mine(server: Server, staff: PageClient) -> None:
    other = server.visitor()
    other.send("/sign-in", "/sign-in", email=server.account.email, password=server.account.password)
    staff.send("/shop/people", "/shop/people/sign-out")
    assert other.get("/").heading == "Sign in"
