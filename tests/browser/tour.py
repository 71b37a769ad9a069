"""`make tour`: the pictures of the readme, taken of the demo firm as it is served."""

import re
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from io import BytesIO
from pathlib import Path

import pypdfium2
from PIL import Image
from playwright.sync_api import Browser, Page, sync_playwright

from tests.browser.board import open_board, stands_still
from tests.browser.conftest import DESK, QUIET, Server, chromium, free_port, how_to_sign_in, serve

FOLDER = Path(__file__).parents[2] / ".tour"
PHONE = {"width": 390, "height": 844}
COLOURS = 96  # paper, ink, hatches and one accent need no more; a picture stays under 100 kB
PDF_SCALE = 1.1


def pictures(browser: Browser, server: Server, client_link: str) -> Iterator[tuple[str, Image.Image]]:
    """Take every picture: name of its file and the picture."""
    context = browser.new_context(base_url=server.address, viewport=DESK, color_scheme="light")
    page = context.new_page()
    page.goto("/sign-in")
    page.get_by_label("E-mail").fill(server.email)
    page.get_by_label("Password").fill(server.password)
    page.get_by_role("button", name="Sign in").click()
    page.get_by_role("heading", level=1, name="This week").wait_for()
    yield "week.png", shot(page)
    job = harbour(page)
    for name in ("plan", "loads", "price", "days"):
        page.goto(f"{job}/{name}")
        yield f"{name}.png", shot(page)
    page.goto(f"{job}/rough-in")
    page.locator(".drawing").first.scroll_into_view_if_needed()
    yield "rough-in.png", shot(page)
    open_board(page, job)  # it draws itself, then asks the server what it weighs and costs
    stands_still(page)
    yield "board.png", shot(page)
    context.close()
    yield from of_the_client(browser, client_link)


def harbour(page: Page) -> str:
    """Give the address of the demo job with everything in it."""
    page.goto("/jobs")
    row = page.get_by_role("row").filter(has_text="Harbour workshop")
    found = re.match(r"/jobs/\d+", row.get_by_role("link").first.get_attribute("href") or "")
    assert found
    return found[0]


def of_the_client(browser: Browser, client_link: str) -> Iterator[tuple[str, Image.Image]]:
    """Take the client's page on a phone, and the first page of the proposal on paper."""
    context = browser.new_context(viewport=PHONE, color_scheme="light", has_touch=True)
    page = context.new_page()
    page.goto(client_link)
    yield "client.png", shot(page)
    origin = client_link.partition("/s/")[0]
    printed = context.request.get(f"{origin}/offer/proposal.pdf").body()
    context.close()
    document = pypdfium2.PdfDocument(BytesIO(printed))
    yield "proposal.png", small(document[0].render(scale=PDF_SCALE).to_pil())


def shot(page: Page) -> Image.Image:
    """Take what the window shows."""
    page.wait_for_load_state("networkidle")
    return small(Image.open(BytesIO(page.screenshot(animations="disabled"))))


def small(picture: Image.Image) -> Image.Image:
    """Give the picture in few colours."""
    return picture.convert("RGB").quantize(COLOURS, dither=Image.Dither.NONE)


@contextmanager
def served() -> Iterator[tuple[Server, str]]:
    """Serve the demo on a folder of its own; give it with the demo's link for a client."""
    with tempfile.TemporaryDirectory() as folder:
        port = free_port()
        process = serve(Path(folder), port)
        try:
            email, password = how_to_sign_in(process)
            assert process.stdout is not None
            found = re.search(r"http\S+/s/\S+", process.stdout.readline())
            assert found
            address = f"http://127.0.0.1:{port}"
            link = f"{address}/s/{found[0].rpartition('/')[2]}"
            yield Server(address, email, password), link
        finally:
            process.terminate()
            process.communicate(timeout=20)


def main() -> None:
    """Write every picture into the folder of the tour."""
    FOLDER.mkdir(exist_ok=True)
    with served() as (server, link), sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=chromium(), args=list(QUIET))
        for name, picture in pictures(browser, server, link):
            picture.save(FOLDER / name, optimize=True)
        browser.close()


if __name__ == "__main__":
    main()
