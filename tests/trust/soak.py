"""Mixed load for some minutes: memory minute by minute and its slope, errors, p99.

`python -m tests.trust.soak 20` prints them and ends with 1 when something failed or memory kept growing.
Readers ask for staff's and the client's pages, papers and the JSON API; writers save days, add clients and
ask questions all the while, each as its own page does.
"""

import hashlib
import hmac
import http.client
import itertools
import json
import shutil
import sys
import tempfile
import threading
import time
from dataclasses import dataclass, field
from pathlib import Path
from statistics import linear_regression
from urllib.parse import urlencode

from tests.bench.results import machine_load
from tests.bench.server import rss_mb, running
from tests.trust.kill import VISIT, Template, make_template

WARM_S = 30.0  # before memory is looked at: every template, memo and pool has been used once
EVERY_S = 10.0
MOST_SLOPE_MB = 1.0  # a minute, over the second half of the run
PAGES = (
    "/",
    "/days",
    "/jobs",
    "/jobs?search=roof",
    "/jobs/1/survey",
    "/jobs/2/plan",
    "/jobs/3/takeoff",
    "/jobs/3/price",
    "/jobs/3/days",
    "/jobs/3/orders",
    "/clients",
    "/shop/prices",
    "/api/jobs/1",
    "/offer",
    "/offer/proposal.pdf",
)


@dataclass
class Run:
    """What came back so far."""

    times_ms: list[float] = field(default_factory=list)
    reads: int = 0
    writes: int = 0
    faults: list[str] = field(default_factory=list)
    lock: threading.Lock = field(default_factory=threading.Lock)

    def note(self, what: str, ms: float, status: int, *, is_write: bool) -> None:
        """Keep one answer."""
        with self.lock:
            self.times_ms.append(ms)
            self.writes += is_write
            self.reads += not is_write
            if status >= 400:
                self.faults.append(f"{status} for {what}")

    def broke(self, what: str, fault: Exception) -> None:
        """Keep that there was no answer."""
        with self.lock:
            self.faults.append(f"no answer for {what}: {fault!r}")


def token_for(bound: str) -> str:
    """The token of a form, as our own page would carry it."""
    return hmac.new(VISIT.encode(), bound.encode(), hashlib.sha256).hexdigest()


def soak(minutes: float) -> int:
    """Run, print, and give what the program ends with."""
    with tempfile.TemporaryDirectory(prefix="upstand-soak-") as scratch:
        folder = Path(scratch)
        template = make_template(folder)
        shutil.copy(template.path, folder / "soak.sqlite")
        with running(f"sqlite:///{folder / 'soak.sqlite'}", folder) as (port, pid):
            run = Run()
            memory = _under_load(run, template, port, pid, minutes * 60)
    return _told(run, memory, minutes)


def _under_load(
    run: Run, template: Template, port: int, pid: int, seconds: float
) -> list[tuple[float, float]]:
    """Load the server; gives minutes since it was warm, and its memory then."""
    over = threading.Event()
    work = [*([_read] * 3), _write_clients, _write_questions]
    threads = [threading.Thread(target=one, args=(run, template, port, over)) for one in work]
    for thread in threads:
        thread.start()
    time.sleep(min(WARM_S, seconds))
    began, memory = time.monotonic(), []
    while True:
        passed = time.monotonic() - began
        memory.append((passed / 60, rss_mb(pid)))
        with run.lock:
            done, bad = len(run.times_ms), len(run.faults)
        print(f"{passed:5.0f} s: {memory[-1][1]:.1f} MB, {done} answers, {bad} faults", flush=True)
        if passed >= seconds:
            break
        time.sleep(min(EVERY_S, seconds - passed + 0.01))
    over.set()
    for thread in threads:
        thread.join()
    return memory


def _told(run: Run, memory: list[tuple[float, float]], minutes: float) -> int:
    """Print the outcome; gives 1 when something failed or memory kept growing."""
    half = memory[len(memory) // 2 :] if len(memory) >= 6 else memory
    slope = linear_regression([at for at, _ in half], [mb for _, mb in half]).slope
    times = sorted(run.times_ms)
    p50, p99 = (times[int(len(times) * part)] for part in (0.5, 0.99))
    for fault in run.faults[:20]:
        print(f"FAULT: {fault}")
    is_flat = slope <= MOST_SLOPE_MB or minutes < 5  # a short run still fills its memos
    outcome = {
        "minutes": minutes,
        "reads": run.reads,
        "writes": run.writes,
        "faults": len(run.faults),
        "p50_ms": round(p50, 1),
        "p99_ms": round(p99, 1),
        "memory_mb": [round(memory[0][1], 1), round(memory[-1][1], 1)],
        "slope_mb_a_minute_second_half": round(slope, 2),
        "machine_load": round(machine_load(), 1),
    }
    print(json.dumps(outcome))
    return 0 if is_flat and not run.faults else 1


def _read(run: Run, template: Template, port: int, over: threading.Event) -> None:
    headers = {"cookie": f"session={template.session}; offer={template.offer}; visit={VISIT}"}
    line = _line(port)
    for path in itertools.cycle(PAGES):
        if over.is_set():
            break
        line = _asked(run, line, "GET", path, headers)
    line.close()


def _write_clients(run: Run, template: Template, port: int, over: threading.Event) -> None:
    """Add clients, as the form does."""
    headers = {"cookie": f"session={template.session}; visit={VISIT}"}
    for number in itertools.count():
        form = {"form_token": token_for(template.session), "name": f"Client {number}", "address": "Quay 1"}
        _asked(run, _line(port), "POST", "/clients/new", headers, form).close()
        if over.wait(2.0):
            break


def _write_questions(run: Run, template: Template, port: int, over: threading.Event) -> None:
    """Answer the client again and again, so that what is kept of its page is made anew."""
    headers = {"cookie": f"session={template.session}; visit={VISIT}"}
    for number in itertools.count():
        form = {"form_token": token_for(template.session), "answer": f"Answer {number}"}
        path = f"/jobs/{template.signable_job}/questions"
        # A line that idles this long is closed by the server, as it should be.
        _asked(run, _line(port), "POST", path, headers, form).close()
        if over.wait(10.0):
            break


def _line(port: int) -> http.client.HTTPConnection:
    return http.client.HTTPConnection("127.0.0.1", port, timeout=60)


def _asked(
    run: Run,
    line: http.client.HTTPConnection,
    method: str,
    path: str,
    headers: dict[str, str],
    form: dict[str, str] | None = None,
) -> http.client.HTTPConnection:
    """Ask once; gives the line to go on with."""
    body = urlencode(form).encode() if form else None
    if body:
        headers = headers | {"content-type": "application/x-www-form-urlencoded"}
    began = time.perf_counter()
    try:
        line.request(method, path, body=body, headers=headers)
        answer = line.getresponse()
        answer.read()
    except (OSError, http.client.HTTPException) as fault:
        run.broke(f"{method} {path}", fault)
        line.close()
        return _line(line.port)
    run.note(f"{method} {path}", (time.perf_counter() - began) * 1000, answer.status, is_write=bool(body))
    return line


if __name__ == "__main__":
    sys.exit(soak(float(sys.argv[1]) if len(sys.argv) > 1 else 20.0))
