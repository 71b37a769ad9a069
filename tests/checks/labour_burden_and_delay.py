"""Labour burden and the delay factor, against published figures.

- Burden: employer costs for employee compensation, construction, June 2022 (BLS, as tabulated by a policy
  institute): wage 30.39, supplemental 1.61, paid leave 1.97, insurance and retirement 5.55, legally required
  4.03, total 43.56 an hour; total over wage 1.433. The parts sum to 43.55: each is rounded by itself.
- Delay factor and man-days: NAVEDTRA 14045 and 14233 after NAVFAC P-405: 16 000 square feet at 33 man-hours
  for 1 000 are 66 man-days; average score 67. The form of the ratio is from memory.
"""

from decimal import Decimal

import pytest

from app.pricing.estimate import estimate_quantities
from app.pricing.labour import delay_factor, labour_rate
from app.pricing.money import to_cents
from tests.shop_builders import TODAY, a_book, a_quantity, an_assembly, labour, price_rules

WAGE, TOTAL = Decimal("30.39"), Decimal("43.56")


def test_bls_ecec_june_2022_construction_an_hour_costs_43_56() -> None:
    burden = (TOTAL - WAGE) * 100 / WAGE
    assert burden.quantize(Decimal("0.1")) == Decimal("43.3")
    assert to_cents(labour_rate(price_rules(wage=WAGE, burden_pct=burden))) == TOTAL


def test_the_published_parts_of_the_burden_sum_to_its_total_within_rounding() -> None:
    parts = [Decimal(part) for part in ("30.39", "1.61", "1.97", "5.55", "4.03")]
    assert abs(sum(parts) - TOTAL) <= Decimal("0.005") * len(parts)


@pytest.mark.parametrize(
    ("score", "days"),
    [(67, "66.0"), (50, "88.4"), (80, "55.3")],
    ids=["navedtra-14045-66-man-days", "by-hand-times-1.34", "by-hand-times-0.8375"],
)
def test_man_days_of_16_000_square_feet(score: int, days: str) -> None:
    """33 man-hours for 1 000 square feet; eight hours a day; no way up."""
    book = a_book((an_assembly("wall.area", "walls", labour("0.033")),), efficiency=(score,) * 8)
    answer = estimate_quantities([a_quantity("wall.area", 16_000, "m2")], book, TODAY)
    assert (Decimal(repr(answer.hours_h)) / 8).quantize(Decimal("0.1")) == Decimal(days)
    assert delay_factor((score,) * 8) == Decimal(67) / score
