"""The main job as people do it: from sign-in to a signature on a phone and a plan of the days."""

import re

import pytest
from playwright.sync_api import Browser, Page, expect

from tests.browser.axe import faults, overflow_px
from tests.browser.conftest import PHONE, Server

pytestmark = [pytest.mark.browser, pytest.mark.xdist_group("browser")]


def price(page: Page, job: str) -> str:
    page.goto(f"{job}/price")
    found = re.search(r"The client pays\s+(\S+)", page.inner_text("main"))
    assert found, page.inner_text("main")[:500]
    return found.group(1)


def new_client(page: Page) -> None:
    page.goto("/clients/new")
    page.get_by_label("Name").fill("Wren Calloway (invented)")
    page.get_by_label("E-mail").fill("wren@client.example")
    page.get_by_label("Address of the roof").fill("2 Capstan Row, Skerrow")
    page.get_by_role("button", name="Add the client").click()
    expect(page.get_by_role("heading", level=1)).to_contain_text("Wren Calloway")


def new_job(page: Page) -> str:
    page.get_by_role("link", name="Start a job for this client").click()
    return started(page, "Deck over the rope store")


def started(page: Page, title: str) -> str:
    """Start a job by the demo's file; gives its path once its first sheet is there."""
    page.get_by_label("Title").fill(title)
    page.get_by_label(re.compile("Demo job file: Harbour workshop")).check()
    page.get_by_role("button", name="Start the job").click()
    expect(page).to_have_url(re.compile(r"/jobs/\d+/"))
    found = re.search(r"(/jobs/\d+)/", page.url)
    assert found, page.url
    return found.group(1)


def change_spacing(page: Page, job: str, spacing: str) -> None:
    page.goto(f"{job}/plan")
    page.get_by_role("link", name="Change deck fields").click()
    page.get_by_label(re.compile("Sleeper spacing")).first.fill(spacing)
    page.get_by_role("button", name="Save").last.click()
    expect(page).to_have_url(re.compile(r"/plan([?#].*)?$"))


def client_link(page: Page, job: str) -> str:
    page.goto(f"{job}/proposal")
    # Every combination is worked out and printed before the page comes, however long that takes.
    page.get_by_role("button", name=re.compile("Make revision")).click(timeout=90_000)
    page.get_by_role("button", name="Make a link").click()
    return page.locator("#new-link").inner_text()


def sign_on_a_phone(browser: Browser, link: str) -> None:
    context = browser.new_context(viewport=PHONE, has_touch=True, locale="en-US")
    page = context.new_page()
    page.goto(link)
    expect(page).to_have_url(re.compile(r"/offer$"))
    assert overflow_px(page) <= 0
    assert not faults(page)
    for secret in ("32.00", "margin", "markup", "profit"):
        assert secret not in page.inner_text("body").lower()
    page.get_by_role("button", name="Accept and sign").click()
    expect(page.get_by_text("There is a problem")).to_be_visible()
    page.get_by_label("Your full name").fill("Wren Calloway")
    page.get_by_label(re.compile("I have read this proposal")).check()
    page.get_by_role("button", name="Accept and sign").click()
    expect(page).to_have_url(re.compile(r"/offer/thanks"))
    expect(page.get_by_text("Signed by Wren Calloway")).to_be_visible()
    assert overflow_px(page) <= 0
    context.close()


def test_one_job_from_sign_in_to_signature_and_days(
    signed_in: Page, browser: Browser, server: Server, outside_requests: list[str]
) -> None:
    page = signed_in
    expect(page.get_by_role("heading", level=1)).to_have_text("This week")
    new_client(page)
    job = new_job(page)
    before = price(page, job)
    change_spacing(page, job, "300 mm")
    after = price(page, job)
    assert after != before
    sign_on_a_phone(browser, client_link(page, job))
    page.goto(f"{job}/proposal")
    expect(page.get_by_role("main")).to_contain_text("Wren Calloway")
    page.goto(f"{job}/days")
    expect(page.get_by_role("main")).to_contain_text("Lay the boards")
    assert not faults(page)
    assert outside_requests == []
    page.goto("/jobs")
    row = page.get_by_role("row").filter(has=page.locator(f'a[href="{job}/survey"]'))
    expect(row).to_contain_text("signed")


@pytest.mark.parametrize("link", ["/s/" + "A" * 43, "/s/x", "/s/" + "%2e" * 20])
def test_a_forged_link_gets_a_plain_page_and_learns_nothing(
    browser: Browser, server: Server, link: str
) -> None:
    context = browser.new_context(base_url=server.address, viewport=PHONE)
    page = context.new_page()
    answer = page.goto(link)
    assert answer is not None
    assert answer.status == 404
    words = page.inner_text("body")
    assert "Skerrow" not in words
    assert "$" not in words
    context.close()


def test_a_withdrawn_link_opens_no_more(signed_in: Page, browser: Browser, server: Server) -> None:
    page = signed_in
    page.goto("/jobs")
    page.get_by_role("row").filter(has_text="Harbour workshop").get_by_role("link").first.click()
    found = re.search(r"(/jobs/\d+)/", page.url)
    assert found
    link = client_link(page, found.group(1))
    page.get_by_role("button", name=re.compile("^Withdraw")).first.click()
    expect(page).to_have_url(re.compile("said=revoked"))
    context = browser.new_context(viewport=PHONE)
    opened = context.new_page()
    answer = opened.goto(link)
    assert answer is not None
    assert answer.status == 410
    assert "$" not in opened.inner_text("body")
    context.close()
