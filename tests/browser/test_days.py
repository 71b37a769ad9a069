"""The days as the office meets them: rain, an inspector who says no, a change signed on a phone."""

import re
from datetime import UTC, datetime, timedelta

import pytest
from playwright.sync_api import Browser, Page, expect

from tests.browser.axe import faults, overflow_px
from tests.browser.conftest import PHONE
from tests.browser.test_whole_way import client_link, started

pytestmark = [pytest.mark.browser, pytest.mark.xdist_group("browser")]
TODAY = datetime.now(UTC).date()
# Far off: jobs that other tests signed on the same firm are done by then, and the crew is free.
START = TODAY + timedelta(days=300)


def a_signed_job(page: Page, browser: Browser) -> tuple[str, str]:
    """A job of the demo's client, offered and signed; gives its path and the client's link."""
    page.goto("/clients/1")
    page.get_by_role("link", name="Start a job for this client").click()
    job = started(page, "Deck for the days")
    page.goto(f"{job}/days")
    page.get_by_label("Crew").first.select_option(index=1)
    page.get_by_label("First day on the roof").fill(START.isoformat())
    page.get_by_role("button", name="Set crew and day").click()
    was_sent(page)
    link = client_link(page, job)
    phone = browser.new_context(viewport=PHONE).new_page()
    phone.goto(link)
    phone.get_by_label("Your full name").fill("Wren Calloway")
    phone.get_by_label(re.compile("I have read this proposal")).check()
    phone.get_by_role("button", name="Accept and sign").click()
    expect(phone).to_have_url(re.compile(r"/offer/thanks"))
    phone.context.close()
    return job, link


def was_sent(page: Page, said: str = "saved") -> None:
    """Wait for the answer of a form before going on elsewhere: leaving would cut it off."""
    expect(page).to_have_url(re.compile(f"said={said}"))


def accept(page: Page) -> None:
    page.goto("/days")
    page.get_by_role("button", name="Accept this plan").click()
    expect(page.get_by_text("The plan holds from now on.")).to_be_visible()


def needed(page: Page, job: str) -> list[str]:
    page.goto(f"{job}/orders")
    cells = page.locator("table", has_text="soonest first").locator("tbody tr td:nth-child(6)")
    return sorted(cells.all_inner_texts(), key=lambda words: words[-4:])


def test_rain_moves_a_job_and_its_orders_an_inspector_says_no_and_a_change_is_signed_on_a_phone(
    signed_in: Page, browser: Browser
) -> None:
    page = signed_in
    job, link = a_signed_job(page, browser)
    accept(page)
    before = needed(page, job)

    first = page.request.get(f"/api{job}/days").json()["start_on"]
    page.goto(f"/days?kind=rain&on={first}")
    expect(page.get_by_role("main")).to_contain_text("this would follow; nothing is changed")
    expect(page.locator("table", has_text="Tasks on other days")).to_contain_text("Set up and protect")
    assert not faults(page)
    assert needed(page, job) == before, "supposing moves nobody"
    page.goto(f"/days?kind=rain&on={first}")
    page.get_by_role("button", name="Expect it and accept this plan").click()
    expect(page.get_by_text("The plan holds from now on.")).to_be_visible()
    expect(page.get_by_role("main")).to_contain_text("Expected: it rains,")
    assert needed(page, job) != before, "its orders follow"
    page.goto("/days")
    page.get_by_role("button", name=re.compile("^No longer")).click()
    expect(page.get_by_role("main")).to_contain_text("Nobody’s days change until you accept")
    accept(page)
    assert needed(page, job) == before

    page.goto("/shop/work")
    page.get_by_label("From", exact=True).fill(START.isoformat())
    page.get_by_label("To", exact=True).fill((START + timedelta(days=6)).isoformat())
    page.get_by_label("Why").fill("a week of rain")
    page.get_by_role("button", name="Add", exact=True).click()
    was_sent(page)
    assert needed(page, job) == before, "nobody's days change before the plan is accepted"
    page.goto("/days")
    expect(page.get_by_role("main")).to_contain_text("Nobody’s days change until you accept")
    assert not faults(page)
    accept(page)
    assert needed(page, job) != before

    page.goto(f"{job}/log")
    page.get_by_text("Somebody looked and did not pass it").click()
    page.get_by_label("Hold point", exact=True).select_option("drainage check")
    page.get_by_label("Who looked").fill("J. Rask")
    page.get_by_label("What was wrong").fill("water stands at the drain")
    page.get_by_label("Next visit not before").fill((START + timedelta(days=40)).isoformat())
    page.get_by_role("button", name="Note that it was not passed").click()
    was_sent(page, "refused")
    page.goto("/days")
    expect(page.locator("table", has_text="Tasks on other days")).to_contain_text("Lay the boards")
    accept(page)

    page.goto(f"{job}/changes")
    page.get_by_text("A change agreed by word of mouth").click()
    box = page.locator("details", has_text="A change agreed by word of mouth")
    box.get_by_label("Change").fill("Shelf by the door")
    box.get_by_label("Who said so").fill("Wren Calloway")
    box.get_by_label("When").fill(TODAY.isoformat())
    box.get_by_label(re.compile("Price")).fill("180")
    box.get_by_role("button", name="Note it").click()
    expect(page.get_by_text("Not signed: change 1")).to_be_visible()
    page.get_by_role("button", name="Make it to sign").click()
    expect(page.get_by_role("button", name="Make it to sign")).to_have_count(0)

    phone = browser.new_context(viewport=PHONE, has_touch=True).new_page()
    phone.goto(link)
    phone.get_by_role("link", name="Changes since").click()
    assert overflow_px(phone) <= 0
    assert not faults(phone)
    phone.get_by_label("Your full name").fill("Wren Calloway")
    phone.get_by_label(re.compile("I agree to this change")).check()
    phone.get_by_role("button", name=re.compile("Agree to change")).click()
    expect(phone.get_by_text("Signed by Wren Calloway")).to_be_visible()
    phone.context.close()
    page.goto(f"{job}/changes")
    expect(page.get_by_text("Not signed: change")).to_have_count(0)


@pytest.mark.parametrize(
    "sheet", ["day-sheet", "notes", "orders", "changes", "log", "handover", "money", "days"]
)
def test_the_sheets_of_the_days_fit_a_phone(signed_in: Page, sheet: str) -> None:
    page = signed_in
    page.set_viewport_size(PHONE)
    page.goto(f"/jobs/1/{sheet}")
    assert overflow_px(page) <= 0
    assert not faults(page)
