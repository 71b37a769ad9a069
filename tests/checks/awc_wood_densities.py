"""Densities: AWC Wood Structural Design Data (1992 revisions), and general lists."""

import pytest

from app.tables.materials import densities, wood_density_kg_m3

PCF = 16.01846337396014
KG_M3 = {row.material: row.density_kg_m3 for row in densities()}


@pytest.mark.parametrize(
    ("species", "pcf"),
    [("southern pine", 36.7), ("hem-fir", 29.2), ("spruce-pine-fir", 28.5), ("douglas fir-larch", 33.6)],
    ids=lambda value: f"15 % moisture {value}",
)
def test_the_moisture_formula_gives_the_four_published_weights(species: str, pcf: float) -> None:
    row = next(row for row in densities() if row.material == species)
    assert row.specific_gravity is not None
    assert row.density_kg_m3 / PCF == pytest.approx(pcf)
    assert wood_density_kg_m3(row.specific_gravity, 15.0) / PCF == pytest.approx(pcf, abs=0.06)


def test_wetter_wood_is_heavier() -> None:
    assert wood_density_kg_m3(0.55, 28.0) / PCF == pytest.approx(38.6, abs=0.05)


def psf(material: str, thickness_in: float) -> float:
    return KG_M3[material] / PCF * thickness_in / 12


def test_weights_over_an_area_come_from_the_thickness() -> None:
    assert psf("water", 1.0) == pytest.approx(5.2)
    assert psf("porcelain", 20 / 25.4) == pytest.approx(9.85, abs=0.01)
    assert psf("gravel, dry", 2.0) == pytest.approx(17.5)
    assert psf("gravel, wet", 2.0) == pytest.approx(20.8, abs=0.05)


def test_every_density_says_where_it_comes_from() -> None:
    assert all(row.source.table and row.source.status for row in densities())
