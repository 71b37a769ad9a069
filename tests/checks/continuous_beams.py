"""Continuous beams: Civil Engineering Formulas Table 2.1 (equal spans; handbook page), and sympy.

Coefficients of w·L², w·L and w·L⁴/EI. Pattern loading is the envelope over every choice of loaded spans.
"""

from fractions import Fraction
from itertools import product

import pytest
import sympy
from sympy.physics.continuum_mechanics.beam import Beam

from app.takeoff.framing.beams import (
    greatest_deflection,
    reactions,
    span_moments,
    support_moments,
    worst_patterns,
)
from app.takeoff.framing.bearing import LEAST_SHARE, as_laid

TABLE = {  # reactions from one end to the middle; greatest deflection
    1: ((Fraction(1, 2),), 0.01302),
    2: ((Fraction(3, 8), Fraction(5, 4)), 0.00542),
    3: ((Fraction(2, 5), Fraction(11, 10)), 0.00688),
    4: ((Fraction(11, 28), Fraction(8, 7), Fraction(13, 14)), 0.00646),
    5: ((Fraction(15, 38), Fraction(43, 38), Fraction(37, 38)), 0.00657),
    6: ((Fraction(41, 104), Fraction(59, 52), Fraction(25, 26), Fraction(53, 52)), 0.00654),
}
MOMENTS = {  # over supports, then within spans, from one end to the middle
    2: ((Fraction(1, 8),), (Fraction(9, 128),)),
    3: ((Fraction(1, 10),), (Fraction(2, 25), Fraction(1, 40))),
    4: ((Fraction(3, 28), Fraction(1, 14)), (0.0772, 0.0364)),
    5: ((Fraction(2, 19), Fraction(3, 38)), (0.0779, 0.0332, 0.0461)),
    6: ((Fraction(11, 104), Fraction(1, 13), Fraction(9, 104)), (0.0777, 0.0341, 0.0433)),
}


def ones(count: int) -> list[Fraction]:
    return [Fraction(1)] * count


@pytest.mark.parametrize("count", TABLE, ids=lambda count: f"Table 2.1 {count} spans")
def test_reactions_and_deflection_of_equal_spans(count: int) -> None:
    printed, deflection = TABLE[count]
    found = reactions(ones(count), ones(count))
    assert found[: len(printed)] == printed
    assert found == found[::-1]
    assert sum(found) == count
    assert greatest_deflection([1.0] * count, [1.0] * count, 1.0) == pytest.approx(deflection, abs=6e-6)


@pytest.mark.parametrize("count", MOMENTS, ids=lambda count: f"Table 2.1 {count} spans")
def test_moments_of_equal_spans(count: int) -> None:
    over, within = MOMENTS[count]
    supports = support_moments(ones(count), ones(count))
    assert (supports[0], supports[-1]) == (0, 0)
    assert tuple(-moment for moment in supports[1 : 1 + len(over)]) == over
    spans = span_moments(ones(count), ones(count))
    for found, printed in zip(spans, within, strict=False):
        if isinstance(printed, Fraction):
            assert found == printed
        else:
            assert float(found) == pytest.approx(printed, abs=6e-5)


@pytest.mark.parametrize(
    ("spans", "loads"),
    [((1, 1), (1, 1)), ((2, 3, 1), (1, 2, 1)), ((1, 2), (3, 0)), ((1, 1, 1, 1), (1, 0, 1, 0))],
    ids=str,
)
def test_any_spans_and_loads_agree_with_sympy_exactly(spans: tuple[int, ...], loads: tuple[int, ...]) -> None:
    stiffness = sympy.Symbol("EI", positive=True)
    beam = Beam(sum(spans), stiffness, 1)
    at = [sum(spans[:index]) for index in range(len(spans) + 1)]
    symbols = sympy.symbols(f"R0:{len(at)}")
    for place, symbol in zip(at, symbols, strict=True):
        beam.apply_load(symbol, place, -1)
        beam.bc_deflection.append((place, 0))
    for start, end, load in zip(at, at[1:], loads, strict=False):
        if load:
            beam.apply_load(-load, start, 0, end=end)
    beam.solve_for_reaction_loads(*symbols)
    wanted = [beam.reaction_loads[symbol] for symbol in symbols]
    found = reactions([Fraction(span) for span in spans], [Fraction(load) for load in loads])
    assert [sympy.Rational(force.numerator, force.denominator) for force in found] == wanted


PATTERNS = {  # −M, +M, R max, deflection, least reaction, over all loaded and unloaded spans
    2: (0.1250, 0.0957, 1.250, 0.00915, -0.063),
    3: (0.1167, 0.1013, 1.200, 0.00992, -0.100),
    4: (0.1205, 0.0996, 1.223, 0.00970, -0.214),
    5: (0.1196, 0.1001, 1.218, 0.00976, -0.194),
}


@pytest.mark.parametrize("count", PATTERNS, ids=lambda count: f"pattern loading {count} spans")
def test_the_few_patterns_tried_find_the_worst_of_all_patterns(count: int) -> None:
    printed = PATTERNS[count]
    spans = [1.0] * count

    def envelope(patterns) -> tuple[float, ...]:
        loads = [[float(is_loaded) for is_loaded in pattern] for pattern in patterns]
        forces = [force for load in loads for force in reactions(spans, load)]
        return (
            max(-moment for load in loads for moment in support_moments(spans, load)),
            max(moment for load in loads for moment in span_moments(spans, load)),
            max(forces),
            max(greatest_deflection(spans, load, 1.0) for load in loads),
            min(forces),
        )

    every = envelope(product((False, True), repeat=count))
    assert every[:3] == pytest.approx(printed[:3], abs=6e-4)
    assert every[3] == pytest.approx(printed[3], abs=6e-6)
    few = envelope(worst_patterns(count))
    assert few == pytest.approx(every)
    assert every[4] == pytest.approx(printed[4], abs=6e-4)


@pytest.mark.parametrize("count", PATTERNS, ids=lambda count: f"screening {count} spans")
def test_the_screening_is_never_below_the_worst_pattern(count: int) -> None:
    hogging, sagging, reaction, deflection, _ = PATTERNS[count]
    assert max(hogging, sagging) <= 1 / 8
    assert reaction <= LEAST_SHARE
    assert deflection <= 5 / 384
    # A uniform load on all spans understates: the reason why it is not what is screened with.
    assert float(max(reactions(ones(count), ones(count)))) <= reaction
    found = as_laid([(600.0,) * count], 0.2)
    assert found.share == LEAST_SHARE
    assert found.bending <= sagging + 1e-4
