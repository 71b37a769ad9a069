"""Passkeys in Chromium, with the key made of software that the browser offers to tests (WebAuthn, 11)."""

import re

import pytest
from playwright.sync_api import Browser, Page

from tests.browser.axe import faults, overflow_px
from tests.browser.conftest import DESK, PHONE, Server

pytestmark = [pytest.mark.browser, pytest.mark.xdist_group("browser")]
_KEY = {
    "protocol": "ctap2",
    "transport": "usb",
    "hasResidentKey": False,
    "hasUserVerification": True,
    "isUserVerified": True,
    "automaticPresenceSimulation": True,
}


def _give_key(page: Page) -> None:
    """Put a key into the page's computer."""
    devices = page.context.new_cdp_session(page)
    devices.send("WebAuthn.enable")
    devices.send("WebAuthn.addVirtualAuthenticator", {"options": _KEY})


def _show_password(page: Page, server: Server) -> None:
    page.goto("/sign-in")
    page.get_by_label("E-mail").fill(server.email)
    page.get_by_label("Password").fill(server.password)
    page.get_by_role("button", name="Sign in").click()


def test_a_passkey_is_added_and_opens_the_door(browser: Browser, server: Server) -> None:
    # Browsers give passkeys to names, and over plain HTTP to this one alone.
    named = server.address.replace("127.0.0.1", "localhost")
    context = browser.new_context(base_url=named, viewport=DESK)
    context.set_default_timeout(20_000)
    page = context.new_page()
    fails: list[str] = []
    page.on("console", lambda line: fails.append(line.text) if "Content Security" in line.text else None)
    _give_key(page)
    _show_password(page, server)
    page.goto("/me")
    page.get_by_label("Name of the passkey").fill("blue key")
    add = page.locator("form[action='/me/passkeys']")
    add.get_by_label("Your password").fill("not it")
    page.get_by_role("button", name="Add a passkey").click()
    page.get_by_text("That is not your password.").wait_for()
    add.get_by_label("Your password").fill(server.password)
    page.get_by_role("button", name="Add a passkey").click()
    page.get_by_role("heading", name="Recovery codes: shown this once").wait_for()
    page.get_by_role("rowheader", name="blue key").wait_for()
    assert not faults(page)
    page.set_viewport_size(PHONE)
    assert overflow_px(page) <= 0

    # The same key is not taken twice, and says so.
    page.set_viewport_size(DESK)
    page.get_by_label("Name of the passkey").fill("again")
    add.get_by_label("Your password").fill(server.password)
    page.get_by_role("button", name="Add a passkey").click()
    page.get_by_text("one of your passkeys already").wait_for()

    page.get_by_role("button", name=re.compile("^Sign out")).click()
    _show_password(page, server)
    page.get_by_role("heading", name="Enter the code").wait_for()
    assert not faults(page)
    page.get_by_role("button", name="Use a passkey").click()
    page.get_by_role("heading", level=1, name="This week").wait_for()

    # Removed again, so that the tests after this one sign in by password alone.
    page.goto("/me")
    page.get_by_text("Change the passkey blue key").click()
    page.locator("form[action='/me/passkeys/remove']").get_by_label("Your password").fill(server.password)
    page.get_by_role("button", name="Remove the passkey").click()
    page.get_by_text("The passkey is removed").wait_for()
    assert fails == []
    context.close()


def test_at_another_name_of_the_server_it_says_where_passkeys_work(signed_in: Page, server: Server) -> None:
    signed_in.goto("/me")
    signed_in.get_by_label("Name of the passkey").fill("blue key")
    signed_in.get_by_role("button", name="Add a passkey").click()
    named = server.address.replace("127.0.0.1", "localhost")
    signed_in.get_by_text(f"Passkeys work at {named} only").wait_for()


def test_without_script_the_app_stays_and_no_dead_button_is_shown(browser: Browser, server: Server) -> None:
    context = browser.new_context(base_url=server.address, java_script_enabled=False)
    page = context.new_page()
    _show_password(page, server)
    page.goto("/me")
    assert page.get_by_role("button", name="Set the app").is_visible()
    assert not page.get_by_role("button", name="Add a passkey").is_visible()
    assert page.get_by_text("the app does without").is_visible()
    context.close()
