"""The drawing board: the answer to an edit, and frames a second while view or thing are moved.

Runs a server of its own on the demo firm and a headless Chromium; frames are counted by the page itself.
"""

import copy
import statistics
import tempfile
import time
from pathlib import Path
from typing import Any

import httpx
from playwright.sync_api import Page, sync_playwright

from tests import demo
from tests.bench.edits import BAR_MS, EDITS
from tests.bench.results import ran_ms
from tests.browser.board import new_job, open_board, sign_in
from tests.browser.conftest import DESK, QUIET, Server, chromium, free_port, how_to_sign_in, serve
from tests.browser.conftest import wait_until_it_answers as wait

ROUNDS, WARMING = 9, 2  # edits of each kind; the first are not counted
# Frames while the pointer moves in every one of them, as a hand would at its quickest.
FRAMES = """async ([what, x, y]) => {
    const svg = document.getElementById("board-drawing");
    const target = what === "pan" ? svg : document.elementFromPoint(x, y);
    const told = (kind, at) => target.dispatchEvent(new PointerEvent(kind, {
        bubbles: true, pointerId: 1, clientX: at[0], clientY: at[1], button: 0, pointerType: "mouse" }));
    svg.setPointerCapture = () => {};
    const gaps = [];
    let before = await new Promise(requestAnimationFrame);
    told("pointerdown", [x, y]);
    for (let frame = 0; frame < 120; frame += 1) {
        told("pointermove", [x + 60 * Math.sin(frame / 9), y + 40 * Math.cos(frame / 7)]);
        const now = await new Promise(requestAnimationFrame);
        gaps.push(now - before);
        before = now;
    }
    told("pointercancel", [x, y]);
    return gaps;
}"""


def main() -> None:
    """Print times and frame rates."""
    with tempfile.TemporaryDirectory() as folder:
        port = free_port()
        process = serve(Path(folder), port)
        try:
            email, password = how_to_sign_in(process)
            server = Server(f"http://127.0.0.1:{port}", email, password)
            wait(server.address)
            _browse(server, process.pid)
        finally:
            process.terminate()
            process.communicate(timeout=20)


def _browse(server: Server, pid: int) -> None:
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=chromium(), args=list(QUIET))
        context = browser.new_context(base_url=server.address, viewport=DESK, locale="en-US")
        page = context.new_page()
        sign_in(page, server)
        _answers(page, server, pid)
        for factor in (1.0, 2.1, 7.2):
            _frames(page, factor)
        browser.close()


def _answers(page: Page, server: Server, pid: int) -> None:
    """One figure for each kind of edit of the demo job, each edit one that the server has not seen."""
    job = new_job(page, "Answers", demo.document())
    cookies = {str(c.get("name")): str(c.get("value")) for c in page.context.cookies()}
    path = f"{server.address}/api{job}/board"
    with httpx.Client(cookies=cookies, timeout=60) as client:
        start = client.get(path).json()["document"]
        client.post(f"{path}/look", json={"document": start}).raise_for_status()
        print(f"answer to an edit, its own work as a part of the bar of {BAR_MS:.0f} ms, and by the clock:")
        worst = 0.0
        for name, edit in EDITS.items():
            document = copy.deepcopy(start)
            worked, took = [], []
            for turn in range(ROUNDS):
                edit(document, turn)
                before, began = ran_ms(pid), time.perf_counter()
                client.post(f"{path}/look", json={"document": document}).raise_for_status()
                took.append((time.perf_counter() - began) * 1000)
                worked.append(ran_ms(pid) - before)
            own_ms = statistics.median(worked[WARMING:])
            worst = max(worst, own_ms)
            print(
                f"  {name:26} {own_ms / BAR_MS:5.2f} of the bar ({own_ms:4.0f} ms),"
                f" by the clock {statistics.median(took[WARMING:]):4.0f} ms"
            )
        print(f"  the worst of them {worst / BAR_MS:5.2f} of the bar")


def _frames(page: Page, factor: float) -> None:
    job = new_job(page, f"Frames {factor:g}", _grown(factor))
    open_board(page, job)
    pieces = page.locator(".board-boards path").count()
    frame = page.locator("#board-drawing").bounding_box()
    assert frame is not None
    at = (frame["x"] + frame["width"] / 2, frame["y"] + frame["height"] / 2)
    page.get_by_role("button", name="Shift", exact=True).click()
    shifted = page.evaluate(FRAMES, ["pan", *at])
    page.get_by_role("button", name="Choose", exact=True).click()
    table = page.locator('.thing[data-ref="plan.furniture#table"] .body').bounding_box()
    assert table is not None
    dragged = page.evaluate(
        FRAMES, ["drag", table["x"] + table["width"] / 3, table["y"] + table["height"] / 3]
    )
    rates = (f"{1000 / statistics.mean(gaps[1:]):.0f}" for gaps in (shifted, dragged))
    print(f"{pieces} pieces on the drawing: frames a second shifting and dragging {' and '.join(rates)}")


def _grown(factor: float) -> dict[str, Any]:
    """The demo's roof and decks stretched, with one table on it."""
    document = copy.deepcopy(demo.document())
    survey, plan = document["survey"], document["plan"]
    survey["outline"] = [[x * factor, y * factor] for x, y in survey["outline"]]
    for things in (
        "spot_heights",
        "drains",
        "penetrations",
        "doors",
        "power_points",
        "gas_points",
        "water_points",
    ):
        for thing in survey.get(things, ()):
            thing["x"], thing["y"] = thing["x"] * factor, thing["y"] * factor
    survey["neighbours"] = []
    fields = [
        {**field, "outline": [[x * factor, y * factor] for x, y in field["outline"]]}
        for field in plan["deck_fields"]
    ]
    table = [thing for thing in plan["furniture"] if thing["id"] == "table"]
    document["plan"] = {"level": plan["level"], "deck_fields": fields, "furniture": table}
    return document
