"""A wall folded up into its elevation: its openings are drawn there by mouse, finger, keyboard, or typed."""

import re

import pytest
from playwright.sync_api import Page, expect

from tests.browser.axe import faults
from tests.browser.board import Mouse, Spot, Touch, choose, job_of, press, said, stands_still

pytestmark = [pytest.mark.browser, pytest.mark.xdist_group("browser")]

ON_THE_WALL = """([x, z]) => {
    const sheet = document.querySelector(".board-folded svg");
    const path = sheet.querySelector(".ink-wall-outline").getAttribute("d");
    const start = path.match(/^M([-.0-9]+) ([-.0-9]+)/).slice(1).map(Number);
    const spot = new DOMPoint(start[0] + x, start[1] - z).matrixTransform(sheet.getScreenCTM());
    return [spot.x, spot.y];
}"""


def folded_up(page: Page) -> None:
    choose(page, "Screen wall")
    press(page, "Fold the wall up")
    drawn_by_server(page)


def drawn_by_server(page: Page) -> None:
    page.locator(".board-folded .beneath .ink-wall-outline").wait_for()
    page.locator(".board-folded svg").evaluate("(svg) => svg.scrollIntoView({ block: 'center' })")
    stands_still(page)


class OnTheWall(Mouse):
    """A mouse whose spots lie on the wall that is folded up."""

    def screen(self, at: Spot) -> Spot:
        x, y = self.page.evaluate(ON_THE_WALL, list(at))
        return x, y


class FingerOnTheWall(Touch, OnTheWall):
    """A finger on it."""


def openings_of(page: Page, job: str) -> dict[str, tuple[float, ...]]:
    walls = job_of(page, job)["plan"]["feature_walls"]
    return {
        one["id"]: tuple(one[key] for key in ("x", "z", "width", "height")) for one in walls[0]["openings"]
    }


def drawn_moved_and_sized(hand: Mouse, page: Page, job: str) -> None:
    folded_up(page)
    press(page, "Draw an opening")
    drawn_by_server(page)
    hand.drag((600, 300), (1200, 700))
    said(page, "niche opening-1 drawn.")
    assert openings_of(page, job)["opening-1"] == (600, 300, 600, 400)
    drawn_by_server(page)
    hand.drag((900, 500), (1100, 900))
    said(page, "niche opening-1 moved.")
    drawn_by_server(page)
    hand.drag((1400, 1100), (1700, 1600))  # its upper corner at the end
    said(page, "niche opening-1 sized.")
    assert openings_of(page, job) == {"slot": (100, 1200, 300, 600), "opening-1": (800, 700, 900, 900)}


def test_an_opening_is_drawn_moved_and_sized_on_the_wall_by_mouse(page: Page, job: str) -> None:
    drawn_moved_and_sized(OnTheWall(page), page, job)
    assert not faults(page)
    for _ in range(3):
        press(page, "Undo")
    assert list(openings_of(page, job)) == ["slot"]


def test_an_opening_is_drawn_moved_and_sized_on_the_wall_by_finger(tablet: Page, job: str) -> None:
    drawn_moved_and_sized(FingerOnTheWall(tablet), tablet, job)
    box = tablet.locator(".board-folded .handle").last.bounding_box()
    assert box is not None
    assert min(box["width"], box["height"]) >= 43.9  # gloves: 44 px, WCAG 2.5.5


def test_an_opening_is_added_moved_sized_and_taken_out_by_keyboard(page: Page, job: str) -> None:
    folded_up(page)
    page.get_by_role("button", name="Add a niche").press("Enter")
    said(page, "niche opening-1 added.")
    page.get_by_role("button", name=re.compile("^niche opening-1,")).focus()
    for key in ("ArrowRight", "Shift+ArrowDown", "Alt+ArrowLeft"):
        page.keyboard.press(key)
    page.keyboard.press("Tab")
    page.keyboard.press("Tab")
    page.keyboard.press("Alt+ArrowUp")
    assert openings_of(page, job)["opening-1"] == (799, 0, 600, 401)
    page.locator("#opening-opening-1-width").fill("2'")
    page.locator("#opening-opening-1-width").press("Tab")
    said(page, "niche opening-1 changed.")
    page.locator("#opening-opening-1-x").fill("1900")
    page.locator("#opening-opening-1-x").press("Tab")
    expect(page.locator(".opening-fields").last).to_contain_text(
        "reach out of the wall, which is 2000 mm long"
    )
    assert openings_of(page, job)["opening-1"] == (799, 0, pytest.approx(609.6), 401)
    page.get_by_role("button", name=re.compile("^niche opening-1,")).press("Delete")
    assert list(openings_of(page, job)) == ["slot"]
    press(page, "Undo")
    assert len(openings_of(page, job)) == 2


def test_a_wall_folds_up_into_its_elevation_as_drawn_now(page: Page) -> None:
    choose(page, "Screen wall")
    page.locator("#chosen-height").fill("1900")
    page.locator("#chosen-height").press("Tab")
    press(page, "Fold the wall up")
    expect(page.locator(".board-folded svg text", has_text=re.compile("^1900 mm$")).first).to_be_visible()
    page.locator("summary", has_text="Look at it").click()
    for words in ("View of the whole, turned", "The roof after dark", "Elevations of the walls"):
        link = page.get_by_role("link", name=words).get_attribute("href") or ""
        assert page.request.get(link).ok
    press(page, "Fold the wall up")
    expect(page.locator(".board-folded svg")).to_have_count(0)
