"""The served program beside the bare framework, a big firm, start-up, writers at once; `soak` by argument."""

import json
import multiprocessing
import os
import shutil
import socket
import sqlite3
import subprocess
import sys
import tempfile
import threading
import time
import urllib.request
from collections.abc import Iterator
from contextlib import closing, contextmanager
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

from tests.bench.load import load
from tests.trust.kill import Template, make_template

JOBS, ITEMS = 2000, 25_000  # two prices for each item: 50 000 price rows
SECONDS = 4.0


def serve(url: str, folder: str, listener: socket.socket) -> None:
    """The server as it is, with bare pages beside it: same template and sheet, nothing read or worked out."""
    import uvicorn
    from fastapi import Request
    from fastapi.responses import HTMLResponse

    from app.main import create_app
    from app.settings import Settings
    from app.web import page

    app = create_app(Settings(data_dir=Path(folder), database_url=url, backup_every_h=0))
    seen: dict[str, tuple[str, Any]] = {}
    pages = page._PAGES

    class Noting:
        """The pages' environment, noting what the last page of each name was filled from."""

        def get_template(self, name: str) -> Any:
            class Filled:
                def render(self, **given: Any) -> str:
                    seen[name] = (name, given)
                    return pages.get_template(name).render(**given)

            return Filled()

    page._PAGES = Noting()  # type: ignore[assignment]

    @app.get("/bare/{name}")
    def show_bare(request: Request, name: str) -> HTMLResponse:
        template, given = seen[f"pages/{name}.html"]
        return HTMLResponse(pages.get_template(template).render(**given))

    sys.stdout = open(os.devnull, "w", encoding="utf-8")  # noqa: PTH123, SIM115 - as long as the process
    uvicorn.Server(uvicorn.Config(app, log_level="error", access_log=False)).run(sockets=[listener])


@contextmanager
def running(url: str, folder: Path) -> Iterator[tuple[int, int]]:
    """Serve a database; gives port and process."""
    with socket.create_server(("127.0.0.1", 0)) as listener:
        port = listener.getsockname()[1]
        child = multiprocessing.get_context("spawn").Process(target=serve, args=(url, str(folder), listener))
        child.start()
    until = time.monotonic() + 60
    while time.monotonic() < until:
        try:
            urllib.request.urlopen(f"http://127.0.0.1:{port}/health").read()
            break
        except OSError:
            time.sleep(0.05)
    try:
        yield port, child.pid or 0
    finally:
        child.terminate()
        child.join(30)


def rss_mb(pid: int) -> float:
    lines = Path(f"/proc/{pid}/status").read_text(encoding="utf-8").splitlines()
    return int(next(line for line in lines if line.startswith("VmRSS")).split()[1]) / 1000


def big_firm(template: Template, path: Path) -> None:
    """Put 2,000 jobs, 25,000 items and 50,000 price rows beside the demo's own."""
    shutil.copy(template.path, path)
    with closing(sqlite3.connect(path)) as db, db:
        job = dict(_row(db, "SELECT * FROM jobs WHERE id = 3"))
        under_way = ("enquiry", "surveyed", "priced", "offered", "signed", "on the roof")
        for number in range(4, JOBS + 1):
            # As in a firm's years: most jobs are over, a few dozen are under way.
            over = ("handed over", "let go")[number % 2]
            state = under_way[number % 6] if number % 50 == 0 else over
            start = (datetime.now(UTC) + timedelta(days=number % 90 - 45)).date().isoformat()
            _insert(db, "jobs", {**job, "id": number, "sequence": number, "state": state, "start_on": start})
        item = dict(_row(db, "SELECT * FROM price_items LIMIT 1"))
        price = dict(_row(db, "SELECT * FROM prices_from LIMIT 1"))
        for number in range(ITEMS):
            code = f"BENCH-{number:05d}"
            _insert(
                db, "price_items", {**item, "item": code, "name": f"Board {number % 97} of length {number}"}
            )
            for day in ("2025-01-01", "2025-06-01"):
                row = {key: value for key, value in price.items() if key != "id"}
                _insert(db, "prices_from", {**row, "item": code, "from_on": day, "priced_on": day})


def _row(db: sqlite3.Connection, query: str) -> sqlite3.Row:
    db.row_factory = sqlite3.Row
    found: sqlite3.Row = db.execute(query).fetchone()
    return found


def _insert(db: sqlite3.Connection, table: str, row: dict[str, Any]) -> None:
    known = {name[1] for name in db.execute(f"PRAGMA table_info({table})")}
    row = {key: value for key, value in row.items() if key in known}
    marks = ", ".join("?" * len(row))
    db.execute(f"INSERT INTO {table} ({', '.join(row)}) VALUES ({marks})", tuple(row.values()))


def start_up(folder: Path) -> None:
    """Time from the command to the first page, and the memory then."""
    for name, demo in (("empty folder, demo", "1"), ("again", "1"), ("empty folder, no demo", "0")):
        data = folder / ("start-demo" if demo == "1" else "start-none")
        with socket.socket() as found:
            found.bind(("127.0.0.1", 0))
            port = found.getsockname()[1]
        environment = {**os.environ, "UPSTAND_DATA_DIR": str(data), "UPSTAND_DEMO": demo}
        command = [sys.executable, "-m", "app.cli", "serve", "--port", str(port)]
        began = time.perf_counter()
        with subprocess.Popen(command, env=environment, stdout=subprocess.DEVNULL) as server:
            while time.perf_counter() - began < 60:
                try:
                    urllib.request.urlopen(f"http://127.0.0.1:{port}/sign-in").read()
                    break
                except OSError:
                    time.sleep(0.02)
            took = time.perf_counter() - began
            print(f"start to first page, {name}: {took:.2f} s (limit 3), {rss_mb(server.pid):.0f} MB")
            server.terminate()


def ratios(template: Template, folder: Path) -> None:
    """Pages beside the bare framework with the same template and sheet."""
    shutil.copy(template.path, folder / "small.sqlite")
    staff, client = {"cookie": f"session={template.session}"}, {"cookie": f"offer={template.offer}"}
    with running(f"sqlite:///{folder / 'small.sqlite'}", folder) as (port, pid):
        cases = (
            ("client's link", "/offer", "offer", client),
            ("jobs", "/jobs", "jobs", staff),
            ("price", "/jobs/3/price", "price", staff),
            ("takeoff", "/jobs/3/takeoff", "takeoff", staff),
            ("this week", "/", "week", staff),
        )
        for name, path, bare, headers in cases:
            load(port, (path,), 2.0, 1, headers)
            for clients in (1, 8):
                ours = load(port, (path,), SECONDS, clients, headers)
                other = load(port, (f"/bare/{bare}",), SECONDS, clients, headers)
                print(f"{name}, {clients} at once: {ours.text()}")
                print(f"  bare framework: {other.text()}")
                share, slower = ours.rate / other.rate, ours.at(0.5) / other.at(0.5)
                tail = ours.at(0.99) / ours.at(0.5)
                print(f"  {share:.0%} of its requests, {slower:.2f} × its time, p99 {tail:.1f} × p50")
        print(f"memory after that: {rss_mb(pid):.0f} MB")


def pdf(_template: Template) -> None:
    """The proposal as we print it, beside the renderer alone on the same HTML."""
    import weasyprint
    from weasyprint.text.fonts import FontConfiguration

    from app.documents import render
    from app.documents.proposal import proposal_pdf
    from app.settings import STATIC
    from tests.demo import proposal_inputs

    kept: list[str] = []
    real = render.html_of

    def noting(*given: Any) -> str:
        kept.append(real(*given))
        return kept[-1]

    inputs = proposal_inputs()
    render.html_of = noting
    proposal_pdf(inputs)
    render.html_of = real

    def alone() -> bytes:
        page = weasyprint.HTML(string=kept[-1], base_url=f"{STATIC.as_uri()}/css/")
        printed: bytes = page.write_pdf(font_config=FontConfiguration(), pdf_variant="pdf/ua-1")
        return printed

    ours_s, alone_s = (min(_timed(work) for _ in range(4)) for work in (lambda: proposal_pdf(inputs), alone))
    ratio = ours_s / alone_s
    print(f"proposal as PDF: {ours_s:.2f} s, renderer alone {alone_s:.2f} s: {ratio:.2f} × (limit 1.3)")


def _timed(work: Any) -> float:
    began = time.perf_counter()
    work()
    return time.perf_counter() - began


def big(template: Template, folder: Path) -> None:
    """A firm of 2,000 jobs and 50,000 price rows: p95 of the pages that grow with it."""
    big_firm(template, folder / "big.sqlite")
    staff = {"cookie": f"session={template.session}"}
    with running(f"sqlite:///{folder / 'big.sqlite'}", folder) as (port, pid):
        for name, paths in (
            ("jobs, first page", ("/jobs",)),
            ("price list", ("/shop/prices",)),
            ("price list, search", ("/shop/prices?search=board+42", "/shop/prices?search=bench-0199")),
            ("this week", ("/",)),
            ("clients", ("/clients",)),
        ):
            load(port, paths, 1.5, 1, staff)
            times = load(port, paths, SECONDS, 1, staff)
            print(f"{name}: {times.text()} (limit p95 100 ms)")
        print(f"memory after that: {rss_mb(pid):.0f} MB")


def writers(template: Template, folder: Path) -> None:
    """Sixteen writers at once in one file: how many were refused."""
    from app.actions.clients import add_client
    from app.actions.database import open_database
    from app.actions.records import StaffMember

    shutil.copy(template.path, folder / "writers.sqlite")
    db = open_database(f"sqlite:///{folder / 'writers.sqlite'}")
    staff, faults = StaffMember(1, "Demo", "demo@example.org", "owner"), []

    def write(who: int) -> None:
        for number in range(40):
            try:
                add_client(db, staff, f"{who}/{number}", "", "", "", datetime.now(UTC))
            except Exception as fault:
                faults.append(fault)

    began = time.perf_counter()
    threads = [threading.Thread(target=write, args=(who,)) for who in range(16)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    took = time.perf_counter() - began
    db.close()
    print(f"16 writers at once, 640 writes in {took:.1f} s: {len(faults)} refused (limit 0)")


def soak(minutes: float) -> None:
    """Mixed load for some minutes: memory by the minute, its slope, errors, p99."""
    with tempfile.TemporaryDirectory() as scratch:
        folder = Path(scratch)
        template = make_template(folder)
        headers = {"cookie": f"session={template.session}; offer={template.offer}"}
        paths = (
            "/",
            "/jobs",
            "/jobs/3/price",
            "/offer",
            "/jobs/3/plan",
            "/shop/prices",
            "/api/jobs/1",
            "/days",
        )
        shutil.copy(template.path, folder / "soak.sqlite")
        with running(f"sqlite:///{folder / 'soak.sqlite'}", folder) as (port, pid):
            load(port, paths, 30, 2, headers)
            memory, last = [rss_mb(pid)], None
            for minute in range(round(minutes)):
                last = load(port, paths, 60, 4, headers)
                memory.append(rss_mb(pid))
                print(f"minute {minute + 1}: {last.text()}, {memory[-1]:.0f} MB", flush=True)
        half = len(memory) // 2
        slope = (sum(memory[half:]) / len(memory[half:]) - sum(memory[:half]) / half) / max(1, half)
        print(json.dumps({"minutes": minutes, "memory_slope_mb_a_minute": round(slope, 2)}))


def main() -> None:
    """Print everything but the soak."""
    with tempfile.TemporaryDirectory() as scratch:
        folder = Path(scratch)
        start_up(folder)
        template = make_template(folder)
        ratios(template, folder)
        pdf(template)
        big(template, folder)
        writers(template, folder)


if __name__ == "__main__":
    soak(float(sys.argv[2])) if sys.argv[1:2] == ["soak"] else main()
