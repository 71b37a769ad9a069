"""Notes made without a connection arrive once, in order, when it is back."""

import pytest
from playwright.sync_api import BrowserContext, Page, Route, expect

pytestmark = [pytest.mark.browser, pytest.mark.xdist_group("browser")]


def note(page: Page, words: str) -> None:
    page.get_by_label("In words").fill(words)
    page.get_by_role("button", name="Note it").click()


def test_notes_made_offline_arrive_once_and_in_order(context: BrowserContext, signed_in: Page) -> None:
    page = signed_in
    page.goto("/jobs/1/notes")
    context.set_offline(True)
    for words in ("first, offline", "second, offline", "third, offline"):
        note(page, words)
        page.locator("#notes-list li", has_text=words).wait_for()
    assert "3 notes wait" in page.locator("#notes-waiting").inner_text()
    context.set_offline(False)
    expect(page.locator("#notes-list li")).to_have_count(0, timeout=30_000)
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
    expect(page.locator("#notes-list li")).to_have_count(0, timeout=30_000)
    page.reload()
    assert lost == [200]
    said = page.locator("tbody .words").all_inner_texts()
    assert sum("sent twice, kept once" in line for line in said) == 1
