"""Timber and pads that a run could not get round are named with their place, in both languages."""

import numpy as np
import pytest

from app.documents.words import is_said
from app.takeoff.roughin.apart import Apart
from app.takeoff.roughin.in_the_way import in_the_way

STICK = np.array([[1000.0, 0.0, 1000.0, 4000.0]])
PADS = np.array([[1000.0, 500.0, 75.0, 75.0], [1000.0, 1500.0, 75.0, 75.0]])


@pytest.mark.parametrize("units", ["metric", "imperial"])
def test_a_run_along_a_sleeper_and_through_its_pads_is_asked_about(units: str) -> None:
    apart = Apart({}, 50.0, STICK, np.array([29.0]), PADS)
    path = ((1000.0, 0.0), (1000.0, 3000.0))
    pad, sleeper = in_the_way("L1", [path], apart, 90.0, units)
    assert (pad.code, pad.grade, pad.value) == ("roughin.through-pad", "check", 2)
    assert pad.at_mm == pytest.approx((-500.0, 1000.0))
    assert (sleeper.code, sleeper.value) == ("roughin.along-sleeper", 3000.0)
    (one,) = in_the_way("L1", [((600.0, 500.0), (1400.0, 500.0))], apart, 0.0, units)
    assert "through a pad." in one.text
    for found in (pad, sleeper, one):
        assert is_said("fr", found.text)
        assert is_said("fr", found.source)
    assert in_the_way("L1", [((600.0, 1000.0), (1400.0, 1000.0))], apart, 0.0, units) == ()
