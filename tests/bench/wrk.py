"""Load from a second process: wrk where it is installed, else a loader of our own in a process of its own."""

import multiprocessing
import re
import shutil
import subprocess
from dataclasses import dataclass

from tests.bench.load import load
from tests.bench.results import worked_ms

_MS = {"us": 0.001, "ms": 1.0, "s": 1000.0, "m": 60_000.0}


@dataclass(frozen=True, slots=True)
class Asked:
    """What came back: requests a second, times in ms, processor time of the server for each, and failures."""

    rate: float
    p50: float
    p99: float
    own_ms: float
    bad: int
    by: str

    def text(self) -> str:
        """The figures in a line."""
        bad = f"  {self.bad} BAD" if self.bad else ""
        return (
            f"{self.rate:6.0f}/s  p50 {self.p50:6.1f}  p99 {self.p99:6.1f} ms, "
            f"{self.own_ms:5.2f} ms of processor each ({self.by}){bad}"
        )


def ask(port: int, pid: int, path: str, seconds: float, clients: int, headers: dict[str, str]) -> Asked:
    """Ask a server for one path over and over."""
    before = worked_ms(pid)
    found = (_by_wrk if shutil.which("wrk") else _by_ours)(port, path, seconds, clients, headers)
    rate, p50, p99, bad, by = found
    own = (worked_ms(pid) - before) / max(1.0, rate * seconds)
    return Asked(rate, p50, p99, own, bad, by)


def read_wrk(text: str) -> tuple[float, float, float, int]:
    """Read what wrk prints: requests a second, p50, p99, failures."""
    rate = float(re.search(r"Requests/sec:\s+([\d.]+)", text)[1])  # type: ignore[index]
    p50, p99 = (
        float(number) * _MS[unit]
        for number, unit in (
            re.search(rf"\s{part}%\s+([\d.]+)(us|ms|s|m)\b", text).groups()  # type: ignore[union-attr]
            for part in (50, 99)
        )
    )
    answers = re.search(r"Non-2xx or 3xx responses: (\d+)", text)
    broken = re.search(r"Socket errors: connect (\d+), read (\d+), write (\d+), timeout (\d+)", text)
    bad = int(answers[1]) if answers else 0
    return rate, p50, p99, bad + (sum(map(int, broken.groups())) if broken else 0)


def _by_wrk(
    port: int, path: str, seconds: float, clients: int, headers: dict[str, str]
) -> tuple[float, float, float, int, str]:
    given = [word for name, value in headers.items() for word in ("-H", f"{name}: {value}")]
    command = ["wrk", "-t1", f"-c{clients}", f"-d{max(1, round(seconds))}s", "--latency", *given]
    done = subprocess.run(
        [*command, f"http://127.0.0.1:{port}{path}"], capture_output=True, text=True, check=True
    )
    return *read_wrk(done.stdout), "wrk"


def _by_ours(
    port: int, path: str, seconds: float, clients: int, headers: dict[str, str]
) -> tuple[float, float, float, int, str]:
    with multiprocessing.get_context("spawn").Pool(1) as pool:
        times = pool.apply(load, (port, (path,), float(max(1, round(seconds))), clients, headers))
    return times.rate, times.at(0.5), times.at(0.99), times.bad, "own loader"
