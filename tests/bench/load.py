"""A plain loader: some clients, each on its own connection, one request after the other."""

import http.client
import threading
import time
from dataclasses import dataclass


@dataclass(frozen=True)
class Times:
    """How long each answer took, in milliseconds, sorted; and how many were no answer."""

    ms: list[float]
    seconds: float
    bad: int

    def at(self, part: float) -> float:
        return self.ms[min(len(self.ms) - 1, int(len(self.ms) * part))] if self.ms else float("nan")

    @property
    def rate(self) -> float:
        return len(self.ms) / self.seconds

    def text(self) -> str:
        return (
            f"{self.rate:7.0f}/s  p50 {self.at(0.5):6.1f}"
            f"  p95 {self.at(0.95):6.1f}  p99 {self.at(0.99):6.1f} ms"
            + (f"  {self.bad} bad" if self.bad else "")
        )


def load(port: int, paths: tuple[str, ...], seconds: float, clients: int, headers: dict[str, str]) -> Times:
    """Ask for the paths in turn for some seconds; gives the times."""
    times: list[float] = []
    bad = [0]
    until = time.perf_counter() + seconds
    lock = threading.Lock()

    def ask() -> None:
        line = http.client.HTTPConnection("127.0.0.1", port, timeout=60)
        mine, number = [], 0
        while time.perf_counter() < until:
            began = time.perf_counter()
            line.request("GET", paths[number % len(paths)], headers=headers)
            answer = line.getresponse()
            answer.read()
            mine.append((time.perf_counter() - began) * 1000)
            number += 1
            if answer.status >= 400:
                with lock:
                    bad[0] += 1
        line.close()
        with lock:
            times.extend(mine)

    began = time.perf_counter()
    threads = [threading.Thread(target=ask) for _ in range(clients)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    return Times(sorted(times), time.perf_counter() - began, bad[0])
