"""IRC R311.3.1 and R311.3.2: step at an exterior door, 1½ in, or 7¾ in where it does not swing over."""

import pytest

from app.job import survey as s
from app.takeoff.roof.read_roof import read_roof
from tests.builders import a_job, a_plan, a_survey

INCH = 25.4


@pytest.mark.parametrize(
    ("swing", "is_exit", "step_in", "is_high"),
    [
        # Threshold 8 in above the membrane, deck 5½ in: a step of 2½ in.
        ("out", True, 2.5, True),
        ("in", True, 2.5, False),
        ("out", False, 2.5, False),
        ("out", True, 1.5, False),
        ("in", True, 7.75, False),
        ("in", True, 8.0, True),
        ("out", False, 8.0, True),
    ],
)
def test_the_step_allowed_depends_on_the_swing_and_the_use(
    swing: str, is_exit: bool, step_in: float, is_high: bool
) -> None:
    door = s.Door(
        id="door",
        x_mm=3000,
        y_mm=4000,
        width_mm=900,
        threshold_mm=step_in * INCH,
        swing=swing,
        is_required_exit=is_exit,
    )
    level = a_plan().level.model_copy(update={"level_mm": 0.0})
    findings = read_roof(a_job(a_survey(doors=(door,)), a_plan(level=level))).findings
    steps = [finding for finding in findings if finding.code == "roof.door-step"]
    assert bool(steps) is is_high
    assert all(finding.grade == "check" and "IRC R311.3" in finding.source for finding in steps)
