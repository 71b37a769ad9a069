"""The spread of a price against what analysis says of it."""

from decimal import Decimal

import numpy as np
import pytest

from app.pricing.estimate import estimate_quantities
from app.pricing.job_pricing import JobPricing, Override, Range
from app.pricing.records import PriceRules
from app.pricing.risk import DRAWS, Risk, risk_of, triangular
from tests.shop_builders import (
    SMALL_JOB,
    TODAY,
    a_book,
    a_quantity,
    an_assembly,
    money,
    price_rules,
    small_shop,
)


def test_triangular_2_4_9_has_the_mean_variance_and_quantiles_of_analysis() -> None:
    """Mean 5, variance 2.16667, P50 4.81670, P80 6.35425: closed forms of the triangular distribution."""
    u = (np.arange(100_000) + 0.5)[:, None] / 100_000
    drawn = triangular(u, np.array([2.0]), np.array([4.0]), np.array([9.0]))
    assert drawn.mean() == pytest.approx(5.0, abs=1e-4)
    assert drawn.var() == pytest.approx(2.16667, abs=1e-4)
    assert np.quantile(drawn, 0.5) == pytest.approx(9 - np.sqrt(0.5 * 7 * 5), abs=1e-3)
    assert np.quantile(drawn, 0.8) == pytest.approx(9 - np.sqrt(0.2 * 7 * 5), abs=1e-3)


def many_lines(count: int, common: float) -> tuple[Risk, PriceRules]:
    """25 lines, each triangular between 2, 4 and 9: low 50 % under, high 125 % over."""
    rules = price_rules(
        overhead_pct=Decimal(0), profit_pct=Decimal(0), tax_on="none", contingency_pct=Decimal(0)
    )
    book = a_book(
        tuple(an_assembly("job.once", "frame", money("subcontract", "4"), code=f"s{n}") for n in range(count))
    )
    book = type(book)(book.items, book.assemblies, rules, book.as_of)
    answer = estimate_quantities([a_quantity("job.once", 1)], book, TODAY)
    ranges = [Range(line.id, Decimal(50), Decimal(125)) for line in answer.lines]
    found = risk_of(answer, rules, ranges, common)
    assert found is not None
    return found, rules


def test_p80_of_a_sum_of_25_lies_within_sampling_error_of_the_normal_value() -> None:
    """Normal approximation of 25 triangular(2, 4, 9): P50 125, P80 131.19. The error of a quantile is
    √(p (1 − p) / n) / f(x), f the normal density; three of it and the skew of 25 terms are allowed for."""
    found, _ = many_lines(25, 0.0)
    sigma = (25 * 2.16667) ** 0.5
    density = np.exp(-0.5 * 0.8416**2) / (sigma * np.sqrt(2 * np.pi))
    error = (0.8 * 0.2 / DRAWS) ** 0.5 / density
    assert float(found.p80) == pytest.approx(125 + 0.8416 * sigma, abs=3 * error + 0.1)
    assert float(found.p50) == pytest.approx(125, abs=0.4)
    assert found.p50 < found.p80 < found.p90


def test_a_common_factor_widens_the_spread() -> None:
    apart, together = many_lines(25, 0.0)[0], many_lines(25, 0.5)[0]
    assert together.p80 - together.p50 > (apart.p80 - apart.p50) * 2


def test_the_same_inputs_give_the_same_figures_and_the_wide_line_carries_the_risk() -> None:
    shop = small_shop()
    answer = estimate_quantities(SMALL_JOB, shop, TODAY)
    by_cost = sorted(answer.lines, key=lambda line: line.cost)
    ranges = [Range(line.id, Decimal(5), Decimal(5)) for line in answer.lines[:8]]
    ranges = [one for one in ranges if one.line != by_cost[-1].id]
    ranges.append(Range(by_cost[-1].id, Decimal(30), Decimal(80)))
    found = risk_of(answer, shop.rules, ranges)
    assert found == risk_of(answer, shop.rules, ranges)
    assert found is not None
    assert found.lines[0].line.id == by_cost[-1].id
    assert all(one.low <= one.line.cost <= one.high for one in found.lines)
    assert len(found.lines) == 5
    assert 0 <= found.holds_pct <= 100


def test_without_ranges_there_is_nothing_to_say() -> None:
    shop = small_shop()
    answer = estimate_quantities(SMALL_JOB, shop, TODAY)
    assert risk_of(answer, shop.rules, []) is None
    assert risk_of(answer, shop.rules, [Range("boards/none/1", Decimal(1), Decimal(1))]) is None


def test_a_line_set_by_hand_to_nothing_carries_no_risk() -> None:
    shop = small_shop()
    line = estimate_quantities(SMALL_JOB, shop, TODAY).lines[0].id
    pricing = JobPricing(overrides=(Override(line, "cost", Decimal(0), "given"),))
    answer = estimate_quantities(SMALL_JOB, shop, TODAY, pricing=pricing)
    assert risk_of(answer, shop.rules, [Range(line, Decimal(10), Decimal(10))]) is None
