"""Takeoff of the demo job as it grows: 1, 10 and 100 times the area, warm.

The roof and its deck fields are scaled in both directions; growth near linear keeps the time per piece flat.
"""

import time
from typing import Any

from app.job.file import read_job
from app.takeoff.chain import take_off
from tests import demo
from tests.bench.results import note

ROUNDS = 5


def grown(factor: float) -> dict[str, Any]:
    """Give the demo job with roof, heights and deck fields stretched by a factor in x and in y."""
    document = demo.document()
    survey, plan = document["survey"], document["plan"]
    survey["outline"] = [[x * factor, y * factor] for x, y in survey["outline"]]
    for things in ("spot_heights", "drains", "penetrations", "doors", "power_points", "gas_points"):
        for thing in survey[things]:
            thing["x"], thing["y"] = thing["x"] * factor, thing["y"] * factor
    for field in plan["deck_fields"]:
        field["outline"] = [[x * factor, y * factor] for x, y in field["outline"]]
    kept = {"level": plan["level"], "deck_fields": plan["deck_fields"]}
    document["plan"] = kept
    return document


def warm_seconds(document: dict[str, Any]) -> tuple[float, int]:
    job = read_job(document)
    take_off(job, {})
    seconds = []
    pieces = 0
    for _ in range(ROUNDS):
        start = time.process_time()
        pieces = len(take_off(job, {}).layout.pieces)
        seconds.append(time.process_time() - start)
    return min(seconds), pieces


def main() -> None:
    """Print processor time, pieces and growth: other work on the machine does not count."""
    seconds, pieces = warm_seconds(demo.document())
    note("takeoff of the demo, ms", seconds * 1000)
    print(f"demo job, all of it: {seconds * 1000:.0f} ms, {pieces} pieces")
    base = 0.0
    for area in (1, 10, 100):
        seconds, pieces = warm_seconds(grown(area**0.5))
        base = base or seconds
        growth = f"{seconds / base:.1f} x the time"
        if area == 100:
            note("takeoff of 100 × the area, × time", seconds / base)
        print(f"decks at {area:>3} x the area: {seconds * 1000:7.0f} ms, {pieces:>6} pieces, {growth}")
