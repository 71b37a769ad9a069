"""ASTM C578-10 resistance of XPS, the industry's 1/3 and 1/5, and what a sleeper really presses."""

import pytest

from app.job.choices import Pad
from app.tables.materials import foams
from app.takeoff.framing.bearing import contact_mm2, spread_mm2
from app.takeoff.framing.spans import pad_span_mm

PSI_KPA = 6.894757293168
LB_KN = 4.4482216152605e-3
PRINTED = {
    "X": (15, 104, 5.0, 3),
    "IV": (25, 173, 8.33, 5),
    "VI": (40, 276, 13.3, 8),
    "VII": (60, 414, 20, 12),
    "V": (100, 690, 33.3, 20),
}


@pytest.mark.parametrize("foam", foams(), ids=lambda foam: f"C578 Type {foam.type}")
def test_resistance_and_its_fractions_as_printed(foam) -> None:
    psi, kpa, sustained, repeated = PRINTED[foam.type]
    assert foam.limit_kpa / PSI_KPA == pytest.approx(psi)
    assert foam.limit_kpa == pytest.approx(kpa, abs=1)
    assert foam.sustained_kpa / PSI_KPA == pytest.approx(sustained, abs=0.04)
    assert foam.repeated_kpa / PSI_KPA == pytest.approx(repeated)
    assert foam.source.name == "ASTM C578"
    assert "not part of" in foam.fractions_source.name


def a_six_inch_pad(**changes) -> Pad:
    fields = {"id": "pad", "item": "PAD", "name": "6 × 6 in", "length_mm": 152.4, "width_mm": 152.4}
    fields |= {"thickness_mm": 25.4, "mass_kg": 0.02, "limit_kpa": 25 * PSI_KPA, "limit_source": "Type IV"}
    return Pad(**(fields | {"shim_item": "SHIM"} | changes))


# 50 psf, sleepers 16 in apart, pads 4 ft apart: reaction of the inner support, worked by hand.
@pytest.mark.parametrize(
    ("spans", "share", "pounds", "psi_on_pad", "passes_a_third"),
    [(2, 1.25, 333.3, 9.26, False), (3, 1.1, 293.3, 8.15, True), (5, 43 / 38, 301.8, 8.38, False)],
    ids=["2 spans", "3 spans", "5 spans"],
)
def test_the_verdict_on_a_whole_pad_turns_on_the_number_of_spans(
    spans: int, share: float, pounds: float, psi_on_pad: float, passes_a_third: bool
) -> None:
    load_kn_m = 50 * 0.04788026 * 16 * 25.4 / 1000
    reaction_kn = share * load_kn_m * 48 * 25.4 / 1000
    assert reaction_kn / LB_KN == pytest.approx(pounds, abs=0.06)
    assert reaction_kn * 1e6 / 152.4**2 / PSI_KPA == pytest.approx(psi_on_pad, abs=6e-3)
    accepted_mm = pad_span_mm(25 * PSI_KPA / 3, 152.4**2, load_kn_m, share)
    assert (accepted_mm >= 48 * 25.4) is passes_a_third


def test_a_sleeper_on_edge_presses_nine_square_inches_of_a_six_inch_pad() -> None:
    pad = a_six_inch_pad()
    assert contact_mm2(pad, 1.5 * 25.4) / 25.4**2 == pytest.approx(9.0)
    assert contact_mm2(pad, 3.5 * 25.4) / 25.4**2 == pytest.approx(21.0)
    reaction_lb = 293.3
    assert reaction_lb / 9.0 == pytest.approx(32.6, abs=0.05)  # psi, above the 10 % figure of Type IV
    assert reaction_lb / 21.0 == pytest.approx(14.0, abs=0.05)


def test_a_sleeper_wider_than_the_pad_presses_the_pad_and_no_more() -> None:
    assert contact_mm2(a_six_inch_pad(), 400.0) == pytest.approx(152.4**2)


def test_what_lies_below_is_pressed_over_the_strip_spread_by_the_pad_and_never_more_than_the_pad() -> None:
    assert spread_mm2(a_six_inch_pad(), 38.1) == pytest.approx((38.1 + 2 * 25.4) * 152.4)
    assert spread_mm2(a_six_inch_pad(thickness_mm=100), 38.1) == pytest.approx(152.4**2)
