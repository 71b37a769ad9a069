"""Continuous beams on rigid supports, by the equation of three moments.

Sagging moments and downward deflections are positive, so moments over supports come out negative; upward
reactions are positive, so a negative reaction means the beam lifts off that support. Works exactly when
given fractions.

          w₁         w₂        w₃
       ↓↓↓↓↓↓↓   ↓↓↓↓↓↓↓   ↓↓↓↓↓↓↓
       ═══════════════════════════
       ▲         ▲        ▲       ▲
           L₁        L₂       L₃
"""

from collections.abc import Sequence
from fractions import Fraction
from typing import TypeVar

import numpy as np
from numpy.typing import NDArray

N = TypeVar("N", float, Fraction)


def support_moments(spans: Sequence[N], loads: Sequence[N]) -> tuple[N, ...]:
    """Give the moments over the supports, from the first to the last.

    Parameters
    ----------
    spans : sequence
        Lengths between supports.
    loads : sequence
        Load per length on each span, uniform over it.

    Returns
    -------
    moments : tuple
        Nought at both ends; load × length² in the units given.

    Notes
    -----
    Mᵢ₋₁ Lᵢ + 2 Mᵢ (Lᵢ + Lᵢ₊₁) + Mᵢ₊₁ Lᵢ₊₁ = −(wᵢ Lᵢ³ + wᵢ₊₁ Lᵢ₊₁³) / 4, one stiffness throughout; solved
    by elimination, exact in fractions.

    Examples
    --------
    >>> support_moments([Fraction(1)] * 3, [Fraction(1)] * 3)
    (Fraction(0, 1), Fraction(-1, 10), Fraction(-1, 10), Fraction(0, 1))

    References
    ----------
    Clapeyron's theorem of three moments.
    """
    zero = spans[0] * 0
    above: list[N] = []
    right: list[N] = []
    for here, following, load, next_load in zip(spans, spans[1:], loads, loads[1:], strict=False):
        pivot = 2 * (here + following)
        value = -(load * here**3 + next_load * following**3) / 4
        if above:
            pivot -= here * above[-1]
            value -= here * right[-1]
        above.append(following / pivot)
        right.append(value / pivot)
    moments: list[N] = [zero]
    for share, value in zip(reversed(above), reversed(right), strict=True):
        moments.append(value - share * moments[-1])
    moments.append(zero)
    return tuple(reversed(moments))


def reactions(spans: Sequence[N], loads: Sequence[N]) -> tuple[N, ...]:
    """Give the reactions of the supports, from the first to the last.

    Parameters
    ----------
    spans : sequence
        Lengths between supports.
    loads : sequence
        Load per length on each span.

    Returns
    -------
    reactions : tuple
        They sum to the whole load; a negative one would have to hold the beam down.

    Notes
    -----
    A span gives its left support wL/2 + (M right − M left)/L, its right support the rest.

    Examples
    --------
    >>> reactions([Fraction(1)] * 2, [Fraction(1)] * 2)
    (Fraction(3, 8), Fraction(5, 4), Fraction(3, 8))

    References
    ----------
    Equilibrium of each span.
    """
    moments = support_moments(spans, loads)
    found = [spans[0] * 0] * (len(spans) + 1)
    for index, (span, load) in enumerate(zip(spans, loads, strict=True)):
        tilt = (moments[index + 1] - moments[index]) / span
        found[index] += load * span / 2 + tilt
        found[index + 1] += load * span / 2 - tilt
    return tuple(found)


def span_moments(spans: Sequence[N], loads: Sequence[N]) -> tuple[N, ...]:
    """Give the greatest sagging moment within each span.

    Parameters
    ----------
    spans : sequence
        Lengths between supports.
    loads : sequence
        Load per length on each span.

    Returns
    -------
    moments : tuple
        Nought in a span that hogs from end to end.

    Notes
    -----
    Where the shear is nought, x = L/2 + (M right − M left)/(wL); M = M left + w x²/2.

    Examples
    --------
    >>> span_moments([Fraction(1)] * 2, [Fraction(1)] * 2)
    (Fraction(9, 128), Fraction(9, 128))

    References
    ----------
    Equilibrium of each span.
    """
    moments = support_moments(spans, loads)
    found = []
    for index, (span, load) in enumerate(zip(spans, loads, strict=True)):
        left, right = moments[index], moments[index + 1]
        greatest = max(left, right)
        if load > 0:
            at = span / 2 + (right - left) / (load * span)
            if 0 < at < span:
                greatest = max(greatest, left + load * at * at / 2)
        found.append(max(greatest, span * 0))
    return tuple(found)


def greatest_deflection(spans: Sequence[float], loads: Sequence[float], stiffness: float) -> float:
    """Give the greatest downward deflection of a continuous beam.

    Parameters
    ----------
    spans : sequence of float
        Lengths between supports.
    loads : sequence of float
        Load per length on each span.
    stiffness : float
        E·I, in units that go with the others (N and mm: N·mm²).

    Returns
    -------
    deflection : float
        In the unit of the lengths.

    Notes
    -----
    Within a span: EI·y = w x (L³ − 2Lx² + x³)/24 + M left · x(L−x)(2L−x)/(6L) + M right · x(L−x)(L+x)/(6L);
    looked for by narrowing in on the greatest of 64 places, to a millionth of the span.

    Examples
    --------
    >>> greatest_deflection([1.0], [1.0], 1.0)
    0.013021

    References
    ----------
    Superposition of the simple span and its end moments.
    """
    moments = support_moments(spans, loads)
    worst = 0.0
    for index, (span, load) in enumerate(zip(spans, loads, strict=True)):
        ends = (moments[index], moments[index + 1])
        low, high = 0.0, span
        while high - low > 1e-6 * span:
            step = (high - low) / 64
            places = [low + step * number for number in range(65)]
            best = max(places, key=lambda x, ends=ends, span=span, load=load: _sag(x, span, load, ends))  # type: ignore[misc]
            worst = max(worst, _sag(best, span, load, ends) / stiffness)
            low, high = max(0.0, best - step), min(span, best + step)
    return worst


def _sag(x: float, span: float, load: float, ends: tuple[float, float]) -> float:
    """Give E·I times the deflection at a place in one span."""
    own = load * x * (span**3 - 2 * span * x**2 + x**3) / 24
    held = ends[0] * (2 * span - x) + ends[1] * (span + x)
    return own + held * x * (span - x) / (6 * span)


def pattern_extremes(spans: Sequence[float], loads: NDArray[np.float64]) -> tuple[float, float, float]:
    """Give the greatest and least reaction and the greatest sagging moment over many patterns of load.

    Parameters
    ----------
    spans : sequence of float
        Lengths between supports.
    loads : array
        Load per length: one row for each pattern, one column for each span.

    Returns
    -------
    extremes : tuple of float
        Greatest reaction, least reaction, greatest moment in a span.

    Examples
    --------
    >>> pattern_extremes([1.0, 1.0], np.array([[1.0, 1.0], [1.0, 0.0]]))
    (1.25, -0.0625, 0.095703125)

    References
    ----------
    As `reactions` and `span_moments`, all patterns at once.
    """
    lengths = np.asarray(spans, dtype=np.float64)
    by_span = list(loads.T)
    # The elimination only multiplies and adds, so a column of patterns may stand for each load.
    moments = np.array(
        [np.broadcast_to(row, len(loads)) for row in support_moments(list(lengths), by_span)]
    ).T
    left, right = moments[:, :-1], moments[:, 1:]
    half, tilt = loads * lengths / 2, (right - left) / lengths
    pressed = np.zeros_like(moments)
    pressed[:, :-1] += half + tilt
    pressed[:, 1:] += half - tilt
    at = lengths / 2 + (right - left) / (np.where(loads > 0, loads, 1.0) * lengths)
    is_inside = (loads > 0) & (at > 0) & (at < lengths)
    sagging = np.where(is_inside, left + loads * at**2 / 2, 0.0)
    greatest = max(float(sagging.max()), float(moments.max()), 0.0)
    return float(pressed.max()), float(pressed.min()), greatest


def worst_patterns(count: int) -> tuple[tuple[bool, ...], ...]:
    """Give which spans to load to find the worst of everything.

    Parameters
    ----------
    count : int
        Number of spans.

    Returns
    -------
    patterns : tuple of tuple of bool
        All loaded; every second span (sag); for each inner support the two spans beside it and every second
        one beyond (hogging and reaction), and the opposite of that (uplift).

    Examples
    --------
    >>> worst_patterns(2)
    ((True, True), (True, False), (False, True), (True, True), (False, False))

    References
    ----------
    Influence lines of continuous beams (Müller-Breslau).
    """
    every_second = [tuple((index + first) % 2 == 0 for index in range(count)) for first in (0, 1)]
    beside = []
    for support in range(1, count):
        away = [support - 1 - index if index < support else index - support for index in range(count)]
        beside.append(tuple(steps % 2 == 0 for steps in away))
    opposite = [tuple(not is_loaded for is_loaded in pattern) for pattern in beside]
    return (tuple([True] * count), *every_second, *beside, *opposite)
