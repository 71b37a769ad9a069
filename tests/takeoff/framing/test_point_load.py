import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from app.takeoff.framing.spans import (
    bending_span_mm,
    point_bending_span_mm,
    point_deflection_span_mm,
)
from tests.builders import a_job, a_survey, choices
from tests.takeoff.framing.framed import Framed, framed


def under(point_kn: float | None, source: str = "asked (invented)") -> Framed:
    base = choices()
    limits = base.limits.model_copy(update={"point_load_kn": point_kn, "point_load_source": source})
    materials = base.model_copy(update={"limits": limits})
    return framed(a_job(survey=a_survey(drains=()), materials=materials))


def concentrated(deck: Framed):
    return [found for found in deck.framing.findings if found.code == "framing.concentrated-load"]


def test_no_concentrated_load_is_taken_when_none_is_named_and_that_is_said() -> None:
    deck = under(None)
    assert not concentrated(deck)
    (said,) = [one for one in deck.framing.assumptions if one.code == "framing.deck-loads"]
    assert "No concentrated load is looked at" in said.text


def test_a_concentrated_load_is_always_a_check_with_its_source() -> None:
    for point_kn in (0.05, 1.33):
        (found,) = concentrated(under(point_kn, "ASCE 7, 300 lb, from memory"))
        assert found.grade == "check"
        assert found.source == "ASCE 7, 300 lb, from memory"
        assert f"{point_kn:.2f} kN" in found.text


def test_a_load_without_a_source_says_so() -> None:
    (found,) = concentrated(under(1.0, ""))
    assert "Nobody has said" in found.source


def test_a_load_too_great_for_the_pad_alone_is_said_to_be_so_at_any_spacing() -> None:
    (found,) = concentrated(under(50.0))
    assert found.limit == 0
    assert "at any spacing" in found.text


def test_bending_by_hand_of_a_load_in_the_middle() -> None:
    # 2x6: S = 7.5625 in³, Fb' 1150 psi, 300 lbf: L = 4·Fb'·S/P = 115.96 in.
    span_mm = point_bending_span_mm(1150 * 6.894757e-3, 7.5625 * 25.4**3, 0.0, 300 * 4.448222e-3)
    assert span_mm / 25.4 == pytest.approx(115.96, abs=0.01)


def test_deflection_by_hand_of_a_load_in_the_middle() -> None:
    # PL³/48EI at the span found is the span over its ratio.
    span_mm = point_deflection_span_mm(8700.0, 8.66e6, 1.33, 360)
    assert 1330 * span_mm**3 / (48 * 8700 * 8.66e6) == pytest.approx(span_mm / 360)


@given(load=st.floats(0.01, 10), point=st.floats(0, 20), more=st.floats(0.01, 5))
@settings(max_examples=40, deadline=None)
def test_more_load_in_the_middle_never_lengthens_a_span(load, point, more) -> None:
    spans = [point_bending_span_mm(8.0, 1e5, load, one) for one in (point, point + more)]
    assert spans[1] < spans[0] <= bending_span_mm(8.0, 1e5, load) * (1 + 1e-9)
    longest = spans[1]
    moment = load * longest**2 / 8 + (point + more) * 1000 * longest / 4
    assert math.isclose(moment, 8.0 * 1e5, rel_tol=1e-6)


@given(low=st.floats(0.01, 3), more=st.floats(0.01, 3))
@settings(max_examples=10, deadline=None)
def test_a_greater_concentrated_load_never_accepts_a_longer_span(low, more) -> None:
    (light,), (heavy,) = concentrated(under(low)), concentrated(under(low + more))
    assert heavy.limit <= light.limit
