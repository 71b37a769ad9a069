"""AWC DCA 6 Table 2 (same basis as IRC R507): deck joists, 40 + 10 psf, No. 2, wet service, L/360.

Seen as a city's record copy. Every cell must come out of the design values, the factors and the span formulas
to the nearest inch; the two cells of 18 ft are the table's cap. This proves the wet-service switch (on Fb·CF)
and that southern pine takes no size factor, since either mistake changes cells.
"""

import pytest

from app.job.choices import Section, StockLength
from app.tables.joists import JoistSpan, joist_spans
from app.tables.lumber import dressed_sizes
from app.takeoff.framing.spans import bending_span_mm, deflection_span_mm, shear_span_mm
from app.takeoff.framing.strength import Member, member_of

KPA_PER_PSF = 0.04788026
GROUPS = {
    "southern pine": ("southern pine",),
    "other": ("douglas fir-larch", "hem-fir", "spruce-pine-fir"),
}
DRESSED = {size.nominal: size for size in dressed_sizes()}


def a_joist(species: str, nominal: str, *, is_flat: bool = False, is_repetitive: bool = True) -> Member:
    size = DRESSED[nominal]
    sides = (size.width_mm, size.thickness_mm) if is_flat else (size.thickness_mm, size.width_mm)
    section = Section(
        id="joist",
        name=nominal,
        species=species,
        width_mm=sides[0],
        depth_mm=sides[1],
        mass_kg_m=3.0,
        is_wet_service=True,
        is_incised=species != "southern pine",
        stock=(StockLength(item="J", length_mm=4800),),
    )
    member = member_of(section, is_repetitive=is_repetitive)
    assert member is not None
    return member


def spans_in(member: Member, spacing_mm: float, live_psf: float, dead_psf: float = 10.0) -> dict[str, float]:
    total_kn_m = (live_psf + dead_psf) * KPA_PER_PSF * spacing_mm / 1000
    live_kn_m = live_psf * KPA_PER_PSF * spacing_mm / 1000
    return {
        "bend": bending_span_mm(member.bending_mpa, member.modulus_mm3, total_kn_m) / 25.4,
        "defl": deflection_span_mm(member.elastic_mpa, member.inertia_mm4, live_kn_m, 360.0) / 25.4,
        "shear": shear_span_mm(member.shear_mpa, member.width_mm * member.depth_mm, total_kn_m) / 25.4,
    }


@pytest.mark.parametrize(
    "cell",
    joist_spans(),
    ids=lambda cell: f"DCA 6 Table 2 {cell.group} {cell.size} at {cell.spacing_mm / 25.4:.0f} in",
)
def test_every_published_span_comes_out_to_the_nearest_inch(cell: JoistSpan) -> None:
    raw = min(
        min(spans_in(a_joist(species, cell.size), cell.spacing_mm, 40.0).values())
        for species in GROUPS[cell.group]
    )
    published_in = cell.span_mm / 25.4
    if cell.is_capped:
        assert raw > published_in
        assert published_in == pytest.approx(216.0)
    else:
        assert round(raw) == round(published_in)


def test_there_are_24_cells_of_which_two_are_capped() -> None:
    assert len(joist_spans()) == 24
    assert sum(cell.is_capped for cell in joist_spans()) == 2


@pytest.mark.parametrize(
    ("group", "size", "spacing_in", "species", "criterion"),
    [
        ("other", "2x6", 12, "hem-fir", "defl"),
        ("other", "2x6", 16, "douglas fir-larch", "bend"),
        ("other", "2x6", 24, "douglas fir-larch", "bend"),
        ("other", "2x8", 12, "hem-fir", "defl"),
        ("other", "2x8", 16, "hem-fir", "bend"),
        ("other", "2x12", 24, "hem-fir", "bend"),
    ],
    ids=str,
)
def test_the_row_of_a_group_is_its_worst_species(
    group: str, size: str, spacing_in: int, species: str, criterion: str
) -> None:
    found = {
        (one, name): span
        for one in GROUPS[group]
        for name, span in spans_in(a_joist(one, size), spacing_in * 25.4, 40.0).items()
    }
    assert min(found, key=lambda key: found[key]) == (species, criterion)


def test_the_worked_example_of_a_southern_pine_2x6_at_16_in() -> None:
    member = a_joist("southern pine", "2x6")
    assert member.modulus_mm3 / 25.4**3 == pytest.approx(7.5625)
    assert member.inertia_mm4 / 25.4**4 == pytest.approx(20.797, abs=5e-4)
    assert member.bending_mpa / 0.006894757 == pytest.approx(1150.0, rel=1e-6)
    assert member.elastic_mpa / 0.006894757 == pytest.approx(1.26e6, rel=1e-6)
    found = spans_in(member, 16 * 25.4, 40.0)
    assert found["bend"] == pytest.approx(111.9, abs=0.05)
    assert found["defl"] == pytest.approx(107.9, abs=0.05)


# Rows for 2x4 sleepers: outside the published table, worked by hand with the same method (inches).
@pytest.mark.parametrize(
    ("species", "spacing_in", "live_psf", "span_in", "criterion"),
    [
        ("southern pine", 12, 40, 75.6, "defl"),
        ("southern pine", 12, 60, 66.0, "defl"),
        ("southern pine", 12, 100, 55.7, "defl"),
        ("southern pine", 16, 40, 68.7, "defl"),
        ("southern pine", 16, 60, 60.0, "defl"),
        ("southern pine", 16, 100, 50.4, "bend"),
        ("hem-fir", 16, 40, 65.9, "defl"),
        ("hem-fir", 16, 60, 56.0, "bend"),
        ("hem-fir", 16, 100, 44.7, "bend"),
        ("spruce-pine-fir", 16, 40, 67.3, "bend"),
        ("spruce-pine-fir", 16, 60, 56.9, "bend"),
        ("spruce-pine-fir", 16, 100, 45.4, "bend"),
    ],
    ids=str,
)
def test_2x4_sleepers_on_edge_follow_the_same_method(
    species: str, spacing_in: int, live_psf: int, span_in: float, criterion: str
) -> None:
    found = spans_in(a_joist(species, "2x4"), spacing_in * 25.4, live_psf)
    simple = {name: found[name] for name in ("bend", "defl")}
    assert min(simple.values()) == pytest.approx(span_in, abs=0.06)
    assert min(simple, key=lambda name: simple[name]) == criterion


def test_a_2x4_laid_flat_takes_the_flat_use_factor() -> None:
    member = a_joist("southern pine", "2x4", is_flat=True)
    assert member.bending_mpa / 0.006894757 == pytest.approx(1391.5, rel=1e-6)
    found = spans_in(member, 16 * 25.4, 40.0)
    assert found["defl"] == pytest.approx(39.0, abs=0.06)
    assert found["bend"] == pytest.approx(51.3, abs=0.06)
