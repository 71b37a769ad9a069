"""The served program beside the bare framework, a big firm, start-up and memory, writers at once."""

import json
import multiprocessing
import os
import shutil
import socket
import sqlite3
import statistics
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
from tests.bench.results import note, worked_ms
from tests.bench.wrk import Asked, ask
from tests.trust.kill import Template, make_template

JOBS, ITEMS = 2000, 25_000  # two prices for each item: 50 000 price rows
SECONDS = 4.0
ROUNDS, SLICE, TURNS = 3, 2.0, 8  # the two that are compared take turns, so that both meet the same machine


def serve(url: str, folder: str, listener: socket.socket) -> None:
    """The server as it is, and a bare framework in the same process: same templates, same sheets, no more.

    Bare pages have no middleware, database, sign-in or other routes; their sheet is the one that the page was
    last filled from.
    """
    import uvicorn
    from fastapi import FastAPI
    from fastapi.responses import HTMLResponse
    from sqlalchemy import select
    from sqlalchemy.orm import Session

    from app.main import create_app
    from app.settings import Settings
    from app.store.models import ClientRow, JobRow
    from app.web import page

    app = create_app(Settings(data_dir=Path(folder), database_url=url, backup_every_h=0))
    bare = FastAPI(docs_url=None, redoc_url=None, openapi_url=None)
    seen: dict[str, Any] = {}
    pages = page._PAGES

    class Noting:
        """The pages' environment, noting what the last page of each name was filled from."""

        def get_template(self, name: str) -> Any:
            class Filled:
                def render(self, **given: Any) -> str:
                    seen[name] = given
                    return pages.get_template(name).render(**given)

            return Filled()

    page._PAGES = Noting()  # type: ignore[assignment]

    worked: list[float] = []

    @bare.get("/bare/worked")
    def show_worked() -> list[float]:
        """The processor time of each request since this was asked before: true for one client at once."""
        told = worked.copy()
        worked.clear()
        return told

    @bare.get("/bare/rows")
    def show_rows() -> HTMLResponse:
        """What the page of jobs shows, by the shortest way to ask the database for it and no more."""
        template = "pages/jobs.html"
        with Session(app.state.database.engine) as session:
            session.execute(
                select(JobRow, ClientRow).join(ClientRow, ClientRow.id == JobRow.client_id).limit(50)
            ).all()
        return HTMLResponse(pages.get_template(template).render(**seen[template]))

    @bare.get("/bare/{name}")
    def show_bare(name: str) -> HTMLResponse:
        template = f"pages/{name}.html"
        return HTMLResponse(pages.get_template(template).render(**seen[template]))

    async def both(scope: Any, receive: Any, send: Any) -> None:
        is_bare = scope["type"] == "http" and scope["path"].startswith("/bare/")
        began = time.process_time()
        await (bare if is_bare else app)(scope, receive, send)
        worked.append((time.process_time() - began) * 1000)

    sys.stdout = open(os.devnull, "w", encoding="utf-8")  # noqa: PTH123, SIM115 - as long as the process
    uvicorn.Server(uvicorn.Config(both, log_level="error", access_log=False)).run(sockets=[listener])


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
    """Time from the command to the first page, and the memory then; the median of some starts."""
    for name, demo in (("a firm's own", "0"), ("with the demo", "1")):
        starts = [_started(folder / f"start-{demo}-{number}", demo) for number in range(3)]
        took, own, memory = (statistics.median(part) for part in zip(*starts, strict=True))
        words = ""
        if demo == "0":
            words = note("start to first page, s", took)
            note("memory then, MB", memory)
        print(f"start to first page, {name}: {took:.2f} s, {own:.2f} s of processor, {memory:.0f} MB{words}")


def _started(data: Path, demo: str) -> tuple[float, float, float]:
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
        took, own, memory = time.perf_counter() - began, worked_ms(server.pid) / 1000, rss_mb(server.pid)
        server.terminate()
    return took, own, memory


def ratios(template: Template, folder: Path) -> None:
    """Pages beside the bare framework with the same template and sheet."""
    shutil.copy(template.path, folder / "small.sqlite")
    staff, client = {"cookie": f"session={template.session}"}, {"cookie": f"offer={template.offer}"}
    with running(f"sqlite:///{folder / 'small.sqlite'}", folder) as (port, pid):
        cases = (
            ("client link", "/offer", "offer", client),
            ("jobs", "/jobs", "rows", staff),
            ("price", "/jobs/3/price", "price", staff),
            ("takeoff", "/jobs/3/takeoff", "takeoff", staff),
        )
        for name, path, bare, headers in cases:
            load(port, (path,), 1.0, 1, headers)
            _must_be_alike(port, path, f"/bare/{bare}", headers)
            for clients in (1, 8):
                turns = [
                    [ask(port, pid, at, SLICE, clients, headers) for at in (path, f"/bare/{bare}")]
                    for _ in range(ROUNDS)
                ]
                ours, other = (_middle(runs) for runs in zip(*turns, strict=True))
                print(f"{name}, {clients} at once: {ours.text()}")
                print(f"  bare framework:   {other.text()}")
                _compared(name, clients, ours, other)
            _evenly(port, name, path, bare, headers)
        print(f"memory after that: {rss_mb(pid):.0f} MB")


def _must_be_alike(port: int, path: str, bare: str, headers: dict[str, str]) -> None:
    """Make sure that both give the same page: what is compared must be the same work."""
    ours, other = (_page(port, at, headers) for at in (path, bare))
    if ours != other:
        raise RuntimeError(f"{path} and {bare} are not the same page: {len(ours)} and {len(other)} bytes")


def _page(port: int, path: str, headers: dict[str, str]) -> bytes:
    asked = urllib.request.Request(f"http://127.0.0.1:{port}{path}", headers=headers)
    with urllib.request.urlopen(asked) as answer:
        page: bytes = answer.read()
    return page


def _evenly(port: int, name: str, path: str, bare: str, headers: dict[str, str]) -> None:
    """One client: the processor time of each request, which no other program on the machine can stretch."""
    # In short turns: another program that comes or goes stretches both alike.
    times: dict[str, list[float]] = {path: [], f"/bare/{bare}": []}
    for at in times:
        load(port, (at,), 0.3, 1, headers)
    for _ in range(TURNS):
        for at, found in times.items():
            _worked(port)
            if load(port, (at,), SLICE / TURNS, 1, headers).bad:
                raise RuntimeError(f"{at} was not answered: nothing is compared")
            found.extend(_worked(port))
    sorted_times = [sorted(found) for found in times.values()]
    spread = [(found[len(found) // 2], found[int(len(found) * 0.99)]) for found in sorted_times]
    (p50, p99), (bare_p50, bare_p99) = spread
    words = note(f"{name}, × bare time", p50 / bare_p50)
    if name == "client link":
        words += note("client link, p99 × p50", p99 / p50)
    print(
        f"  by processor time: p50 {p50:.2f}, p99 {p99:.2f} ms ({p99 / p50:.2f} ×); bare p50 {bare_p50:.2f}, "
        f"p99 {bare_p99:.2f} ms ({bare_p99 / bare_p50:.2f} ×): {p50 / bare_p50:.2f} × its time{words}"
    )


def _worked(port: int) -> list[float]:
    with urllib.request.urlopen(f"http://127.0.0.1:{port}/bare/worked") as answer:
        times: list[float] = json.load(answer)
    return times


def _middle(runs: tuple[Asked, ...]) -> Asked:
    """The median of each figure, and the sum of what failed."""
    rate, p50, p99, own = (
        statistics.median(getattr(run, name) for run in runs) for name in ("rate", "p50", "p99", "own_ms")
    )
    return Asked(rate, p50, p99, own, sum(run.bad for run in runs), runs[0].by)


def _compared(name: str, clients: int, ours: Asked, other: Asked) -> None:
    share, slower, tail = ours.rate / other.rate, ours.p50 / other.p50, ours.p99 / ours.p50
    words = ""
    if clients == 8 and name == "client link":
        words = note("client link, % of bare requests", share * 100)
    print(
        f"  {share:.0%} of its requests, {slower:.2f} × its time ({ours.own_ms / other.own_ms:.2f} × its "
        f"processor time); p99 {tail:.1f} × p50, the bare one's {other.p99 / other.p50:.1f}{words}"
    )


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

    turns = [(_timed(lambda: proposal_pdf(inputs)), _timed(alone)) for _ in range(4)]
    ours_s, alone_s = (min(times) for times in zip(*turns, strict=True))
    ratio = ours_s / alone_s
    words = note("PDF, × renderer alone", ratio)
    print(
        f"proposal as PDF: {ours_s:.2f} s of processor, renderer alone on the same HTML {alone_s:.2f} s: "
        f"{ratio:.2f} ×{words}"
    )


def _timed(work: Any) -> float:
    """The processor time of some work of one thread."""
    began = time.process_time()
    work()
    return time.process_time() - began


def big(template: Template, folder: Path) -> None:
    """A firm of 2,000 jobs and 50,000 price rows: p95 of the pages that grow with it."""
    big_firm(template, folder / "big.sqlite")
    staff = {"cookie": f"session={template.session}"}
    with running(f"sqlite:///{folder / 'big.sqlite'}", folder) as (port, pid):
        searches = ("/shop/prices?search=board+42", "/shop/prices?search=bench-0199")
        for name, paths, column in (
            ("jobs, first page", ("/jobs",), "jobs of 2,000, p95 ms"),
            ("jobs, search", ("/jobs?search=quay", "/jobs?search=2026"), ""),
            ("price list", ("/shop/prices",), ""),
            ("price list, search", searches, "search of 50,000 prices, p95 ms"),
            ("this week", ("/",), "this week of 2,000 jobs, p95 ms"),
            ("clients", ("/clients",), ""),
        ):
            load(port, paths, 1.5, 1, staff)
            before = worked_ms(pid)
            times = load(port, paths, SECONDS, 1, staff)
            own = (worked_ms(pid) - before) / len(times.ms)
            words = note(column, times.at(0.95)) if column else ""
            print(f"{name}: {times.text()}, {own:.1f} ms of processor each{words}")
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
    words = note("refused of 640 writes", len(faults))
    print(f"16 writers at once, 640 writes in {took:.1f} s: {len(faults)} refused{words}")


def main() -> None:
    """Print the figures."""
    with tempfile.TemporaryDirectory() as scratch:
        folder = Path(scratch)
        start_up(folder)
        template = make_template(folder)
        ratios(template, folder)
        pdf(template)
        big(template, folder)
        writers(template, folder)


if __name__ == "__main__":
    main()
