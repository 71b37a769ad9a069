"""The offer in a real browser: an assembly built, an option ticked on a phone, asked, signed; a stale tab."""

import re
from decimal import Decimal

import pytest
from playwright.sync_api import Browser, Page, expect

from tests.browser.axe import faults, overflow_px
from tests.browser.conftest import PHONE, Server
from tests.browser.test_whole_way import client_link, new_client, new_job

pytestmark = [pytest.mark.browser, pytest.mark.xdist_group("browser")]


def add_option(page: Page, job: str) -> None:
    page.goto(f"{job}/options")
    page.get_by_label("Code").fill("no-herbs")
    page.get_by_label("Name, as the client reads it").fill("Without the first planter")
    page.locator("input[name='leaves_out'][value='herbs-1']").check()
    page.get_by_role("button", name="Add the option").click()
    expect(page.get_by_role("table")).to_contain_text("Without the first planter")
    assert not faults(page)


def amounts(words: str) -> list[Decimal]:
    """Every amount of money in some words."""
    return [Decimal(found.replace(",", "")) for found in re.findall(r"\$([\d,]+\.\d\d)", words)]


def shown_price(page: Page) -> Decimal:
    """What the client pays, as the price sheet of the harbour workshop says."""
    tab = page.context.new_page()  # what is typed on the first page stays there
    tab.goto("/jobs/3/price")
    found = amounts(tab.get_by_role("row", name=re.compile("The client pays")).inner_text())[0]
    tab.close()
    return found


def test_an_assembly_is_built_tried_and_saved(signed_in: Page, server: Server) -> None:
    page = signed_in
    page.goto("/shop/assemblies")
    page.get_by_role("link", name="Make a new one").click()
    page.get_by_label("Code").fill("deck-wash")
    page.get_by_label("Name").fill("Wash the deck")
    page.get_by_label("For each unit of").select_option("deck.area")
    page.get_by_label("Where its rates come from").fill("our own time")
    page.get_by_label("Row 1, brings").fill("Wash")
    page.get_by_label("Row 1, kind").select_option("labour")
    page.get_by_label("Row 1, per unit").fill("0.05")
    assert not faults(page)
    page.get_by_label("Try it on a job").select_option("3")
    page.get_by_role("button", name="See what moves").click()
    expect(page.get_by_text("Nothing is saved yet")).to_be_visible()
    moved = page.get_by_role("region", name="Lines that move")
    expect(moved).to_contain_text("boards/deck-wash/1")
    before, after = amounts(page.get_by_text(re.compile("becomes")).inner_text())[:2]
    assert after > before
    assert shown_price(page) == before  # nothing moved yet
    page.get_by_role("button", name="Save").click()
    expect(page).to_have_url(re.compile("said=saved"))
    expect(page.get_by_role("heading", name="Wash the deck")).to_be_visible()
    assert shown_price(page) == after


def test_prices_are_found_while_typing(signed_in: Page, server: Server) -> None:
    page = signed_in
    page.goto("/shop/prices")
    page.get_by_label("Search by code, name or supplier").press_sequentially("flash")
    expect(page.locator("#found")).to_contain_text("CAP-FLASHING")
    expect(page.locator("#found tbody tr")).to_have_count(1)
    expect(page.get_by_label("Search by code, name or supplier")).to_be_focused()


def test_a_client_ticks_an_option_on_a_phone_asks_and_signs(
    signed_in: Page, browser: Browser, server: Server
) -> None:
    desk = signed_in
    new_client(desk)
    job = new_job(desk)
    add_option(desk, job)
    link = client_link(desk, job)
    context = browser.new_context(viewport=PHONE, has_touch=True, locale="en-US", base_url=server.address)
    page = context.new_page()
    page.goto(link)
    stale = context.new_page()
    stale.goto("/offer")
    before = page.locator("#options [role='status']").inner_text()
    page.get_by_label(re.compile("Without the first planter")).tap()
    expect(page.locator("#options [role='status']")).not_to_have_text(before)
    assert overflow_px(page) <= 0
    assert not faults(page)
    page.get_by_label("Ask the firm").fill("How high is the step?")
    page.get_by_role("button", name="Ask").click()
    expect(page.locator("#questions")).to_contain_text("How high is the step?")
    page.get_by_label(re.compile("Without the first planter")).tap()
    expect(page.get_by_text("You sign with Without the first planter")).to_be_visible()
    pad = page.locator("svg.draw")
    pad.scroll_into_view_if_needed()
    box = pad.bounding_box()
    assert box
    page.mouse.move(box["x"] + 20, box["y"] + 20)
    page.mouse.down()
    page.mouse.move(box["x"] + 90, box["y"] + 50, steps=5)
    page.mouse.up()
    page.get_by_label("Your full name").fill("Wren Calloway")
    page.get_by_label(re.compile("I have read this proposal")).check()
    page.get_by_role("button", name="Accept and sign").click()
    expect(page).to_have_url(re.compile("/offer/thanks"))
    page.get_by_role("link", name="Certificate of the signature").click()
    expect(page.get_by_label("Signature as drawn")).to_be_visible()
    assert not faults(page)
    assert overflow_px(page) <= 0
    stale.get_by_label("Your full name").fill("Somebody Else")
    stale.get_by_label(re.compile("I have read this proposal")).check()
    stale.get_by_role("button", name="Accept and sign").click()
    expect(stale.get_by_text("Signed by Wren Calloway")).to_be_visible()
    context.close()


def test_a_replayed_form_and_a_forged_token_sign_nothing_and_the_firm_signs_below(
    signed_in: Page, browser: Browser, server: Server
) -> None:
    desk = signed_in
    new_client(desk)
    job = new_job(desk)
    link = client_link(desk, job)
    context = browser.new_context(viewport=PHONE, base_url=server.address)
    page = context.new_page()
    page.goto(link)
    form = {
        name: page.locator(f"form[action='/offer/sign'] input[name='{name}']").input_value()
        for name in ("form_token", "fingerprint")
    } | {"name": "Mallory", "consent": "yes"}
    forged = page.request.post("/offer/sign", form={**form, "form_token": "A" * 43})
    assert forged.status == 403
    other = browser.new_context(base_url=server.address)
    assert other.request.post("/offer/sign", form=form).status == 403
    page.get_by_label("Your full name").first.fill("Wren Calloway")
    page.get_by_label(re.compile("I have read this proposal")).check()
    page.get_by_role("button", name="Accept and sign").click()
    expect(page.get_by_text("Signed by Wren Calloway")).to_be_visible()
    again = page.request.post("/offer/sign", form=form)  # the same form once more, with another name
    assert again.ok
    assert "Wren Calloway" in again.text()
    assert "Mallory" not in again.text()
    desk.goto(f"{job}/proposal")
    desk.get_by_label(re.compile("for the firm: full name")).fill("Maren Holt")
    desk.get_by_role("button", name="Sign for the firm").click()
    expect(desk.get_by_role("region", name="Revisions")).to_contain_text("Maren Holt")
    assert not faults(desk)
    desk.get_by_text(re.compile("What was done through the link")).first.click()
    expect(desk.get_by_text(re.compile("looked at: plan")).first).to_be_visible()
    page.goto("/offer/certificate")
    expect(page.get_by_text(re.compile("Maren Holt"))).to_be_visible()
    desk.get_by_role("button", name=re.compile("^Withdraw")).first.click()
    answer = page.goto("/offer")
    assert answer is not None
    assert answer.status == 410
    context.close()
    other.close()


def test_without_javascript_the_client_reads_chooses_and_signs(
    signed_in: Page, browser: Browser, server: Server
) -> None:
    desk = signed_in
    new_client(desk)
    job = new_job(desk)
    add_option(desk, job)
    link = client_link(desk, job)
    context = browser.new_context(viewport=PHONE, java_script_enabled=False, base_url=server.address)
    page = context.new_page()
    page.goto(link)
    page.get_by_label(re.compile("Without the first planter")).check()
    page.get_by_role("button", name="Show the proposal with these").click()
    expect(page.get_by_text("You sign with Without the first planter")).to_be_visible()
    expect(page.locator("svg.draw")).to_be_hidden()
    page.get_by_label("Your full name").fill("Wren Calloway")
    page.get_by_label(re.compile("I have read this proposal")).check()
    page.get_by_role("button", name="Accept and sign").click()
    expect(page.get_by_text("Signed by Wren Calloway")).to_be_visible()
    context.close()
