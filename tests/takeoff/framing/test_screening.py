import re

import pytest

from app.job.choices import Limits
from app.job.plan import Furniture
from app.job.spoken import Spoken
from app.job.survey import AllowableLoad, LiveLoad, Membrane, Snow
from tests import demo
from tests.builders import a_deck_field, a_job, a_pad, a_plan, a_planter, a_section, a_survey, choices
from tests.takeoff.framing.framed import Framed, framed

JOIST = a_section(name="Southern pine 38 × 140, on edge", width_mm=38, depth_mm=140)


def a_screened(section=None, pad=None, plan=None, limits=None, **survey) -> Framed:
    base = choices()
    changes = {}
    if section is not None:
        changes["sections"] = (section, *base.sections[1:])
    if pad is not None:
        changes["pads"] = (pad,)
    if limits is not None:
        changes["limits"] = limits
    return framed(
        a_job(
            survey=a_survey(**({"drains": ()} | survey)), plan=plan or a_plan(), materials=choices(**changes)
        )
    )


def live(kpa: float) -> LiveLoad:
    return LiveLoad(live_kpa=kpa, source="asked (invented)")


def test_the_screening_of_a_flat_2x4_by_hand() -> None:
    deck = a_screened(live_load=live(4.79))
    (check,) = deck.framing.span_checks
    # Dead: boards 1.26 kg/m over 0.14 m, sleeper 2.2 kg/m; 0.4 m tributary.
    total = (1.26 / 0.14 * 9.80665e-3 + 4.79) * 0.4 + 2.2 * 9.80665e-3
    contact_mm2 = 89 * 200
    assert check.governs == "pad"
    assert check.allowed_mm == pytest.approx(92e-3 * contact_mm2 / (1.25 * total), rel=1e-9)
    assert check.bending_mpa == pytest.approx(total * check.span_mm**2 / 8 / (89 * 38**2 / 6))
    inertia = 89 * 38**3 / 12
    elastic = 1.4e6 * 0.006894757293168 * 0.9
    assert check.deflection_mm == pytest.approx(5 * 4.79 * 0.4 * check.span_mm**4 / (384 * elastic * inertia))
    assert check.deflection_limit_mm == pytest.approx(check.span_mm / 360)
    assert check.pad_kpa == pytest.approx(1.25 * total * check.span_mm / contact_mm2 * 1000)
    assert check.pad_limit_kpa == pytest.approx(92.0)


def test_without_a_live_load_nothing_is_guessed() -> None:
    deck = a_screened(live_load=None)
    assert deck.framing.span_checks == ()
    assert "framing.span-not-checked" in deck.codes("check")


def test_timber_of_no_published_strength_is_not_screened() -> None:
    deck = a_screened(a_section(species="other"))
    assert deck.framing.span_checks == ()
    found = next(one for one in deck.framing.findings if one.code == "framing.span-not-checked")
    assert "other" in found.text


def test_a_2x4_or_a_flat_sleeper_is_always_at_least_a_check() -> None:
    assert "framing.outside-joist-table" in a_screened().codes("check")
    on_edge = a_section(width_mm=38, depth_mm=89)
    assert "framing.outside-joist-table" in a_screened(on_edge).codes("check")
    assert "framing.outside-joist-table" not in a_screened(JOIST).codes()


def test_loose_2x4_sleepers_are_not_counted_as_sharing_their_load() -> None:
    factors = {
        name: next(given.text for given in deck.framing.assumptions if given.code == "framing.design-values")
        for name, deck in {"flat": a_screened(), "joist": a_screened(JOIST)}.items()
    }
    assert "Cr 1," not in factors["joist"]
    assert "Cr 1.15" in factors["joist"]
    assert "Cr 1 (loose sleepers" in factors["flat"]


def test_a_sleeper_on_edge_presses_a_narrow_strip_and_so_needs_pads_closer() -> None:
    flat, edge = a_screened(), a_screened(a_section(width_mm=38, depth_mm=89))
    assert edge.framing.span_checks[0].allowed_mm == pytest.approx(
        flat.framing.span_checks[0].allowed_mm * 38 / 89, rel=1e-3
    )
    assert "framing.span-too-long" in edge.codes("check")
    found = next(one for one in edge.framing.findings if one.code == "framing.span-too-long")
    assert "pad" in found.text.lower()


def test_a_stiffer_limit_shortens_the_span_when_deflection_governs() -> None:
    strong = a_pad(limit_kpa=5000)
    usual = a_screened(pad=strong, limits=Limits(deflection_ratio=360))
    strict = a_screened(pad=strong, limits=Limits(deflection_ratio=720))
    assert usual.framing.span_checks[0].governs == strict.framing.span_checks[0].governs == "deflection"
    ratio = strict.framing.span_checks[0].allowed_mm / usual.framing.span_checks[0].allowed_mm
    assert ratio == pytest.approx(0.5 ** (1 / 3))


def test_insulation_without_a_limit_is_a_check_and_with_a_low_one_governs() -> None:
    assert "framing.no-insulation-limit" in a_screened().codes("check")
    soft = Membrane(
        kind="bitumen", insulation="board", insulation_limit_kpa=20, insulation_source="its maker"
    )
    deck = a_screened(membrane=soft)
    assert "framing.no-insulation-limit" not in deck.codes()
    assert deck.framing.span_checks[0].governs == "insulation"


def test_a_pad_that_presses_harder_than_the_engineer_allows_is_a_stop() -> None:
    from datetime import date

    weak = AllowableLoad(
        dead_kpa=4, live_kpa=4.8, point_kn=0.5, given_by="L. Sund, engineer", given_on=date(2026, 2, 20)
    )
    assert "framing.pad-over-point-load" in a_screened(allowable_load=weak).codes("stop")
    assert "framing.pad-over-point-load" not in a_screened().codes()


def test_a_planter_on_the_deck_adds_its_saturated_weight() -> None:
    bare = a_screened(live_load=live(1.0))
    tall = a_planter(height_mm=1000, media_depth_mm=900)
    loaded = a_screened(plan=a_plan(planters=(tall,)), live_load=live(1.0))
    assert loaded.framing.span_checks[0].allowed_mm < bare.framing.span_checks[0].allowed_mm
    given = next(one.text for one in loaded.framing.assumptions if one.code == "framing.deck-loads")
    assert "planter" in given


def test_no_finding_ever_says_that_anything_is_safe() -> None:
    deck = a_screened(live_load=live(0.5))
    words = " ".join(found.text.lower() for found in deck.framing.findings)
    assert not any(word in words for word in (" safe", "complian", "certif", "approved"))
    assert "licensed engineer" in words


def test_a_field_of_another_angle_is_screened_the_same() -> None:
    plan = a_plan(deck_fields=(a_deck_field(angle_deg=90),))
    assert a_screened(plan=plan).framing.span_checks[0].allowed_mm == pytest.approx(
        a_screened().framing.span_checks[0].allowed_mm
    )


def test_snow_on_record_is_not_left_out_in_silence() -> None:
    snow = Snow(ground_snow_kpa=1.4, edition="ASCE 7-16", source="asked (invented)")
    assert "framing.snow-not-screened" in a_screened(snow=snow).codes("check")
    assert "framing.snow-not-screened" not in a_screened().codes()


def test_a_spa_on_the_deck_counts_the_water_in_it() -> None:
    spa = Furniture(
        id="spa",
        x_mm=3000,
        y_mm=2000,
        length_mm=1800,
        width_mm=1800,
        height_mm=800,
        mass_kg=200,
        water_m3=1.0,
    )
    deck = a_screened(plan=a_plan(furniture=(spa,)), live_load=live(1.0))
    given = next(one.text for one in deck.framing.assumptions if one.code == "framing.deck-loads")
    boards = 1.26 / 0.14 * 9.80665e-3
    assert f"spa {boards + 1200 * 9.80665e-3 / 3.24:.2f} kPa dead" in given


def test_foam_under_load_that_comes_and_goes_is_held_against_a_fifth() -> None:
    usual = a_screened(live_load=live(4.79))
    found = next(one for one in usual.framing.findings if one.code == "framing.pad-repeated-load")
    (check,) = usual.framing.span_checks
    assert found.limit == pytest.approx(276 / 5)
    assert found.value == pytest.approx(1.25 * 4.79 * 0.4 * check.span_mm / (89 * 200) * 1000)
    assert "framing.pad-repeated-load" not in a_screened(live_load=live(1.9)).codes()


def test_stress_deflection_and_force_are_said_in_the_jobs_own_units() -> None:
    said = Spoken("imperial")
    assert (said.stress(6.894757), said.sag(0.762), said.force(1.0)) == ("1000 psi", "0.030 in", "225 lbf")
    said = Spoken("metric")
    assert (said.stress(6.894757), said.sag(0.762), said.force(1.0)) == ("6.89 MPa", "0.76 mm", "1.00 kN")
    metric = re.compile(r"\d (MPa|kPa|kN|mm)\b")
    takeoff = demo.answer("quay-loft").takeoff
    said_there = [finding.text for finding in takeoff.framing.findings]
    said_there += [given.text for given in takeoff.framing.assumptions]
    assert [text for text in said_there if metric.search(text)] == []
