"""Hours noted beside hours estimated."""

from datetime import date

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from app.build.log import all_hours, hours_by_phase, learned_rate
from app.build.records import LogHours
from tests.shop_builders import an_estimate

ON = date(2026, 6, 11)


def test_hours_stand_beside_the_plan_phase_by_phase() -> None:
    entries = [LogHours(ON, 10.0, "frame"), LogHours(ON, 26.0, "frame"), LogHours(ON, 3.0)]
    rows = {row.phase: row for row in hours_by_phase(an_estimate().phases, entries)}
    frame = rows["frame"]
    assert (frame.planned_h, frame.actual_h, frame.left_h, frame.used_pct) == (30.0, 36.0, -6.0, 120.0)
    assert rows["boards"].actual_h == 0.0
    assert (rows[""].planned_h, rows[""].used_pct) == (0.0, None)
    assert list(rows)[-1] == ""


def test_the_phases_add_up_to_the_job() -> None:
    answer = an_estimate()
    whole = all_hours(hours_by_phase(answer.phases, [LogHours(ON, 4.5, "walls"), LogHours(ON, 1.0)]))
    assert whole.planned_h == pytest.approx(answer.hours_h)
    assert whole.actual_h == 5.5


@pytest.mark.parametrize(
    ("entry", "said"), [(LogHours(ON, 1.0, "painting"), "painting"), (LogHours(ON, -1.0), "-1.0 hours")]
)
def test_an_entry_that_cannot_be_is_refused(entry: LogHours, said: str) -> None:
    with pytest.raises(ValueError, match=said):
        hours_by_phase(an_estimate().phases, [entry])


@settings(max_examples=50, deadline=None)
@given(st.floats(0.01, 5), st.floats(0, 500), st.floats(0.1, 100), st.floats(0.1, 50))
def test_a_learned_rate_lies_between_the_prior_and_what_was_noted(
    prior: float, hours: float, amount: float, weight: float
) -> None:
    noted = hours / amount
    rate = learned_rate(prior, hours, amount, weight)
    assert min(prior, noted) - 1e-9 <= rate <= max(prior, noted) * (1 + 1e-9)


def test_nothing_done_and_no_prior_teaches_nothing() -> None:
    with pytest.raises(ValueError, match="weighs nothing"):
        learned_rate(1.0, 0.0, 0.0, 0.0)
