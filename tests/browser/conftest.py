"""A real server on the demo firm and a headless Chromium, shared by the browser tests of one worker."""

import os
import re
import shutil
import socket
import subprocess
import sys
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

import httpx
import pytest
from playwright.sync_api import Browser, BrowserContext, Page, expect, sync_playwright

from tests import demo
from tests.browser.board import new_job, opened_anew, sign_in

ROOT = Path(__file__).parents[2]
# Without these Chromium tries to reach its maker's hosts at every start.
QUIET = (
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
)
DESK, PHONE = {"width": 1280, "height": 900}, {"width": 360, "height": 740}
START_SECONDS = 30
SHOWN_SECONDS = 240
expect.set_options(timeout=60_000)  # what is waited for comes late on a busy machine; it must come


@dataclass(frozen=True)
class Server:
    """A running server and how to sign in."""

    address: str
    email: str
    password: str


def free_port() -> int:
    with socket.socket() as found:
        found.bind(("127.0.0.1", 0))
        port: int = found.getsockname()[1]
        return port


def chromium() -> str:
    found = shutil.which("chromium") or shutil.which("chromium-browser")
    assert found, "The browser tests need Chromium: apt-get install chromium"
    return found


def serve(data_dir: Path, port: int) -> subprocess.Popen[str]:
    """Start the server as a person would, on a data folder of its own."""
    environment = {
        **os.environ,
        "UPSTAND_DATA_DIR": str(data_dir),
        "UPSTAND_DEMO": "1",
        "PYTHONUNBUFFERED": "1",
    }
    command = [sys.executable, "-m", "app.cli", "serve", "--port", str(port)]
    return subprocess.Popen(
        command, cwd=ROOT, env=environment, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True
    )


@contextmanager
def running(data_dir: Path) -> Iterator[Server]:
    """A server on a data folder of its own, while it is needed."""
    port = free_port()
    process = serve(data_dir, port)
    try:
        email, password = how_to_sign_in(process)
        wait_until_it_answers(f"http://127.0.0.1:{port}")
        yield Server(f"http://127.0.0.1:{port}", email, password)
    finally:
        process.terminate()
        process.communicate(timeout=20)


@pytest.fixture(scope="session")
def server(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Server]:
    with running(tmp_path_factory.mktemp("data")) as found:
        yield found


def how_to_sign_in(process: subprocess.Popen[str]) -> tuple[str, str]:
    """Read what the server prints: the demo makes its own password and shows it once."""
    assert process.stdout is not None
    printed = ""
    too_late = threading.Timer(SHOWN_SECONDS, process.kill)  # a server that hangs ends the reading too
    too_late.start()
    try:
        for line in process.stdout:
            printed += line
            found = re.search(r"e-mail\s+(\S+)\s+password\s+(\S+)", printed, flags=re.IGNORECASE)
            # The demo's jobs follow a few seconds after the first page.
            if found and "jobs are there" in line:
                return found.group(1), found.group(2)
    finally:
        too_late.cancel()
    raise AssertionError(f"the server stopped before it said how to sign in:\n{printed}")


def wait_until_it_answers(address: str) -> None:
    until = time.monotonic() + START_SECONDS
    while time.monotonic() < until:
        try:
            if httpx.get(f"{address}/health").status_code == 200:
                return
        except httpx.TransportError:
            time.sleep(0.1)
    raise AssertionError(f"no answer from {address} within {START_SECONDS} s")


@pytest.fixture(scope="session")
def browser() -> Iterator[Browser]:
    with sync_playwright() as playwright:
        found = playwright.chromium.launch(executable_path=chromium(), args=list(QUIET))
        yield found
        found.close()


@pytest.fixture
def context(browser: Browser, server: Server) -> Iterator[BrowserContext]:
    found = browser.new_context(base_url=server.address, viewport=DESK, locale="en-US")
    found.set_default_timeout(60_000)
    yield found
    found.close()


@pytest.fixture
def outside_requests(context: BrowserContext, server: Server) -> list[str]:
    """Every request that leaves our own address; a test asserts that there is none."""
    found: list[str] = []
    context.on(
        "request", lambda r: None if r.url.startswith((server.address, "data:")) else found.append(r.url)
    )
    return found


@pytest.fixture
def signed_in(context: BrowserContext, server: Server) -> Page:
    page = context.new_page()
    sign_in(page, server)
    return page


@pytest.fixture(scope="module")
def desk(browser: Browser, server: Server) -> Iterator[Page]:
    """One signed-in browser for all tests of a module: signing in takes its time on purpose."""
    context = browser.new_context(base_url=server.address, viewport=DESK, locale="en-US")
    page = context.new_page()
    sign_in(page, server)
    yield page
    context.close()


@pytest.fixture(scope="module")
def job(desk: Page) -> str:
    """A job to draw in, shared by the tests of a module."""
    return new_job(desk, "To draw in", demo.document())


@pytest.fixture
def page(desk: Page, job: str) -> Page:
    """The board with the demo job as it was."""
    desk.set_viewport_size(DESK)
    return opened_anew(desk, job)


@pytest.fixture
def tablet(browser: Browser, desk: Page, server: Server, job: str) -> Iterator[Page]:
    """The same board under a finger."""
    context = browser.new_context(
        base_url=server.address,
        viewport={"width": 820, "height": 1180},
        has_touch=True,
        is_mobile=True,
        locale="en-US",
        storage_state=desk.context.storage_state(),
    )
    yield opened_anew(context.new_page(), job)
    context.close()
