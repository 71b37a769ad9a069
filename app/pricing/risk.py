"""How sure a price is: uncertain lines drawn many times, by a seed, and what the sum then comes to."""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

import numpy as np
from numpy.typing import NDArray

from app.pricing.job_pricing import Range
from app.pricing.money import to_cents
from app.pricing.records import Estimate, EstimateLine, Kind, PriceRules

DRAWS = 10_000
SEED = 20_260_504
# Trades on one roof share weather and crew: common practice, no source.
COMMON_SHARE = 0.3
CARRYING = 5
# Lines given a usual range at once, and how far each kind falls short or runs over: common practice, no
# source.
RANGED = 12
USUAL_RANGES: dict[Kind, tuple[int, int]] = {
    "labour": (10, 40),
    "material": (5, 10),
    "equipment": (0, 10),
    "subcontract": (0, 15),
    "allowance": (20, 30),
}
Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class RiskLine:
    """One line and how much of the spread it carries.

    Attributes
    ----------
    line : EstimateLine
    low, high : Decimal
        Cost if it goes well, and if it goes badly.
    share_pct : Decimal
        Of the variance of the whole, to the tenth. [%]
    """

    line: EstimateLine
    low: Decimal
    high: Decimal
    share_pct: Decimal


@dataclass(frozen=True, slots=True)
class Risk:
    """How sure a price is.

    Attributes
    ----------
    p50, p80, p90 : Decimal
        Price before tax on the contract that covers the cost in so many draws of a hundred, with overhead
        and profit as planned and without any contingency.
    holds_pct : Decimal
        Draws of a hundred in which the price as estimated covers its cost and shares. [%]
    lines : tuple of RiskLine
        The five that carry most of the spread, first the worst.
    draws : int
    ranged : int
        How many lines have a range.
    """

    p50: Decimal
    p80: Decimal
    p90: Decimal
    holds_pct: Decimal
    lines: tuple[RiskLine, ...]
    draws: int
    ranged: int


def risk_of(
    estimate: Estimate, rules: PriceRules, ranges: Sequence[Range], common: float = COMMON_SHARE
) -> Risk | None:
    """Give how sure a price is.

    Parameters
    ----------
    estimate : Estimate
        Whose lines are drawn.
    rules : PriceRules
        Overhead, profit and tax on buying.
    ranges : sequence of Range
        Lines without one stand as they are.
    common : float
        Share of the spread that all lines have in common, 0 to below 1.

    Returns
    -------
    risk : Risk or None
        None without a range on any line of the estimate; the same for the same inputs.

    Notes
    -----
    Each ranged line is triangular between low and high with its cost as the mode. The draws share one
    common factor through their ranks; with `common` 0 they are independent.

    References
    ----------
    Triangular distribution: its inverse. The common factor is common practice, no source.
    """
    ranged, factors = drawn_factors(estimate.lines, ranges, common)
    if not ranged:
        return None
    by_line = {one.line: one for one in ranges}
    is_bought = rules.tax_on == "materials"
    weight = np.array([1 + (float(line.tax_pct) / 100 if is_bought else 0.0) for line in ranged])
    mode = np.array([float(line.cost) for line in ranged]) * weight
    low = mode * [1 - float(by_line[line.id].low_pct) / 100 for line in ranged]
    high = mode * [1 + float(by_line[line.id].high_pct) / 100 for line in ranged]
    drawn = factors * mode
    shares = 1 - float(rules.overhead_pct + rules.profit_pct) / 100
    fixed = float(estimate.direct) - float(mode.sum())
    needed = (fixed + drawn.sum(axis=1)) / shares
    p50, p80, p90 = (to_cents(Decimal(repr(float(q)))) for q in np.quantile(needed, (0.5, 0.8, 0.9)))
    holds = float(np.mean(needed <= float(estimate.price))) * 100
    return Risk(
        p50,
        p80,
        p90,
        _tenth(holds),
        _carrying(ranged, drawn, low / weight, high / weight),
        DRAWS,
        len(ranged),
    )


def drawn_factors(
    lines: Sequence[EstimateLine], ranges: Sequence[Range], common: float = COMMON_SHARE
) -> tuple[tuple[EstimateLine, ...], Floats]:
    """Draw by how much each uncertain line falls short or runs over.

    Parameters
    ----------
    lines : sequence of EstimateLine
        Of the estimate.
    ranges : sequence of Range
        Lines without one are left out, and lines that cost nothing.
    common : float
        Share of the spread that all lines have in common, 0 to below 1.

    Returns
    -------
    ranged : tuple of EstimateLine
        Those with a range.
    factors : array
        One row for each draw and one column for each of these lines; 1 is as estimated.

    References
    ----------
    See `risk_of`.
    """
    by_line = {one.line: one for one in ranges}
    ranged = tuple(line for line in lines if line.id in by_line and line.cost > 0)
    if not ranged:
        return (), np.ones((DRAWS, 0))
    low = np.array([1 - float(by_line[line.id].low_pct) / 100 for line in ranged])
    high = np.array([1 + float(by_line[line.id].high_pct) / 100 for line in ranged])
    return ranged, triangular(_uniform(len(ranged), common), low, np.ones(len(ranged)), high)


def usual_ranges(lines: Sequence[EstimateLine], ranges: Sequence[Range]) -> tuple[Range, ...]:
    """Give usual ranges to the lines that cost most and have none.

    Parameters
    ----------
    lines : sequence of EstimateLine
        Of the estimate.
    ranges : sequence of Range
        Those set already; they stay.

    Returns
    -------
    ranges : tuple of Range
        With those already set first; twelve lines in all, unless more were set already.

    References
    ----------
    Common practice, no source: labour runs over more often than goods do.
    """
    known = {one.line for one in ranges}
    others = [line for line in lines if line.id not in known and line.cost > 0]
    costly = sorted(others, key=lambda line: (-line.cost, line.id))[: max(0, RANGED - len(known))]
    added = (Range(line.id, *map(Decimal, USUAL_RANGES[line.kind])) for line in costly)
    return (*ranges, *added)


def triangular(u: Floats, low: Floats, mode: Floats, high: Floats) -> Floats:
    """Give draws of triangular distributions.

    Parameters
    ----------
    u : array
        Uniform draws, one column for each distribution.
    low, mode, high : array
        One for each distribution; where low is high the draw is the mode.

    Returns
    -------
    drawn : array
        As `u`.

    Notes
    -----
    F(mode) = (mode − low) / (high − low); below it x = low + √(u (high − low) (mode − low)), above
    x = high − √((1 − u) (high − low) (high − mode)).

    References
    ----------
    Definition of the triangular distribution.
    """
    width = high - low
    safe = np.where(width > 0, width, 1.0)
    below = low + np.sqrt(u * width * (mode - low))
    above = high - np.sqrt((1 - u) * width * (high - mode))
    return np.where(width > 0, np.where(u * safe < mode - low, below, above), mode)


def _uniform(count: int, common: float) -> Floats:
    """Draw uniform numbers whose ranks share a common factor."""
    generator = np.random.default_rng(SEED)
    if not common:
        return generator.random((DRAWS, count))
    own = generator.standard_normal((DRAWS, count))
    shared = generator.standard_normal((DRAWS, 1))
    mixed = np.sqrt(common) * shared + np.sqrt(1 - common) * own
    ranks: Floats = np.argsort(np.argsort(mixed, axis=0), axis=0).astype(np.float64)
    return (ranks + 0.5) / DRAWS


def _carrying(
    ranged: Sequence[EstimateLine], drawn: Floats, low: Floats, high: Floats
) -> tuple[RiskLine, ...]:
    """Give the lines that carry most of the spread: covariance with the sum over its variance."""
    total = drawn.sum(axis=1)
    spread = float(np.var(total))
    if not spread:
        return ()
    shares = [
        float(np.mean((column - column.mean()) * (total - total.mean()))) / spread for column in drawn.T
    ]
    found = [
        RiskLine(
            line,
            to_cents(Decimal(repr(float(low[index])))),
            to_cents(Decimal(repr(float(high[index])))),
            _tenth(shares[index] * 100),
        )
        for index, line in enumerate(ranged)
    ]
    return tuple(sorted(found, key=lambda one: (-one.share_pct, one.line.id))[:CARRYING])


def _tenth(value: float) -> Decimal:
    """Give a share to the tenth."""
    return Decimal(repr(value)).quantize(Decimal("0.1"))
