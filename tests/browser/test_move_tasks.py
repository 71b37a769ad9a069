"""A task moved along its days by mouse, by finger and by keyboard alone: looked at before it is set."""

import re
from collections.abc import Iterator

import pytest
from playwright.sync_api import Browser, Locator, Page, expect

from tests.browser.axe import faults
from tests.browser.board import sign_in
from tests.browser.conftest import DESK, PHONE, Server, running
from tests.browser.test_days import a_signed_job, accept

pytestmark = [pytest.mark.browser, pytest.mark.xdist_group("browser")]
STOP = "Lay the boards"


@pytest.fixture(scope="module")
def server(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Server]:
    """A firm of its own: jobs that other tests sign would be planned before this one."""
    with running(tmp_path_factory.mktemp("days")) as found:
        yield found


@pytest.fixture(scope="module")
def shared_job(browser: Browser, server: Server) -> str:
    """A job whose days hold, for all tests here."""
    context = browser.new_context(base_url=server.address, viewport=DESK, locale="en-US")
    context.set_default_timeout(60_000)
    page = context.new_page()
    sign_in(page, server)
    path, _ = a_signed_job(page, browser)
    accept(page)
    context.close()
    return path


@pytest.fixture
def job(signed_in: Page, shared_job: str) -> str:
    signed_in.goto(f"{shared_job}/days")
    ready(signed_in)
    return shared_job


def row(page: Page, name: str = STOP) -> Locator:
    return page.locator("#days-across tbody tr", has_text=name).first


def first_day(page: Page, name: str = STOP) -> str:
    why = page.get_by_role("region", name="Why each task is where it is").locator("tr", has_text=name).first
    return why.locator("td").first.inner_text()


def columns_of(page: Page, name: str = STOP) -> Iterator[int]:
    cells = row(page, name).locator("td").all()
    return (number for number, cell in enumerate(cells) if "grip" in (cell.get_attribute("class") or ""))


def ready(page: Page) -> None:
    """The help under the days is shown as the last step of making rows movable."""
    expect(page.locator("#move-help")).to_be_visible()


def drag(page: Page, at: int, *over: int) -> None:
    """Press on a day of the task and move over others, the button still down."""
    ready(page)
    cells = row(page).locator("td")
    cells.nth(at).hover()
    page.mouse.down()
    for column in over:
        cells.nth(column).hover()


def test_the_mouse_drags_a_task_and_sees_what_it_pushes_before_anything_is_set(
    signed_in: Page, job: str
) -> None:
    page = signed_in
    before = first_day(page)
    at = next(columns_of(page))
    drag(page, at, at + 7, at + 8)
    expect(page.locator("#days-across td.ghost")).not_to_have_count(0)
    page.mouse.up()
    look = page.locator("#task-look")
    expect(look).to_contain_text("What binds it: Set by hand: not before")
    expect(look).to_contain_text("What it pushes")
    expect(look).to_contain_text("Walk through with the client")
    assert not faults(page)

    look.get_by_role("link", name="Leave it").click()
    expect(look).to_be_empty()
    page.reload()
    assert first_day(page) == before, "looking sets nothing"

    drag(page, at, at + 7)
    page.mouse.up()
    look.get_by_role("button", name="Set and accept the plan").click()
    expect(page.locator("#summary")).to_contain_text("Give the reason")
    drag(page, at, at + 7)
    page.mouse.up()
    look.get_by_label(re.compile("Reason")).fill("the client is away that week")
    look.get_by_role("button", name="Set and accept the plan").click()
    expect(page.get_by_text("The plan holds from now on.")).to_be_visible()
    assert first_day(page) != before
    expect(page.get_by_role("region", name="Set by hand")).to_contain_text("the client is away that week")


def test_the_keyboard_alone_does_the_same(signed_in: Page, job: str) -> None:
    page = signed_in
    before = first_day(page)
    handle = row(page).get_by_role("button", name=re.compile(f"^Move {STOP}"))
    handle.focus()
    for _ in range(5):
        page.keyboard.press("ArrowRight")
    expect(page.locator("#task-look")).to_contain_text("It starts on")
    assert page.evaluate("document.activeElement.getAttribute('role')") == "button", "the handle keeps focus"
    page.keyboard.press("Escape")
    expect(page.locator("#task-look")).to_be_empty()
    for _ in range(5):
        page.keyboard.press("ArrowRight")
    page.keyboard.press("ArrowLeft")
    page.keyboard.press("Enter")
    expect(page.locator("#look-head")).to_be_focused()
    page.keyboard.press("Tab")
    if page.evaluate("document.activeElement.getAttribute('role')") == "region":
        page.keyboard.press("Tab")
    page.keyboard.type("boards come later")
    page.keyboard.press("Tab")
    page.keyboard.press("Enter")
    expect(page.get_by_text("The plan holds from now on.")).to_be_visible()
    assert first_day(page) != before


def test_a_task_cannot_be_moved_before_what_binds_it_and_is_told_what_does(signed_in: Page, job: str) -> None:
    page = signed_in
    handle = row(page, "Set the frame").get_by_role("button", name=re.compile("^Move Set the frame"))
    handle.focus()
    for _ in range(3):
        page.keyboard.press("ArrowLeft")
    look = page.locator("#task-look")
    expect(look).to_contain_text("It still starts on")
    expect(look).to_contain_text("as asked.")
    expect(look).to_contain_text("Starts when “Carry up” is finished")
    expect(look).to_contain_text("It pushes no other task.")


def test_a_finger_drags_a_task_on_a_phone(
    browser: Browser, server: Server, signed_in: Page, job: str
) -> None:
    state = signed_in.context.storage_state()
    context = browser.new_context(
        base_url=server.address, viewport=PHONE, has_touch=True, storage_state=state, locale="en-US"
    )
    page = context.new_page()
    page.goto(f"{job}/days")
    ready(page)
    name = "Set up and protect the roof"
    cells = row(page, name).locator("td")
    at = next(columns_of(page, name))
    cells.nth(at).scroll_into_view_if_needed()
    start, goal = cells.nth(at).bounding_box(), cells.nth(at + 1).bounding_box()
    assert start
    assert goal
    touch = page.context.new_cdp_session(page)

    def finger(kind: str, x: float) -> None:
        points = [] if kind == "touchEnd" else [{"x": x, "y": start["y"] + start["height"] / 2}]
        touch.send("Input.dispatchTouchEvent", {"type": kind, "touchPoints": points})

    finger("touchStart", start["x"] + start["width"] / 2)
    for part in (0.3, 0.6, 1.0):
        finger("touchMove", start["x"] + start["width"] / 2 + part * (goal["x"] - start["x"]))
    finger("touchEnd", 0)
    expect(page.locator("#task-look")).to_contain_text("What binds it: Set by hand: not before")
    assert page.evaluate("document.documentElement.scrollWidth - innerWidth") <= 0
    context.close()
