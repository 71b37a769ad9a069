import pytest

from app.tables.gas import capacity_w, gas_pipe_rows, gas_pipe_sizes, longest_length_mm


@pytest.mark.parametrize("gas", ["natural gas", "propane"])
def test_a_longer_pipe_never_carries_more_and_a_wider_one_always_does(gas: str) -> None:
    lengths = sorted({row.length_mm for row in gas_pipe_rows(gas)})
    for size in gas_pipe_sizes():
        carried = [capacity_w(size, length, gas) for length in lengths]
        assert carried == sorted(carried, reverse=True)
    for length in lengths:
        carried = [capacity_w(size, length, gas) for size in gas_pipe_sizes()]
        assert carried == sorted(carried)


def test_a_length_equal_to_a_row_uses_that_row() -> None:
    assert capacity_w("1/2 in", 50 * 304.8, "propane") == capacity_w(
        "1/2 in", longest_length_mm("propane"), "propane"
    )


def test_an_unknown_size_or_gas_names_those_that_are_known() -> None:
    with pytest.raises(KeyError, match="1/2 in, 3/4 in, 1 in"):
        capacity_w("2 in", 1000.0, "propane")
    with pytest.raises(KeyError, match="natural gas, propane"):
        capacity_w("1 in", 1000.0, "town gas")
