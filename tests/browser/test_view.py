"""The view of the whole in space: it turns without the server, measures truly, gives way to the drawing."""

import math
import re
from collections.abc import Callable, Iterator
from functools import partial
from typing import Any

import pytest
from playwright.sync_api import Browser, Page, expect

from tests.browser.axe import faults, overflow_px
from tests.browser.board import sign_in, stands_still
from tests.browser.conftest import DESK, PHONE, QUIET, Server, chromium

pytestmark = [pytest.mark.browser, pytest.mark.xdist_group("browser")]
IN_SOFTWARE = ("--enable-unsafe-swiftshader", "--use-angle=swiftshader")  # no graphics card is needed
FIRST_ZOOM = 1.35


@pytest.fixture
def page(browser: Browser, server: Server) -> Iterator[Page]:
    """A browser of its own that draws in space."""
    args = [flag for flag in QUIET if flag != "--disable-gpu"]
    started = browser.browser_type.launch(executable_path=chromium(), args=[*args, *IN_SOFTWARE])
    page = started.new_page(base_url=server.address, viewport=DESK, locale="en-US")
    sign_in(page, server)
    yield page
    started.close()


def harbour(page: Page) -> str:
    """The demo job with the most in it."""
    for number in range(1, 9):
        found = page.request.get(f"/api/jobs/{number}/board")
        if found.ok and len(found.json()["document"]["plan"].get("furniture", [])) > 1:
            return f"/jobs/{number}"
    raise AssertionError("the demo firm has no job with furniture")


def opened(page: Page) -> tuple[str, dict[str, Any]]:
    job = harbour(page)
    page.goto(f"{job}/view?on=2026-06-21&hour=15:00&turn=35&tilt=35")
    page.locator("#view-canvas[data-ready]").wait_for()
    model: dict[str, Any] = page.request.get(f"/api{job}/view?on=2026-06-21&hour=15:00").json()
    return job, model


def drawn_anew(page: Page, act: Callable[[], object]) -> str:
    """What the canvas shows once it has been drawn anew for what was done."""
    canvas = page.locator("#view-canvas")
    before = int(canvas.get_attribute("data-frames") or 0)
    act()
    page.wait_for_function(
        "(before) => Number(document.getElementById('view-canvas').dataset.frames) > before", arg=before
    )
    stands_still(page)
    found: str = canvas.evaluate("(one) => one.toDataURL()")
    return found


def on_screen(page: Page, model: dict[str, Any], place: tuple[float, float, float]) -> tuple[float, float]:
    """Where a place lies on the canvas, reckoned here from the definition of the view."""
    numbers = [part[key] for part in model["parts"] for key in ("triangles", "lines")]
    spans = [[n for row in numbers for n in row[axis::3]] for axis in range(3)]
    middle = [(min(span) + max(span)) / 2 for span in spans]
    reach = math.dist([min(span) for span in spans], [max(span) for span in spans]) / 2
    turn, tilt = math.radians(35), math.radians(35)
    right = (math.cos(turn), -math.sin(turn), 0.0)
    up = (math.sin(turn) * math.sin(tilt), math.cos(turn) * math.sin(tilt), math.cos(tilt))
    box = page.locator("#view-canvas").evaluate("(c) => [c.clientWidth, c.clientHeight]")
    frame = page.locator("#view-canvas").bounding_box()
    assert frame is not None
    per_mm = box[1] / (2 * reach / FIRST_ZOOM)
    off = [a - b for a, b in zip(place, middle, strict=True)]
    across, higher = (sum(a * b for a, b in zip(off, way, strict=True)) for way in (right, up))
    edge = ((frame["width"] - box[0]) / 2, (frame["height"] - box[1]) / 2)
    return frame["x"] + edge[0] + box[0] / 2 + across * per_mm, frame["y"] + edge[1] + box[
        1
    ] / 2 - higher * per_mm


def test_it_turns_and_measures_in_the_browser_alone(page: Page) -> None:
    _, model = opened(page)
    canvas = page.locator("#view-canvas")
    expect(page.locator("#view-answer svg")).to_be_hidden()
    canvas.evaluate("(one) => one.scrollIntoView({ block: 'center' })")
    table = next(part for part in model["parts"] if part["name"] == "Table")
    head = [tuple(table["lines"][at : at + 3]) for at in range(0, 24, 3)]  # the top's four sides
    for ends in ((head[0], head[1]), (head[2], head[3])):
        page.mouse.click(*on_screen(page, model, ends[0]))
        expect(page.locator("#view-said")).to_have_text("From here: press the other end.")
        page.mouse.click(*on_screen(page, model, ends[1]))
        wanted = round(math.dist(*ends))
        expect(page.locator("#view-said")).to_have_text(re.compile(f"^{wanted} mm straight"))
    asked: list[str] = []
    page.on("request", lambda request: asked.append(request.url))
    before = canvas.evaluate("(one) => one.toDataURL()")
    assert drawn_anew(page, lambda: page.locator("#view-turn").press("ArrowRight")) != before
    before = canvas.evaluate("(one) => one.toDataURL()")
    assert drawn_anew(page, lambda: canvas.press("ArrowUp")) != before
    assert asked == []


def sun_at(page: Page, hour: str, words: str) -> None:
    page.get_by_label("Hour").fill(hour)
    expect(page.locator("#view-answer [role=status]")).to_contain_text(words)


def test_the_sun_of_another_hour_falls_anew_and_below_the_horizon_not_at_all(page: Page) -> None:
    opened(page)
    canvas = page.locator("#view-canvas")
    pictures = [canvas.evaluate("(one) => one.toDataURL()")]
    for hour, words in (("19:00", "The sun stands"), ("23:30", "The sun is down")):
        pictures.append(drawn_anew(page, partial(sun_at, page, hour, words)))
    assert len(set(pictures)) == 3


def test_the_view_in_space_is_free_of_faults_and_fits(page: Page) -> None:
    opened(page)
    for size in (DESK, PHONE):
        page.set_viewport_size(size)  # type: ignore[arg-type]
        assert overflow_px(page) <= 0
        assert not faults(page)
    page.get_by_role("checkbox", name="In space").uncheck()
    expect(page.locator("#view-answer svg")).to_be_visible()
    expect(page.locator("#view-canvas")).to_be_hidden()


def test_a_browser_that_draws_nothing_in_space_keeps_the_drawing(signed_in: Page) -> None:
    signed_in.add_init_script("HTMLCanvasElement.prototype.getContext = () => null;")
    signed_in.goto(f"{harbour(signed_in)}/view")
    expect(signed_in.locator("#view-answer svg")).to_be_visible()
    stands_still(signed_in)
    expect(signed_in.locator("#view-solid")).to_be_hidden()
    before = signed_in.locator("#view-answer svg").inner_html()
    signed_in.locator("#view-turn").fill("200")
    signed_in.wait_for_function(
        "(before) => document.querySelector('#view-answer svg').innerHTML !== before", arg=before
    )
