import pytest

from app.job.choices import Cable
from app.tables.conductors import conductor, conductors, resistance_ohm_km


def test_every_size_a_cable_may_have_is_in_the_table() -> None:
    sizes = Cable.model_fields["size"].annotation.__args__
    assert set(sizes) <= {row.size for row in conductors()}


def test_an_unknown_size_names_those_that_are_known() -> None:
    with pytest.raises(KeyError, match=r"3 AWG.*12 AWG.*6 mm2"):
        conductor("3 AWG")


def test_every_row_says_where_it_comes_from() -> None:
    for row in conductors():
        assert row.source.name
        assert row.source.edition
        assert row.source.table
        assert row.source.status in ("read", "secondary", "computed", "memory")


def test_a_hotter_conductor_resists_more_and_a_thicker_one_less() -> None:
    for row in conductors():
        assert resistance_ohm_km(row.size, 60.0) > resistance_ohm_km(row.size, 20.0)
    by_area = sorted(conductors(), key=lambda row: row.area_mm2)
    resistances = [resistance_ohm_km(row.size, 20.0) for row in by_area]
    assert resistances == sorted(resistances, reverse=True)
