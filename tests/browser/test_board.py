"""The drawing board in a browser: the same roof by mouse, by finger and by keyboard alone; nothing lost."""

import re
import sys
import time
from datetime import date
from typing import Any

import pytest
from playwright.sync_api import Browser, Page

from app.actions.starting import starting_document
from tests.browser.board import (
    Hand,
    Keys,
    Mouse,
    Touch,
    document_of,
    new_job,
    open_board,
    said,
    saved,
    stands_still,
)
from tests.browser.conftest import Server

pytestmark = [pytest.mark.browser, pytest.mark.xdist_group("browser")]

ROOF = ((0, 0), (9000, 0), (9000, 4200), (5400, 4200), (5400, 7000), (0, 7000))
HEIGHTS = (
    (-230, ((300, 300), (8700, 300))),
    (-150, ((300, 3900), (8700, 3900))),
    (-90, ((300, 6700), (5100, 6700))),
)
MOST_ACTIONS = 60  # the bar: a pencil on squared paper
EMPTY = starting_document("drawn", "Drawn from nothing", date(2026, 5, 4), "USD")


def draw_the_demo_roof(hand: Hand) -> None:
    """The demo's roof and plan, from a blank survey, everything on a grid of 100 mm."""
    hand.count("choose whose materials")
    choose = hand.page.get_by_label(re.compile("^Materials of"))
    value = choose.locator("option", has_text="Harbour workshop").first.get_attribute("value")
    choose.select_option(value)
    hand.press_button("Take these materials")
    said(hand.page, "materials taken over.")
    survey(hand)
    plan(hand)
    services(hand)


def survey(hand: Hand) -> None:
    hand.press_button("Smaller")
    hand.press_button("Smaller")
    stands_still(hand.page)
    hand.tool("Roof outline")
    hand.outline(ROOF)
    stands_still(hand.page)
    hand.count("choose the old heights")
    hand.page.locator("summary", has_text="Everything drawn").evaluate(
        "(s) => { s.parentElement.open = true; }"
    )
    hand.page.locator("#board-things section", has_text="Spot height").get_by_role(
        "button", name="Choose all"
    ).press("Enter")
    hand.press_button("Delete")
    hand.tool("Spot height")
    for z, places in HEIGHTS:
        hand.value("z", str(z))
        hand.spots(places)
    hand.tool("Drain")
    hand.spots(((600, 600),))
    hand.tool("Vent")
    hand.spots(((2600, 3000),))
    hand.tool("Door")
    hand.value("Threshold", "15")
    hand.spots(((6000, 4200),))


def plan(hand: Hand) -> None:
    hand.tool("Deck field")
    hand.rectangle((200, 200), (8800, 4000))
    hand.rectangle((200, 4200), (5200, 6200))
    hand.tool("Stone bed")
    hand.rectangle((200, 6400), (5200, 6800))
    hand.tool("Planter")
    hand.box((3000, 600), (1200, 400))
    hand.box((600, 5200), (400, 1200))
    hand.tool("Bench")
    hand.box((600, 2400), (400, 2000))
    hand.tool("Counter")
    hand.box((7400, 3500), (1600, 600))
    hand.tool("Feature wall")
    hand.line((5400, 6600), (5400, 4600))
    hand.tool("Furniture")
    hand.box((5400, 2200), (1800, 800))
    hand.box((2200, 5200), (800, 1600))


def services(hand: Hand) -> None:
    hand.tool("Power point")
    hand.spots(((7400, 4200),))
    hand.tool("Transformer")
    hand.spots(((8200, 4200),))
    hand.tool("Light")
    hand.spots(((1000, 1800), (1000, 3000)))
    hand.tool("Outlet")
    hand.spots(((4000, 1000),))


def drawn_by(page: Page, hand: Hand, title: str) -> dict[str, Any]:
    job = new_job(page, title, EMPTY)
    open_board(page, job)
    started = time.perf_counter()
    draw_the_demo_roof(hand)
    seconds = time.perf_counter() - started
    saved(page)
    document = document_of(page, job)
    sys.stdout.write(f"\n{title}: {hand.actions} actions, {seconds:.1f} s\n")
    assert hand.actions < MOST_ACTIONS, hand.log
    return {part: document[part] for part in ("survey", "plan", "choices")}


def test_mouse_finger_and_keyboard_draw_the_same_job_file(
    signed_in: Page, browser: Browser, server: Server, outside_requests: list[str]
) -> None:
    by_mouse = drawn_by(signed_in, Mouse(signed_in), "by mouse")
    by_keys = drawn_by(signed_in, Keys(signed_in), "by keyboard")
    tablet = browser.new_context(
        base_url=server.address,
        viewport={"width": 1180, "height": 1180},
        has_touch=True,
        locale="en-US",
        storage_state=signed_in.context.storage_state(),
    )
    page = tablet.new_page()
    by_finger = drawn_by(page, Touch(page), "by touch")
    tablet.close()
    assert by_mouse["survey"] == by_keys["survey"] == by_finger["survey"]
    assert by_mouse["plan"] == by_keys["plan"] == by_finger["plan"]
    assert by_mouse["choices"] == by_keys["choices"] == by_finger["choices"]
    assert len(by_mouse["survey"]["outline"]) == 6
    assert [field["id"] for field in by_mouse["plan"]["deck_fields"]] == ["deck-1", "deck-2"]
    assert outside_requests == []
