"""Rates learned from the log of jobs that are done."""

from decimal import Decimal

import pytest

from app.build.learning import DoneJob, learned_rates
from app.build.log import hours_by_phase
from app.build.records import LogHours
from tests.shop_builders import TODAY, an_estimate, small_shop


def done(noted_h: float, phase: str = "boards") -> DoneJob:
    answer = an_estimate()
    hours = hours_by_phase(answer.phases, [LogHours(TODAY, noted_h, phase)])
    return DoneJob("0001", answer, hours)


def planned(phase: str = "boards") -> float:
    return next(one.hours_h for one in an_estimate().phases if one.phase == phase)


def test_three_parts_of_the_shop_and_one_of_the_job() -> None:
    """By hand: twice the hours planned on one job make the rate (3 + 2) / 4 of what it was."""
    found = learned_rates(small_shop().assemblies, [done(2 * planned())])
    assert found
    for one in found:
        assert one.proposed == pytest.approx(one.rate * Decimal("1.25"), abs=Decimal("0.0002"))
        assert (one.jobs, one.least_pct, one.most_pct) == (1, pytest.approx(200), pytest.approx(200))


def test_more_jobs_weigh_more_and_their_spread_is_told() -> None:
    """By hand: jobs at 1, 2 and 3 times the plan: (3 + 1 + 2 + 3) / 6 = 1.5."""
    jobs = [done(times * planned()) for times in (1, 2, 3)]
    one = learned_rates(small_shop().assemblies, jobs)[0]
    assert one.proposed == pytest.approx(one.rate * Decimal("1.5"), abs=Decimal("0.0002"))
    assert (one.least_pct, one.most_pct) == (pytest.approx(100), pytest.approx(300))


def test_a_phase_without_hours_teaches_nothing() -> None:
    assert {one.assembly for one in learned_rates(small_shop().assemblies, [done(8.0)])} <= {
        line.assembly for line in an_estimate().lines if line.phase == "boards"
    }
    assert learned_rates(small_shop().assemblies, []) == ()
