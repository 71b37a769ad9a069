"""The loads drawing: bands told by hatch and legend, the worst square with its figure, areas by name."""

from typing import Any

from app.drawings.loads import loads_svg
from app.job.file import read_job
from app.takeoff.chain import Takeoff, take_off
from tests import demo


def drawn(**survey: Any) -> tuple[str, Takeoff]:
    document = demo.document()
    document["survey"] |= survey
    job = read_job(document)
    takeoff = take_off(job, {})
    return loads_svg(job, takeoff, "metric"), takeoff


def test_the_worst_square_carries_its_figure() -> None:
    svg, takeoff = drawn()
    assert takeoff.totals.load_map.worst is not None
    assert f"worst here: {takeoff.totals.load_map.worst.dead_kpa:.2f} kPa" in svg


def test_bands_differ_by_hatch_and_are_explained() -> None:
    svg, _ = drawn()
    assert all(f'id="hatch-load-{number}"' in svg for number in range(1, 5))
    assert all(words in svg for words in ("to 25 %", "to 50 %", "to 80 %", "to 100 %", "over the figure"))


def test_without_a_figure_bands_are_by_load() -> None:
    svg, _ = drawn(allowable_load=None)
    assert "share of the figure" not in svg
    assert "to 0.50 kPa" in svg


def test_areas_with_their_own_figures_are_named() -> None:
    area = {
        "id": "wallside",
        "name": "By the wall",
        "outline": [[0, 4300], [1500, 4300], [1500, 7000], [0, 7000]],
        "dead": 6.0,
        "live": 4.8,
        "given_by": "L. Sund (invented)",
        "given_on": "2026-02-20",
    }
    svg, _ = drawn(allowable_areas=[area])
    assert "By the wall: 6.00 kPa allowed" in svg
