"""The main job by keyboard alone: no mouse, nothing focused for you, and the focus always to be seen."""

import re

import pytest
from playwright.sync_api import Browser, Page, expect

from tests.browser.conftest import PHONE, Server
from tests.browser.test_whole_way import price

pytestmark = [pytest.mark.browser, pytest.mark.xdist_group("browser")]

MOST_TABS = 250
_FOCUS = """() => {
  const at = document.activeElement;
  if (!at || at === document.body) return null;
  const label = at.labels && at.labels[0] ? at.labels[0].textContent : "";
  const style = getComputedStyle(at);
  const box = at.getBoundingClientRect();
  return {
    name: (at.getAttribute("aria-label") || label || at.textContent || "").replace(/\\s+/g, " ").trim(),
    seen: style.outlineStyle !== "none" && parseFloat(style.outlineWidth) >= 2,
    inView: box.bottom > 0 && box.top < innerHeight,
  };
}"""


def tab_to(page: Page, name: str) -> None:
    """Press Tab until the thing of that name has the focus, which must be visible all the way."""
    page.wait_for_load_state()
    for _ in range(MOST_TABS):
        page.keyboard.press("Tab")
        at = page.evaluate(_FOCUS)
        if at is None:
            continue
        assert at["seen"], f"the focus on “{at['name']}” cannot be seen"
        assert at["inView"], f"the focus on “{at['name']}” is off the screen"
        if re.search(name, at["name"]):
            return
    raise AssertionError(f"“{name}” cannot be reached by Tab on {page.url}")


def fill(page: Page, name: str, words: str) -> None:
    tab_to(page, name)
    page.keyboard.press("Control+a")
    page.keyboard.type(words)


def follow(page: Page, name: str) -> None:
    """Press Enter on the link or button of that name, which leads to another page."""
    tab_to(page, name)
    with page.expect_navigation():
        page.keyboard.press("Enter")


def sign_in(page: Page, server: Server) -> None:
    page.goto("/sign-in")
    fill(page, "^E-mail", server.email)
    fill(page, "^Password", server.password)
    page.keyboard.press("Enter")
    expect(page.get_by_role("heading", level=1)).to_have_text("This week")


def new_client_and_job(page: Page) -> str:
    follow(page, "^Clients$")
    follow(page, "^Add a client")
    fill(page, "^Name", "Rune Tarn (invented)")
    fill(page, "^E-mail", "rune@client.example")
    fill(page, "^Address", "5 Capstan Row, Skerrow")
    follow(page, "^Add the client")
    expect(page.get_by_role("heading", level=1)).to_contain_text("Rune Tarn")
    follow(page, "^Start a job for this client")
    fill(page, "^Title", "Deck over the sail loft")
    tab_to(page, "^A blank survey")
    for _ in range(8):  # arrow keys leaf through the choices of one question
        if page.get_by_label(re.compile("Demo job file: Quay loft")).is_checked():
            break
        page.keyboard.press("ArrowDown")
    assert page.get_by_label(re.compile("Demo job file: Quay loft")).is_checked()
    follow(page, "^Start the job")
    found = re.search(r"(/jobs/\d+)/", page.url)
    assert found, page.url
    return found[1]


def test_from_sign_in_to_the_clients_signature(browser: Browser, server: Server) -> None:
    context = browser.new_context(base_url=server.address, viewport={"width": 1280, "height": 900})
    context.set_default_timeout(20_000)
    page = context.new_page()
    sign_in(page, server)
    job = new_client_and_job(page)
    before = price(page, job)
    follow(page, "^2 Plan$")
    follow(page, "^Change deck fields")
    fill(page, "Sleeper spacing", "300 mm")
    follow(page, "^Save")
    assert price(page, job) != before
    follow(page, "^8 Proposal$")
    follow(page, "^Make revision")
    follow(page, "^Make a link")
    link = page.locator("#new-link").inner_text()
    context.close()
    sign_by_keyboard(browser, link)


def sign_by_keyboard(browser: Browser, link: str) -> None:
    context = browser.new_context(viewport=PHONE)
    context.set_default_timeout(20_000)
    page = context.new_page()
    page.goto(link)
    fill(page, "^Your full name", "Rune Tarn")
    tab_to(page, "^I have read this proposal")
    page.keyboard.press("Space")
    follow(page, "^Accept and sign")
    expect(page).to_have_url(re.compile(r"/offer/thanks"))
    context.close()
