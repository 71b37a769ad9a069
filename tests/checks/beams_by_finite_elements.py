"""Continuous beams by an independent finite-element library: Hermite beam elements of scikit-fem.

Nothing of the three-moment equation is in it: displacements are solved for, the supports' forces are what
equilibrium lacks there, moments follow from the forces. Equal spans under every pattern of loaded and bare
spans, and uneven spans drawn at random.
"""

from dataclasses import dataclass
from itertools import pairwise, product

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.typing import NDArray
from skfem import Basis, BilinearForm, ElementLineHermite, LinearForm, MeshLine, condense, solve
from skfem.helpers import dd, ddot

from app.takeoff.framing.beams import (
    greatest_deflection,
    pattern_extremes,
    reactions,
    span_moments,
    support_moments,
    worst_patterns,
)
from app.takeoff.framing.bearing import LEAST_SHARE

PER_SPAN = 24  # elements


@dataclass(frozen=True)
class Solved:
    """What the finite elements give, by support, by span, and the greatest sag."""

    reactions: list[float]
    over_supports: list[float]
    in_spans: list[float]
    deflection: float


def by_finite_elements(spans: tuple[float, ...], loads: tuple[float, ...]) -> Solved:
    """Solve a beam on unyielding supports, E·I = 1, load downward positive."""
    supports = np.concatenate(([0.0], np.cumsum(spans)))
    ends = list(pairwise(supports))
    nodes = np.concatenate([*(np.linspace(a, b, PER_SPAN, endpoint=False) for a, b in ends), supports[-1:]])
    basis = Basis(MeshLine(nodes), ElementLineHermite(), intorder=6)
    weights = np.array(loads)

    def load_at(x: NDArray[np.float64]) -> NDArray[np.float64]:
        return weights[np.clip(np.searchsorted(supports, x, side="right") - 1, 0, len(spans) - 1)]

    stiffness = BilinearForm(lambda u, v, _: ddot(dd(u), dd(v))).assemble(basis)
    pressed = LinearForm(lambda v, at: load_at(at.x[0]) * v).assemble(basis)
    held = basis.nodal_dofs[0, ::PER_SPAN]
    moved = solve(*condense(stiffness, pressed, D=held))
    forces = (pressed - stiffness @ moved)[held]

    def moment(x: NDArray[np.float64]) -> NDArray[np.float64]:
        own = sum(
            load * (np.maximum(x - a, 0.0) ** 2 - np.maximum(x - b, 0.0) ** 2) / 2
            for (a, b), load in zip(ends, loads, strict=True)
        )
        lifted = sum(force * np.maximum(x - at, 0.0) for force, at in zip(forces, supports, strict=True))
        return np.asarray(lifted - own)

    return Solved(
        reactions=forces.tolist(),
        over_supports=moment(supports).tolist(),
        in_spans=[max(0.0, float(moment(np.linspace(a, b, 2001)).max())) for a, b in ends],
        deflection=max(0.0, float(np.asarray(basis.interpolate(moved)).max())),
    )


def agrees(spans: tuple[float, ...], loads: tuple[float, ...]) -> Solved:
    """Hold everything the engine's solver gives against the finite elements."""
    found = by_finite_elements(spans, loads)
    whole = max(load * span for load, span in zip(loads, spans, strict=True))
    longest = max(spans)
    near = {"rel": 1e-5, "abs": 1e-6 * whole}
    assert list(reactions(spans, loads)) == pytest.approx(found.reactions, **near)
    at_supports = {"rel": 1e-5, "abs": 1e-5 * whole * longest}
    assert list(support_moments(spans, loads)) == pytest.approx(found.over_supports, **at_supports)
    assert list(span_moments(spans, loads)) == pytest.approx(found.in_spans, **at_supports)
    sag = greatest_deflection(spans, loads, 1.0)
    assert sag == pytest.approx(found.deflection, rel=2e-3, abs=1e-6 * whole * longest**3)
    return found


# Coefficients as printed: −M, +M, R, deflection; loaded everywhere, then the worst of all patterns.
PRINTED = {
    1: ((0.0, 0.1250, 0.5, 0.01302), (0.0, 0.1250, 0.5, 0.01302)),
    2: ((0.1250, 0.0703, 1.25, 0.00542), (0.1250, 0.0957, 1.250, 0.00915)),
    3: ((0.1000, 0.0800, 1.1, 0.00688), (0.1167, 0.1013, 1.200, 0.00992)),
    4: ((0.1071, 0.0772, 8 / 7, 0.00646), (0.1205, 0.0996, 1.223, 0.00970)),
    5: ((0.1053, 0.0779, 43 / 38, 0.00657), (0.1196, 0.1001, 1.218, 0.00976)),
}


@pytest.mark.parametrize("count", PRINTED, ids=lambda count: f"{count} equal spans")
def test_finite_elements_give_the_printed_coefficients_and_so_does_the_engine(count: int) -> None:
    spans = (1.0,) * count
    every = [agrees(spans, load) for load in product((0.0, 1.0), repeat=count) if any(load)]

    def worst(solved: list[Solved]) -> tuple[float, ...]:
        return (
            max(-min(one.over_supports) for one in solved),
            max(max(one.in_spans) for one in solved),
            max(max(one.reactions) for one in solved),
            max(one.deflection for one in solved),
        )

    for found, printed in zip((worst([every[-1]]), worst(every)), PRINTED[count], strict=True):
        assert found[:3] == pytest.approx(printed[:3], abs=6e-4)
        assert found[3] == pytest.approx(printed[3], abs=1.2e-5)
    # What is screened with lies above the worst of all patterns.
    hogging, sagging, reaction, deflection = worst(every)
    assert max(hogging, sagging) <= 1 / 8 + 1e-6
    assert reaction <= LEAST_SHARE + 1e-6
    assert deflection <= 5 / 384 + 1e-6


lengths = st.floats(0.3, 2.0)
uneven = st.lists(st.tuples(lengths, st.floats(0.0, 3.0)), min_size=2, max_size=6)


@settings(max_examples=30, deadline=None)
@given(uneven)
def test_uneven_spans_under_any_loads_agree(drawn: list[tuple[float, float]]) -> None:
    spans, loads = (tuple(values) for values in zip(*drawn, strict=True))
    if max(loads) > 1e-3:
        agrees(spans, loads)


@settings(max_examples=15, deadline=None)
@given(st.lists(lengths, min_size=2, max_size=5), st.floats(0.1, 0.9))
def test_the_few_patterns_tried_find_the_worst_that_finite_elements_find_over_all(
    spans: list[float], dead: float
) -> None:
    def extremes(patterns: list[tuple[bool, ...]]) -> tuple[float, float, float]:
        solved = [
            by_finite_elements(tuple(spans), tuple(dead + (1 - dead) * is_loaded for is_loaded in pattern))
            for pattern in patterns
        ]
        return (
            max(max(one.reactions) for one in solved),
            min(min(one.reactions) for one in solved),
            max(max(one.in_spans) for one in solved),
        )

    tried = np.array(worst_patterns(len(spans)), dtype=np.float64)
    found = pattern_extremes(spans, dead + (1 - dead) * tried)
    every = extremes(list(product((False, True), repeat=len(spans))))
    assert found == pytest.approx(every, rel=1e-4, abs=1e-5)
