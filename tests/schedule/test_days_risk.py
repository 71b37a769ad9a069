"""The spread of the days of one job against what analysis says of it."""

from decimal import Decimal

import numpy as np
import pytest
from scipy.stats import nbinom

from app.pricing.estimate import estimate_quantities
from app.pricing.job_pricing import Range
from app.pricing.records import PHASES, Estimate, Phase
from app.pricing.risk import DRAWS, usual_ranges
from app.schedule.days_risk import DaysRisk, days_risk
from app.schedule.records import Crew
from app.schedule.tasks import tasks_of
from tests.shop_builders import (
    SMALL_JOB,
    TODAY,
    TWO_PEOPLE,
    a_book,
    a_quantity,
    an_assembly,
    labour,
    small_shop,
)

# One person who works one hour a day: a day is an hour, so that whole days hide nothing.
ONE_HOUR = Crew("one", "One", 1, 1.0)
RUNNING: tuple[Phase, ...] = ("frame", "boards", "walls", "planters", "beds", "fit-out")


def working(hours: str, *phases: Phase) -> Estimate:
    """So many hours of labour in each phase."""
    parts = tuple(an_assembly("job.once", phase, labour(hours), code=phase) for phase in phases)
    return estimate_quantities([a_quantity("job.once", 1)], a_book(parts), TODAY)


def spread(answer: Estimate, crew: Crew, low: int, high: int, common: float = 0.0) -> DaysRisk:
    tasks = tasks_of(answer, [], crew)
    ranges = [Range(line.id, Decimal(low), Decimal(high)) for line in answer.lines]
    found = days_risk(tasks, answer.lines, ranges, crew, common)
    assert found is not None
    return found


@pytest.mark.parametrize(("part", "name"), [(0.5, "p50_days"), (0.8, "p80_days"), (0.9, "p90_days")])
def test_one_line_has_the_quantiles_of_its_triangle(part: float, name: str) -> None:
    """Triangular 2 000, 4 000, 9 000 h: x = 9 000 − √((1 − p) · 7 000 · 5 000). The error of a quantile is
    √(p (1 − p) / n) / f(x), with f(x) = 2 (9 000 − x) / (7 000 · 5 000); three of it are allowed for. What
    else a plan holds (hold points, a day each) is taken off."""
    found = spread(working("4000", "boards"), ONE_HOUR, 50, 125)
    others = found.planned_days - 4000
    x = 9000 - np.sqrt((1 - part) * 7000 * 5000)
    error = np.sqrt(part * (1 - part) / DRAWS) / (2 * (9000 - x) / (7000 * 5000))
    assert getattr(found, name) - others == pytest.approx(x, abs=3 * error + 1)


def test_p80_of_phases_one_after_another_lies_at_the_normal_value() -> None:
    """Six phases of one crew add up: mean 6 · 5 000, variance 6 · 2 166 667 (triangular 2 000, 4 000, 9 000).
    Normal: P80 = mean + 0.8416 σ; three errors of a quantile and the skew of six terms are allowed for."""
    found = spread(working("4000", *RUNNING), ONE_HOUR, 50, 125)
    others = found.planned_days - 6 * 4000
    sigma = np.sqrt(6 * 2_166_667)
    density = np.exp(-0.5 * 0.8416**2) / (sigma * np.sqrt(2 * np.pi))
    error = np.sqrt(0.8 * 0.2 / DRAWS) / density
    assert found.p80_days - others == pytest.approx(30_000 + 0.8416 * sigma, abs=3 * error + 0.03 * sigma)
    assert found.p50_days < found.p80_days < found.p90_days
    assert len(found.lines) == 5


@pytest.mark.parametrize("chance", [0.1, 0.25])
@pytest.mark.parametrize(("part", "name"), [(0.5, "p50_days"), (0.8, "p80_days"), (0.9, "p90_days")])
def test_weather_takes_days_as_the_negative_binomial_says(part: float, name: str, chance: float) -> None:
    """A hundred days of work, each lost with chance p: as many fail before the hundredth that does not.
    Mean n p / (1 − p); quantiles from a second library. Three errors of the mean, one day of a quantile."""
    answer = working("100", "boards", "walls")
    tasks = tasks_of(answer, [], ONE_HOUR)
    sure = [Range(line.id, Decimal(1), Decimal(1)) for line in answer.lines if line.phase == "walls"]
    dry = days_risk(tasks, answer.lines, sure, ONE_HOUR, 0.0)
    wet = days_risk(tasks, answer.lines, sure, ONE_HOUR, 0.0, {"boards": chance})
    assert dry is not None
    assert wet is not None
    assert dry.weather_days == 0
    error = np.sqrt(100 * chance) / (1 - chance) / np.sqrt(DRAWS)
    assert wet.weather_days == pytest.approx(100 * chance / (1 - chance), abs=3 * error)
    lost = float(nbinom.ppf(part, 100, 1 - chance))
    assert getattr(wet, name) - getattr(dry, name) == pytest.approx(lost, abs=1)
    assert wet.planned_days == dry.planned_days
    assert wet.holds_pct < dry.holds_pct
    assert wet == days_risk(tasks, answer.lines, sure, ONE_HOUR, 0.0, {"boards": chance})


def test_lines_that_run_over_together_widen_the_days() -> None:
    answer = working("4000", *RUNNING)
    apart, together = (spread(answer, ONE_HOUR, 50, 125, common) for common in (0.0, 0.5))
    assert together.p90_days - together.p50_days > (apart.p90_days - apart.p50_days) * 1.3


def test_the_line_with_the_wide_range_carries_the_days() -> None:
    answer = working("40", "frame", "boards", "walls")
    tasks = tasks_of(answer, [], TWO_PEOPLE)
    ranges = [
        Range(line.id, Decimal(5), Decimal(200 if line.phase == "walls" else 5)) for line in answer.lines
    ]
    found = days_risk(tasks, answer.lines, ranges, TWO_PEOPLE)
    assert found == days_risk(tasks, answer.lines, ranges, TWO_PEOPLE)
    assert found is not None
    assert found.lines[0].line.phase == "walls"
    assert found.lines[0].high_h == pytest.approx(120)
    assert found.lines[0].share_pct > 90
    assert 0 <= found.holds_pct <= 100


def test_goods_alone_say_nothing_of_the_days() -> None:
    shop = small_shop()
    answer = estimate_quantities(SMALL_JOB, shop, TODAY)
    goods = [Range(line.id, Decimal(5), Decimal(50)) for line in answer.lines if line.kind == "material"]
    assert days_risk(tasks_of(answer, SMALL_JOB, TWO_PEOPLE), answer.lines, goods, TWO_PEOPLE) is None


def test_usual_ranges_go_to_the_costly_lines_and_leave_what_was_set() -> None:
    answer = estimate_quantities(SMALL_JOB, small_shop(), TODAY)
    cheap = min((line for line in answer.lines if line.cost > 0), key=lambda line: line.cost)
    own = Range(cheap.id, Decimal(1), Decimal(2))
    found = usual_ranges(answer.lines, [own])
    assert found[0] == own
    assert len(found) == 12
    costs = {line.id: line.cost for line in answer.lines}
    assert min(costs[one.line] for one in found[1:]) >= max(
        cost for line, cost in costs.items() if line not in {one.line for one in found}
    )
    assert usual_ranges(answer.lines, found) == found
    assert set(PHASES) >= {line.phase for line in answer.lines}
