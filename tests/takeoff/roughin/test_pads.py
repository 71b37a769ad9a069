"""Runs lie between the pads."""

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from app.takeoff.framing.records import Stick
from app.takeoff.roughin.apart import Apart
from app.takeoff.roughin.ends import ends_off_pads
from app.takeoff.roughin.lanes import along_sticks, beside
from app.takeoff.roughin.legs import level_mm
from app.takeoff.roughin.pads import hit_pads, pad_boxes, through_pads
from app.takeoff.roughin.rough_in import rough_in
from app.takeoff.roughin.routes import Topology, route
from tests import builders as b
from tests.takeoff.roughin.site import (
    a_fixture,
    a_lit_job,
    end,
    framing_of,
    free,
    layout_of,
    pads_under,
    square,
)

SHAPES: tuple[Topology, ...] = ("chain", "tee", "hub", "loop")
ROWS = np.array([[400.0 * n, 100.0, 400.0 * n, 5900.0] for n in range(1, 15)])
HALF = np.full(len(ROWS), 29.0)
PADS = np.array([[400.0 * n, 250.0 + 500.0 * k, 75.0, 75.0] for n in range(1, 15) for k in range(12)])
places = st.tuples(st.integers(1, 59), st.integers(1, 59)).map(lambda at: (at[0] * 100.0, at[1] * 100.0))


@settings(max_examples=40, deadline=None)
@given(st.lists(places, min_size=2, max_size=6, unique=True), st.sampled_from(SHAPES))
def test_no_run_passes_through_a_pad(points: list[tuple[float, float]], shape: Topology) -> None:
    area = free(square(6000.0))
    over = {f"E{n}": end(f"E{n}", *beside(at, ROWS, HALF)) for n, at in enumerate(points)}
    ends = list(ends_off_pads(over, area, ROWS, HALF, PADS).values())
    keep = Apart({}, 50.0, ROWS, HALF, PADS)
    routed = route(area, "C", shape, ends[0], ends[1:], keep)
    assert not routed.cut_off
    paths = [leg.turned_mm for leg in routed.legs]
    assert not hit_pads(paths, PADS).any()
    assert along_sticks(paths, ROWS, HALF) == (0.0, None)
    plain = route(area, "C", shape, ends[0], ends[1:], Apart({}, 50.0, ROWS, HALF))
    assert level_mm(routed) <= 1.05 * level_mm(plain) + 700.0


def test_where_nothing_but_a_pad_is_left_it_is_asked_about() -> None:
    """A passage 40 mm wide over a pad."""
    strip = ((0.0, 0.0), (40.0, 0.0), (40.0, 6000.0), (0.0, 6000.0))
    none = np.zeros((0, 4))
    pads = np.array([[20.0, 3000.0, 75.0, 75.0]])
    routed = route(
        free(strip),
        "C",
        "chain",
        end("A", 20, 100),
        [end("B", 20, 5900)],
        Apart({}, 50.0, none, np.zeros(0), pads),
    )
    assert not routed.cut_off
    assert through_pads([leg.turned_mm for leg in routed.legs], pads) == (1, (20.0, 3000.0))


def test_a_pad_lies_square_to_its_stick_and_askew_is_boxed() -> None:
    (pad, *_) = b.choices().pads
    stick = Stick("S1", "deck", "sleeper", "sleeper", (1000, 0), (1000, 500), 500)
    framing = framing_of(stick, pads=pads_under([stick], 500.0))
    ((x, y, wide, high),) = pad_boxes(framing, b.choices(), 0.0)
    assert (x, y, wide, high) == (1000, 250, pad.width_mm / 2, pad.length_mm / 2)
    ((_, _, wide, high),) = pad_boxes(framing, b.choices(), 90.0)
    assert (wide, high) == (pad.length_mm / 2, pad.width_mm / 2)


def test_the_runs_of_a_job_keep_off_its_pads() -> None:
    sticks = [
        Stick(f"S{n}", "deck", "sleeper", "sleeper", (400.0 * n, 0), (400.0 * n, 4000), 4000)
        for n in range(1, 15)
    ]
    framing = framing_of(*sticks, pads=pads_under(sticks, 500.0))
    job = a_lit_job(*(a_fixture(f"F{n}", 800.0 * n, 750.0 * n) for n in range(1, 5)))
    answer = rough_in(job, layout_of(0.0), framing)
    boxes = np.array(pad_boxes(framing, job.choices, 0.0))
    assert not hit_pads((run.path_mm for run in answer.runs), boxes).any()
    assert not [finding for finding in answer.findings if finding.code == "roughin.through-pad"]
