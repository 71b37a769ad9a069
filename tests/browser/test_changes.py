"""A change after signing, signed on a phone on the same link; the handover file received on a phone."""

import re
from decimal import Decimal

import pytest
from playwright.sync_api import Browser, BrowserContext, Page, expect

from tests.browser.axe import faults, overflow_px
from tests.browser.conftest import PHONE, Server
from tests.browser.test_whole_way import change_spacing, client_link, new_client, new_job

pytestmark = [pytest.mark.browser, pytest.mark.xdist_group("browser")]


def amount(words: str) -> Decimal:
    found = re.search(r"(\u2212|-)?\$([\d,]+\.\d\d)", words)
    assert found, words
    return Decimal(found.group(2).replace(",", "")) * (-1 if found.group(1) else 1)


def row(page: Page, name: str) -> Decimal:
    return amount(page.get_by_role("row", name=re.compile(name)).first.inner_text())


def on_a_phone(browser: Browser, server: Server) -> BrowserContext:
    found = browser.new_context(viewport=PHONE, has_touch=True, locale="en-US", base_url=server.address)
    found.set_default_timeout(60_000)
    return found


def signed_job(page: Page, phone: Page) -> str:
    """A job whose offer was signed on the phone."""
    new_client(page)
    job = new_job(page)
    phone.goto(client_link(page, job))
    phone.get_by_label("Your full name").fill("Wren Calloway")
    phone.get_by_label(re.compile("I have read this proposal")).check()
    phone.get_by_role("button", name="Accept and sign").click()
    expect(phone.get_by_text("Signed by Wren Calloway")).to_be_visible()
    return job


def test_a_change_order_is_signed_on_a_phone_and_the_contract_sum_follows(
    signed_in: Page, browser: Browser, server: Server, outside_requests: list[str]
) -> None:
    page, context = signed_in, on_a_phone(browser, server)
    phone = context.new_page()
    job = signed_job(page, phone)
    change_spacing(page, job, "300 mm")
    page.goto(f"{job}/changes")
    page.locator("#f-title").fill("Closer sleepers")
    page.get_by_role("button", name="Make a change order of it").click()
    expect(page.get_by_text("Not signed: change 1")).to_be_visible()
    page.goto("/")
    expect(page.get_by_role("region", name="Changes nobody signed")).to_contain_text("Closer sleepers")
    phone.goto("/offer/changes")
    before, change, after = (row(phone, name) for name in ("before", "This change", "with this change"))
    assert before + change == after
    assert overflow_px(phone) <= 0
    assert not faults(phone)
    phone.get_by_role("button", name=re.compile("Agree to change 1")).tap()
    expect(phone.get_by_text("There is a problem")).to_be_visible()
    phone.get_by_label("Your full name").fill("Wren Calloway")
    phone.get_by_label(re.compile("I agree to this change")).check()
    phone.get_by_role("button", name=re.compile("Agree to change 1")).tap()
    expect(phone.get_by_text("Signed by Wren Calloway")).to_be_visible()
    assert overflow_px(phone) <= 0
    page.goto(f"{job}/changes")
    expect(page.get_by_text("Not signed")).to_have_count(0)
    assert row(page, "Contract with signed changes") == after
    page.goto(f"{job}/money")
    expect(page.get_by_role("region", name="Payments")).to_contain_text("Change order 1: Closer sleepers")
    assert not faults(page)
    assert outside_requests == []
    context.close()


def test_the_handover_file_is_frozen_and_received_on_a_phone(
    signed_in: Page, browser: Browser, server: Server
) -> None:
    page, context = signed_in, on_a_phone(browser, server)
    phone = context.new_page()
    job = signed_job(page, phone)
    page.goto(f"{job}/handover")
    page.get_by_role("button", name=re.compile("^Hand over")).click()
    expect(page.get_by_role("region", name="Files handed over")).to_contain_text("not yet")
    page.get_by_role("button", name="Make an address for the client").click()
    phone.goto(page.get_by_label("Address of the handover file").input_value())
    expect(phone.get_by_role("link", name="Open the file (PDF)")).to_be_visible()
    assert overflow_px(phone) <= 0
    assert not faults(phone)
    phone.get_by_role("button", name="I have received it").tap()
    expect(phone.get_by_text("There is a problem")).to_be_visible()
    phone.get_by_label("Your full name").fill("Wren Calloway")
    phone.get_by_label(re.compile("I have received this file")).check()
    phone.get_by_role("button", name="I have received it").tap()
    expect(phone.get_by_text("Received by Wren Calloway")).to_be_visible()
    page.reload()
    expect(page.get_by_role("region", name="Files handed over")).to_contain_text("Wren Calloway")
    assert not faults(page)
    context.close()
