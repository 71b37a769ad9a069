"""Every page: valid, no fault by day or by night, readable at 400 % zoom, nothing fetched from outside.

The pages are those of tests/web/routes.txt, so that a new page is looked at from its first day.
"""

import re
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page

from app.web.parts import CHOICES, PLAN, SURVEY
from tests.browser.axe import faults, overflow_px
from tests.browser.conftest import DESK, Server
from tests.browser.test_whole_way import client_link, new_client, new_job
from tests.web.content_model import page_faults

pytestmark = [pytest.mark.browser, pytest.mark.xdist_group("browser")]

_LIST = Path(__file__).parents[1] / "web" / "routes.txt"
_PAPERS = re.compile(r"\.(pdf|json|ics|jpg|svg|dxf|txt|js|\{kind\})$")
# Opened in another test, in the state that shows them: by whom and why.
_ELSEWHERE = {
    "/days/search": "a part of the page Days of all jobs, fetched while the search runs",
    "/h/{token}": "test_changes: the client's address of the handover file",
    "/jobs/{job_id}": "leads on to a sheet",
    "/offer/certificate": "test_offer: after a signature",
    "/offer/changes": "test_changes: a change order on a phone",
    "/offer/thanks": "test_whole_way: after a signature",
    "/s/{token}": "leads on to /offer",
    "/shop/imports/{import_id}": "test_prices: a list looked at before it is taken over",
    "/shop/open": "leads on to the shop once there is one",
    "/sign-in/code": "asked of whoever has a second factor",
    "/start": "shown before there is an owner",
}
LINE = "preparation/set-up/1"  # a line of the estimate that the demo's assemblies give
ZOOMED = {"width": 320, "height": 256}  # 1280 × 1024 at 400 % (WCAG 2.2, 1.4.10)
WIDE = {"width": 2560, "height": 1440}


def _addresses() -> list[str]:
    rows = [row.partition(" ") for row in _LIST.read_text(encoding="utf-8").splitlines()]
    return [path for method, _, path in rows if method == "GET" and not path.startswith("/api/")]


def _pages() -> list[str]:
    return [path for path in _addresses() if not _PAPERS.search(path) and path not in _ELSEWHERE]


def _of(path: str, job: str) -> list[str]:
    """The addresses to open for a row of the list; each part of survey and plan has its own form."""
    filled = path.replace("/jobs/{job_id}", job)
    if "{stem}" in filled:
        return [f"{job}/{part.stem}/{part.name}" for part in (*SURVEY, *PLAN, *CHOICES)]
    if filled.endswith("/price/line"):
        filled += f"?line={LINE}"
    for name, value in (("client_id", "1"), ("item", "SCREW-DECK")):
        filled = filled.replace(f"{{{name}}}", value)
    assert "{" not in filled, f"{path}: this test does not know what to open"
    return [filled]


def _look(page: Page, address: str, *, by_night: bool = True) -> list[str]:
    """What is wrong with one page."""
    page.set_viewport_size(DESK)
    page.emulate_media(color_scheme="light", reduced_motion="reduce")
    answer = page.goto(address)
    assert answer is not None
    if answer.status != 200:
        return [f"{address}: {answer.status}"]
    wrong = [f"{address}: {fault}" for fault in page_faults(answer.text())]
    wrong += faults(page)
    if by_night:
        page.emulate_media(color_scheme="dark", reduced_motion="reduce")
        wrong += [f"by night: {fault}" for fault in faults(page, "color-contrast")]
    for size in (ZOOMED, WIDE):
        page.set_viewport_size(size)
        over = overflow_px(page)
        if over > 0:
            wrong.append(f"{address}: {over} px too wide at {size['width']}")
    return wrong


@pytest.fixture(scope="module")
def job(browser: Browser, server: Server) -> str:
    """A job of its own with everything the full demo file has."""
    context = browser.new_context(base_url=server.address)
    page = context.new_page()
    _sign_in(page, server)
    new_client(page)
    made = new_job(page)
    context.close()
    return made


def _sign_in(page: Page, server: Server) -> None:
    page.goto("/sign-in")
    page.get_by_label("E-mail").fill(server.email)
    page.get_by_label("Password").fill(server.password)
    page.get_by_role("button", name="Sign in").click()
    page.get_by_role("heading", level=1, name="This week").wait_for()


def test_what_is_opened_elsewhere_is_still_an_address() -> None:
    assert sorted(_ELSEWHERE) == sorted(set(_ELSEWHERE) & set(_addresses()))


@pytest.mark.parametrize("path", [path for path in _pages() if not path.startswith(("/offer", "/sign-in"))])
def test_a_page_of_the_office_is_sound(
    signed_in: Page, job: str, outside_requests: list[str], path: str
) -> None:
    # Forty forms are made of the same parts: the specimen sheet shows them by night.
    is_form = "{stem}" in path
    wrong = [fault for address in _of(path, job) for fault in _look(signed_in, address, by_night=not is_form)]
    assert not wrong, "\n".join(wrong)
    assert outside_requests == []


def test_what_a_stranger_and_a_client_see_is_sound(signed_in: Page, job: str, browser: Browser) -> None:
    link = client_link(signed_in, job)
    context = browser.new_context()
    page = context.new_page()
    origin = link.partition("/s/")[0]
    wrong = _look(page, f"{origin}/sign-in") + _look(page, link)
    context.close()
    assert not wrong, "\n".join(wrong)
