"""A circuit is known again when all that its runs depend on is the same, and only then."""

from dataclasses import fields, replace
from typing import Any

import numpy as np
import pytest
from shapely import box

from app.takeoff.roughin.apart import Apart
from app.takeoff.roughin.asked import Asked, ask, routed
from app.takeoff.roughin.ends import End
from app.takeoff.roughin.obstacles import FreeArea
from app.takeoff.roughin.routes import route

WALL = ((0.0, 0.0), (4000.0, 0.0))
OTHER: dict[str, Any] = {
    "angle_deg": 90.0,
    "area": box(0, 0, 4000, 3001),
    "xs_mm": (0.0, 4001.0),
    "ys_mm": (0.0, 3001.0),
    "obstacles": (("vent", box(0, 0, 1, 1)),),
    "boarded": box(0, 0, 5, 6),
    "covered": box(0, 0, 7, 8),
    "walls_mm": (WALL,),
    "spans": {("x", 10.0): [(0.0, 5.0)]},
    "apart_mm": 51.0,
    "sticks_mm": np.array([[0.0, 1001.0, 4000.0, 1001.0]]),
    "half_mm": np.array([31.0]),
    "pads_mm": np.array([[500.0, 1000.0, 61.0, 60.0]]),
    "keep": {("y", 10.0): [(0.0, 5.0)]},
    "worth": 4.0,
}
UNASKED = {"stretches_mm"}  # follows from the area


def an_end(name: str, x_mm: float, y_mm: float) -> End:
    return End(name, (x_mm, y_mm), 0.0, (x_mm, y_mm))


def asked(**changed: Any) -> Asked:
    """A source and a device with a stick and a pad between, everything made anew."""
    free = FreeArea(0.0, box(0, 0, 4000, 3000), (0.0, 4000.0), (0.0, 3000.0), ())
    sticks, half = np.array([[0.0, 1000.0, 4000.0, 1000.0]]), np.array([30.0])
    apart = Apart({}, 50.0, sticks, half, np.array([[500.0, 1000.0, 60.0, 60.0]]))
    ours = {one.name for one in fields(FreeArea)}
    free = replace(free, **{name: value for name, value in changed.items() if name in ours})
    apart = replace(apart, **{name: value for name, value in changed.items() if name not in ours})
    return ask(free, "L1", "chain", an_end("T1", 500.0, 200.0), [an_end("F1", 500.0, 2000.0)], apart)


def test_the_same_made_anew_is_the_same() -> None:
    assert asked() == asked()


def test_what_is_changed_below_is_all_that_there_is() -> None:
    assert {one.name for record in (FreeArea, Apart) for one in fields(record)} == {*OTHER, *UNASKED}


@pytest.mark.parametrize("name", OTHER)
def test_a_change_of_anything_is_another_question(name: str) -> None:
    assert asked(**{name: OTHER[name]}) != asked()


def test_the_runs_are_those_of_the_circuit() -> None:
    one = asked()
    assert routed(one) == route(one.free, "L1", "chain", one.source, one.devices, one.apart)
    assert routed(one).legs
