"""NDS 2018 and its Supplement: design values, adjustment factors, dressed sizes (secondary pages)."""

import pytest

from app.tables.lumber import (
    design_values,
    dressed_sizes,
    factors,
    flat_factor,
    nominal_width_in,
    size_factor,
)
from app.takeoff.framing.span_check import cases_of
from app.takeoff.framing.standing_loads import DeckLoad
from app.takeoff.framing.strength import member_of
from tests.builders import a_section

PSI = 0.006894757293168

VALUES = {  # Fb, Fv, Fc⊥, E in psi
    ("hem-fir", 3.5): (850, 150, 405, 1.3e6),
    ("spruce-pine-fir", 5.5): (875, 135, 425, 1.4e6),
    ("douglas fir-larch", 7.25): (900, 180, 625, 1.6e6),
    ("southern pine", 3.5): (1100, 175, 565, 1.4e6),
    ("southern pine", 5.5): (1000, 175, 565, 1.4e6),
    ("southern pine", 7.25): (925, 175, 565, 1.4e6),
    ("southern pine", 9.25): (800, 175, 565, 1.4e6),
    ("southern pine", 11.25): (750, 175, 565, 1.4e6),
}


@pytest.mark.parametrize("key", VALUES, ids=lambda key: f"Table 4A/4B {key[0]} {key[1]} in")
def test_reference_design_values(key: tuple[str, float]) -> None:
    found = design_values(key[0], key[1] * 25.4)
    assert found is not None
    printed = (found.bending_mpa, found.shear_mpa, found.bearing_mpa, found.modulus_mpa)
    assert [value / PSI for value in printed] == pytest.approx(VALUES[key])
    assert found.source.status in ("read", "secondary")


@pytest.mark.parametrize(
    ("width_in", "bending_mpa"), [(5.5, 6.9), (7.25, 6.4), (9.25, 5.5), (11.25, 5.2), (3.5, 7.6)], ids=str
)
def test_southern_pine_agrees_with_the_metric_print(width_in: float, bending_mpa: float) -> None:
    found = design_values("southern pine", width_in * 25.4)
    assert found is not None
    assert found.bending_mpa == pytest.approx(bending_mpa, abs=0.05)


def test_southern_pine_2x4_is_neither_of_the_stale_values() -> None:
    found = design_values("southern pine", 89.0)
    assert found is not None
    assert found.bending_mpa / PSI == pytest.approx(1100)  # 1500 before June 2012, 1050 until June 2013


def test_size_and_flat_factors_as_printed() -> None:
    assert [size_factor(inches * 25.4) for inches in (3.5, 4.5, 5.5, 7.25, 9.25, 11.25)] == [
        1.5,
        1.4,
        1.3,
        1.2,
        1.1,
        1.0,
    ]
    assert [flat_factor(inches * 25.4) for inches in (3.5, 5.5, 7.25, 9.25)] == [1.1, 1.15, 1.15, 1.2]


def test_other_factors_as_printed() -> None:
    found = factors()
    wet = (found.wet_bending, found.wet_shear, found.wet_bearing, found.wet_modulus)
    assert wet == (0.85, 0.97, 0.67, 0.9)
    incised = (found.incised_bending, found.incised_shear, found.incised_bearing, found.incised_modulus)
    assert incised == (0.8, 0.8, 1.0, 0.95)
    assert found.repetitive == 1.15
    assert dict(found.duration) == {
        "permanent": 0.9,
        "ten years": 1.0,
        "two months": 1.15,
        "seven days": 1.25,
        "ten minutes": 1.6,
        "impact": 2.0,
    }


def member(**changes):
    found = member_of(a_section(**changes), is_repetitive=changes.pop("is_repetitive", False))
    assert found is not None
    return found


def test_wet_service_is_switched_by_fb_times_cf_and_not_by_fb() -> None:
    # Douglas fir-larch: 900 · 1.3 = 1170 > 1150 psi, so CM = 0.85, though 900 alone is below the threshold.
    wet = member(species="douglas fir-larch", width_mm=38.1, depth_mm=139.7)
    assert wet.bending_mpa / PSI == pytest.approx(900 * 1.3 * 0.85)
    # Hem-fir: 850 · 1.3 = 1105 ≤ 1150 psi, so nothing is lost.
    assert member(species="hem-fir", width_mm=38.1, depth_mm=139.7).bending_mpa / PSI == pytest.approx(
        850 * 1.3
    )


def test_southern_pine_takes_no_size_factor() -> None:
    assert dict(member(width_mm=38.1, depth_mm=139.7).factors)["CF"] == 1.0


def test_stiffness_takes_moisture_and_incising_but_neither_duration_nor_repetition() -> None:
    section = a_section(species="hem-fir", width_mm=38.1, depth_mm=139.7, is_incised=True)
    alone, among = member_of(section, is_repetitive=False), member_of(section, is_repetitive=True)
    assert alone is not None
    assert among is not None
    assert alone.elastic_mpa == among.elastic_mpa == pytest.approx(1.3e6 * PSI * 0.9 * 0.95)
    assert among.bending_mpa == pytest.approx(1.15 * alone.bending_mpa)
    assert among.bearing_mpa == pytest.approx(405 * PSI * 0.67)


def test_dead_load_alone_is_permanent_and_has_no_live_part() -> None:
    dead, both = cases_of((DeckLoad("deck", 0.5, 2.0),), 400.0, a_section())
    assert (dead.duration, dead.live_kn_m) == (0.9, 0.0)
    assert (both.duration, both.live_kn_m) == (1.0, pytest.approx(0.8))


@pytest.mark.parametrize("nominal", ["2x4", "2x6", "2x8", "2x10", "2x12", "4x4"])
def test_section_properties_of_dressed_sizes(nominal: str) -> None:
    printed = {  # A in2, S in3, I in4
        "2x4": (5.25, 3.06, 5.36),
        "2x6": (8.25, 7.56, 20.80),
        "2x8": (10.875, 13.14, 47.63),
        "2x10": (13.875, 21.39, 98.93),
        "2x12": (16.875, 31.64, 177.98),
        "4x4": (12.25, 7.15, 12.51),
    }
    size = next(size for size in dressed_sizes() if size.nominal == nominal)
    width, depth = size.thickness_mm / 25.4, size.width_mm / 25.4
    found = (width * depth, width * depth**2 / 6, width * depth**3 / 12)
    assert found == pytest.approx(printed[nominal], abs=6e-3)


def test_sizes_are_those_of_today_and_not_of_before_the_1960s() -> None:
    size = next(size for size in dressed_sizes() if size.nominal == "2x4")
    assert (size.thickness_mm / 25.4, size.width_mm / 25.4) == pytest.approx((1.5, 3.5))


@pytest.mark.parametrize(
    ("width_mm", "nominal"),
    [(88.9, 4), (89.0, 4), (139.7, 6), (140.0, 6), (150.0, 8), (286.0, 12), (290.0, None)],
)
def test_a_width_between_two_classes_takes_the_weaker(width_mm: float, nominal: int | None) -> None:
    assert nominal_width_in(width_mm) == nominal


def test_timber_outside_the_tables_has_no_strength_here() -> None:
    assert member_of(a_section(species="other"), is_repetitive=False) is None
    assert member_of(a_section(width_mm=20, depth_mm=89), is_repetitive=False) is None
    assert member_of(a_section(width_mm=150, depth_mm=150), is_repetitive=False) is None
    assert member_of(a_section(width_mm=38, depth_mm=320), is_repetitive=False) is None
