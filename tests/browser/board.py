"""Three ways to draw on the board: by pointer, by keyboard alone, by touch. Each action is counted once."""

import json
import re
from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

from playwright.sync_api import CDPSession, Page, expect

from tests import demo

if TYPE_CHECKING:
    from tests.browser.conftest import Server

Spot = tuple[float, float]
# Three frames on, what was drawn is on the screen, and raw touches hit what the last one showed.
_FRAMES = """() => new Promise((done) => {
    let left = 3;
    const next = () => { left -= 1; left ? requestAnimationFrame(next) : done(); };
    requestAnimationFrame(next);
})"""


def sign_in(page: Page, server: "Server") -> None:
    page.goto("/")
    page.get_by_label("E-mail").fill(server.email)
    page.get_by_label("Password").fill(server.password)
    page.get_by_role("button", name="Sign in").click()
    page.get_by_role("heading", level=1).wait_for()


def new_job(page: Page, title: str, document: dict[str, Any]) -> str:
    """Start a job from a job file; give its path."""
    page.goto("/jobs/new?client=1")
    page.get_by_label("Title").fill(title)
    page.get_by_label("A job file", exact=True).check()
    page.get_by_label(re.compile("Job file, pasted")).last.fill(json.dumps(document))
    page.get_by_role("button", name="Start the job").click()
    page.wait_for_url(re.compile(r"/jobs/\d+/"))
    found = re.search(r"(/jobs/\d+)/", page.url)
    assert found, page.inner_text("main")[:800]
    return found.group(1)


def stands_still(page: Page) -> None:
    """Wait until the screen shows what the page last drew."""
    page.evaluate(_FRAMES)


def open_board(page: Page, job: str) -> None:
    page.goto(f"{job}/board")
    page.locator("#board[data-ready]").wait_for()
    page.locator("#board-figures dd").first.wait_for()


def opened_anew(page: Page, job: str) -> Page:
    """The board with the demo job as it was, in a browser that remembers nothing."""
    page.goto("/health")  # away from the board first: what it still saves must not come after the start
    for _ in range(5):  # what it sent before it went may still arrive in between
        now = page.request.get(f"/api{job}").json()
        put = page.request.put(f"/api{job}", data={"version": now["version"], "document": demo.document()})
        if put.ok:
            break
    assert put.ok, put.text()
    page.evaluate("localStorage.clear()")
    open_board(page, job)
    return page


def said(page: Page, words: str | re.Pattern[str]) -> None:
    """Wait until the board has said these words."""
    expect(page.locator("#board-said")).to_have_text(words)


def saved(page: Page) -> None:
    """Save, and wait until everything that was drawn is on the server."""
    page.locator("#board-save").click()
    expect(page.locator("#board-kept[data-state=saved]")).to_be_visible()


def choose(page: Page, *names: str) -> None:
    """Choose things by name in the list of everything drawn."""
    page.locator("details", has=page.locator("#board-things")).evaluate("(one) => { one.open = true; }")
    for number, name in enumerate(names):
        entry = page.locator("#board-things").get_by_role("button", name=name, exact=True)
        entry.click(modifiers=["Shift"] if number else [])


def press(page: Page, name: str) -> None:
    page.get_by_role("button", name=name, exact=True).click()


def job_of(page: Page, job: str) -> dict[str, Any]:
    """The job as it is on the server once all that was drawn is saved."""
    saved(page)
    return document_of(page, job)


def document_of(page: Page, job: str) -> dict[str, Any]:
    answer = page.request.get(f"/api{job}")
    found: dict[str, Any] = answer.json()["document"]
    return found


@dataclass
class Hand:
    """Common to the three ways: choosing a tool and typing a value, and the count of actions."""

    page: Page
    actions: int = 0
    log: list[str] = field(default_factory=list)

    def count(self, what: str) -> None:
        self.actions += 1
        self.log.append(what)

    def screen(self, at: Spot) -> Spot:
        """Where a spot of the plan lies on the screen now."""
        found: list[float] = self.page.evaluate(
            """([x, y]) => {
                const svg = document.getElementById("board-drawing");
                const to = new DOMPoint(x, -y).matrixTransform(svg.getScreenCTM());
                return [to.x, to.y];
            }""",
            list(at),
        )
        return found[0], found[1]

    def bring_into_view(self) -> None:
        self.page.locator("#board-drawing").evaluate("(svg) => svg.scrollIntoView({block: 'center'})")
        stands_still(self.page)

    def tool(self, name: str) -> None:
        self.press_button(name)
        button = self.page.get_by_role("button", name=name, exact=True)
        expect(button).to_have_attribute("aria-pressed", "true")
        self.bring_into_view()

    def press_button(self, name: str) -> None:
        raise NotImplementedError

    def value(self, label: str, text: str) -> None:
        self.count(f"type {label}: {text}")
        self.page.locator("#board-tool").get_by_label(re.compile(f"^{label}")).fill(text)

    def outline(self, corners: Sequence[Spot]) -> None:
        raise NotImplementedError

    def rectangle(self, start: Spot, end: Spot) -> None:
        raise NotImplementedError

    def box(self, at: Spot, size: Spot) -> None:
        raise NotImplementedError

    def line(self, start: Spot, end: Spot) -> None:
        raise NotImplementedError

    def spots(self, places: Sequence[Spot]) -> None:
        raise NotImplementedError


class Mouse(Hand):
    """A mouse."""

    def press_button(self, name: str) -> None:
        self.count(f"press {name}")
        self.page.get_by_role("button", name=name, exact=True).click()

    def click(self, at: Spot) -> None:
        self.count(f"click {at}")
        self.page.mouse.click(*self.screen(at))

    def drag(self, start: Spot, end: Spot) -> None:
        self.count(f"drag {start} {end}")
        self.page.mouse.move(*self.screen(start))
        self.page.mouse.down()
        self.page.mouse.move(*self.screen(((start[0] + end[0]) / 2, (start[1] + end[1]) / 2)))
        self.page.mouse.move(*self.screen(end))
        self.page.mouse.up()

    def outline(self, corners: Sequence[Spot]) -> None:
        for corner in (*corners, corners[0]):
            self.click(corner)

    def rectangle(self, start: Spot, end: Spot) -> None:
        self.drag(start, end)

    def box(self, at: Spot, size: Spot) -> None:
        half = (size[0] / 2, size[1] / 2)
        self.drag((at[0] - half[0], at[1] - half[1]), (at[0] + half[0], at[1] + half[1]))

    def line(self, start: Spot, end: Spot) -> None:
        self.drag(start, end)

    def spots(self, places: Sequence[Spot]) -> None:
        for place in places:
            self.click(place)


class Touch(Mouse):
    """One finger, sent as the device would send it."""

    def __init__(self, page: Page) -> None:
        super().__init__(page)
        self.device: CDPSession = page.context.new_cdp_session(page)

    def press_button(self, name: str) -> None:
        self.count(f"tap {name}")
        button = self.page.get_by_role("button", name=name, exact=True)
        button.scroll_into_view_if_needed()
        stands_still(self.page)
        button.tap()

    def click(self, at: Spot) -> None:
        self.count(f"tap {at}")
        self.page.touchscreen.tap(*self.screen(at))

    def drag(self, start: Spot, end: Spot) -> None:
        self.count(f"drag {start} {end}")
        middle = ((start[0] + end[0]) / 2, (start[1] + end[1]) / 2)
        for kind, at in (
            ("touchStart", start),
            ("touchMove", middle),
            ("touchMove", end),
            ("touchEnd", None),
        ):
            points = [] if at is None else [dict(zip("xy", self.screen(at), strict=True))]
            self.device.send("Input.dispatchTouchEvent", {"type": kind, "touchPoints": points})


class Keys(Hand):
    """The keyboard alone: buttons are focused and pressed, places are typed."""

    def press_button(self, name: str) -> None:
        self.count(f"key {name}")
        button = self.page.get_by_role("button", name=name, exact=True)
        button.focus()
        self.page.keyboard.press("Enter")

    def typed(self, text: str) -> None:
        self.count(f"type {text}")
        self.page.locator("#typed-place").focus()
        self.page.keyboard.type(text)
        self.page.keyboard.press("Enter")

    def outline(self, corners: Sequence[Spot]) -> None:
        """Walked round, as it is called out on a roof."""
        ways = []
        for start, end in zip(corners, (*corners[1:], corners[0]), strict=True):
            dx, dy = end[0] - start[0], end[1] - start[1]
            way = ("east" if dx > 0 else "west") if dx else ("north" if dy > 0 else "south")
            ways.append(f"{(abs(dx) + abs(dy)) / 1000:g} m {way}")
        self.count(f"walk {ways}")
        self.page.locator("#walk-text").focus()
        self.page.keyboard.type(", ".join(ways))
        self.press_button("Draw the walk")
        said(self.page, re.compile(" drawn"))  # the server reads the walk

    def rectangle(self, start: Spot, end: Spot) -> None:
        self.typed(f"{start[0]:g}, {start[1]:g}; {end[0]:g}, {end[1]:g}")

    def box(self, at: Spot, size: Spot) -> None:
        is_upright = size[1] > size[0]
        long, wide = max(size), min(size)
        more = ", " if is_upright else ""
        if is_upright:  # length, width, its usual height, and the turn
            height = self.page.locator("#board-tool [data-asked=height]").input_value()
            more += f"{height}, 90"
        self.typed(f"{at[0]:g}, {at[1]:g}, {long:g}, {wide:g}{more}")

    def line(self, start: Spot, end: Spot) -> None:
        self.typed(f"{start[0]:g}, {start[1]:g}, {end[0]:g}, {end[1]:g}")

    def spots(self, places: Sequence[Spot]) -> None:
        self.typed("; ".join(f"{x:g}, {y:g}" for x, y in places))
