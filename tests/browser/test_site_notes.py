"""Notes made without a connection arrive once, in order, when it is back."""

import re
import time

import pytest
from playwright.sync_api import BrowserContext, Error, Page, Route, expect

pytestmark = [pytest.mark.browser, pytest.mark.xdist_group("browser")]


def note(page: Page, words: str) -> None:
    page.get_by_label("In words").fill(words)
    page.get_by_role("button", name="Note it").click()


def becomes(page: Page, question: str, wanted: object) -> None:
    """Ask the page until it answers as wanted; `wait_for_function` takes a promise itself for a yes."""
    until = time.monotonic() + 60
    while (answer := page.evaluate(question)) != wanted:
        assert time.monotonic() < until, f"{answer} instead of {wanted}"
        page.wait_for_timeout(50)


def arrived(page: Page) -> None:
    """Wait until the device keeps no note any more; the list on the page is also empty before it is read."""
    kept = (
        "new Promise((done) => { const asked = indexedDB.open('upstand-notes'); asked.onsuccess = () => {"
        " const kept = asked.result.transaction('notes').objectStore('notes').count();"
        " kept.onsuccess = () => { asked.result.close(); done(kept.result); }; }; })"
    )
    becomes(page, kept, 0)


def test_notes_made_offline_arrive_once_and_in_order(context: BrowserContext, signed_in: Page) -> None:
    page = signed_in
    page.goto("/jobs/1/notes")
    context.set_offline(True)
    for words in ("first, offline", "second, offline", "third, offline"):
        note(page, words)
        page.locator("#notes-list li", has_text=words).wait_for()
    expect(page.locator("#notes-waiting")).to_contain_text("3 notes wait")
    context.set_offline(False)
    arrived(page)
    page.reload()
    said = page.locator("tbody .words").all_inner_texts()
    found = [line.split(" offline")[0] for line in said if "offline" in line]
    assert found == ["third,", "second,", "first,"]


def test_an_answer_that_is_lost_does_not_make_a_second_note(signed_in: Page) -> None:
    page = signed_in
    page.goto("/jobs/1/notes")
    lost = []

    def lose_the_first_answer(route: Route) -> None:
        if lost:
            route.continue_()
            return
        lost.append(route.fetch().status)
        route.abort()

    page.route("**/api/jobs/1/notes", lose_the_first_answer)
    note(page, "sent twice, kept once")
    page.get_by_text("1 note waits").wait_for()
    page.evaluate("window.dispatchEvent(new Event('online'))")
    arrived(page)
    page.reload()
    assert lost == [200]
    said = page.locator("tbody .words").all_inner_texts()
    assert sum("sent twice, kept once" in line for line in said) == 1


def keeps(page: Page, *paths: str) -> None:
    """Wait until the device keeps just these pages."""
    kept = (
        "async () => (await (await caches.open('roof-pages')).keys())"
        ".map((one) => new URL(one.url).pathname).sort()"
    )
    becomes(page, kept, sorted(paths))


def test_the_page_itself_opens_without_a_connection_and_its_notes_arrive_once(
    context: BrowserContext, signed_in: Page, outside_requests: list[str]
) -> None:
    page = signed_in
    page.goto("/jobs/2/notes")
    keeps(page, "/jobs/2/notes", "/jobs/2/day-sheet")
    page.wait_for_load_state("networkidle")
    page.goto("/jobs/2/price")
    page.wait_for_load_state("networkidle")
    context.set_offline(True)
    other = context.new_page()
    with pytest.raises(Error, match="ERR_INTERNET_DISCONNECTED"):
        other.goto("/jobs/2/price")
    other.close()
    page.goto("/jobs/2/notes")
    expect(page.get_by_role("heading", level=1)).to_have_text("Notes from the roof")
    expect(page.locator("#said")).to_contain_text("No connection")
    for words in ("fourth, reloaded offline", "fifth, reloaded offline"):
        note(page, words)
        page.locator("#notes-list li", has_text=words).wait_for()
    page.reload()
    expect(page.locator("#notes-waiting")).to_contain_text("2 notes wait")
    page.goto("/jobs/2/day-sheet")
    expect(page.get_by_role("heading", level=1)).to_contain_text("Day sheet")
    context.set_offline(False)
    page.goto("/jobs/2/notes")
    arrived(page)
    page.reload()
    said = page.locator("tbody .words").all_inner_texts()
    found = [line.split(" reloaded")[0] for line in said if "reloaded offline" in line]
    assert found == ["fifth,", "fourth,"]
    keeps(page, "/jobs/2/notes", "/jobs/2/day-sheet")
    assert outside_requests == []


def test_whoever_signs_out_leaves_no_page_on_the_device(context: BrowserContext, signed_in: Page) -> None:
    page = signed_in
    page.goto("/jobs/2/notes")
    keeps(page, "/jobs/2/notes", "/jobs/2/day-sheet")
    page.get_by_role("button", name=re.compile("Sign out")).click()
    expect(page).to_have_url(re.compile("/sign-in"))
    keeps(page)
    context.set_offline(True)
    with pytest.raises(Error, match="ERR_"):
        page.goto("/jobs/2/notes")
