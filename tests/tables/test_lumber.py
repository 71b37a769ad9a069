import pytest

from app.job.choices import Section
from app.tables.joists import is_in_joist_table, joist_spans
from app.tables.lumber import design_values, dressed_sizes, factors, size_factor
from app.tables.materials import densities, foams
from app.tables.reference import source_from


def test_every_species_of_the_job_file_but_other_has_values() -> None:
    for species in Section.model_fields["species"].annotation.__args__:
        assert (design_values(species, 140.0) is None) is (species == "other")


def test_every_record_carries_source_edition_table_and_status() -> None:
    values = design_values("hem-fir", 140.0)
    assert values is not None
    sources = [values.source, *factors().sources, joist_spans()[0].source, dressed_sizes()[0].source]
    sources += [row.source for row in densities()] + [row.source for row in foams()]
    for source in sources:
        assert source.name
        assert source.edition
        assert source.table
        assert source.status in ("read", "secondary", "computed", "memory")


def test_wider_sections_never_have_a_greater_size_factor() -> None:
    found = [size_factor(float(width)) for width in range(60, 287)]
    numbers = [factor for factor in found if factor is not None]
    assert len(numbers) == len(found)
    assert numbers == sorted(numbers, reverse=True)
    assert size_factor(300.0) is None


def test_a_status_nobody_knows_is_refused() -> None:
    with pytest.raises(ValueError, match="read, secondary, computed or memory"):
        source_from({"name": "x", "edition": "x", "table": "x", "status": "heard"})


def test_only_a_2x6_or_deeper_on_edge_is_in_the_joist_table() -> None:
    assert is_in_joist_table(38.1, 139.7)
    assert is_in_joist_table(38, 286)
    assert not is_in_joist_table(38, 89)
    assert not is_in_joist_table(140, 38)
    assert not is_in_joist_table(30, 140)
