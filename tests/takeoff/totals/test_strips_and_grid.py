"""Rips that share a length, and the grid that pieces are measured on."""

import pytest

from app.takeoff.totals.grid import cut_grid
from app.takeoff.totals.strips import CutPiece, nest_rips


def rip(name: str, length_mm: float, width_mm: float) -> CutPiece:
    return CutPiece(name, "D1", length_mm, width_mm, is_ripped=True)


def full(name: str, length_mm: float) -> CutPiece:
    return CutPiece(name, "D1", length_mm, 140.0, is_ripped=False)


def test_two_narrow_rips_share_one_length() -> None:
    strips = nest_rips((rip("a", 3000, 60), rip("b", 2900, 70)), 140, 3)
    assert [(s.lead.id, [p.id for p in s.beside]) for s in strips] == [("a", ["b"])]


def test_the_kerf_of_the_rip_counts() -> None:
    assert len(nest_rips((rip("a", 3000, 68.5), rip("b", 3000, 68.5)), 140, 3)) == 1
    assert len(nest_rips((rip("a", 3000, 68.6), rip("b", 3000, 68.5)), 140, 3)) == 2


def test_a_wide_rip_takes_a_narrow_one_beside_it() -> None:
    assert len(nest_rips((rip("a", 3000, 100), rip("b", 2000, 37)), 140, 3)) == 1


def test_short_rips_lie_end_to_end_beside_a_long_one_with_a_cut_between() -> None:
    pieces = (rip("a", 3000, 60), rip("b", 1500, 60), rip("c", 1497, 60))
    assert len(nest_rips(pieces, 140, 3)) == 1
    assert len(nest_rips((*pieces[:2], rip("c", 1498, 60)), 140, 3)) == 2


def test_never_more_than_two_strips_of_width_share_a_board() -> None:
    strips = nest_rips(tuple(rip(name, 3000, 30) for name in "abcd"), 140, 3)
    assert [len(strip.beside) for strip in strips] == [1, 1]


def test_whole_boards_are_never_ripped() -> None:
    strips = nest_rips((full("a", 3000), rip("b", 1000, 20)), 140, 3)
    assert all(not strip.beside for strip in strips)


@pytest.mark.parametrize(
    ("stock_mm", "kerf_mm", "trim_mm"),
    [
        ((3657.6, 4876.8), 3.0, 0.0),
        ((3657.6, 4876.8, 6096.0), 3.175, 0.0),
        ((2400.0, 3600.0), 3.0, 10.0),
        ((2438.4, 3000.0), 2.5, 5.0),
        ((3600.0,), 0.0, 0.0),
        ((2400.0, 3657.6, 4800.0), 3.175, 10.0),
        ((2401.3,), 3.1, 0.0),
    ],
)
def test_a_piece_as_long_as_its_stock_still_fits(
    stock_mm: tuple[float, ...], kerf_mm: float, trim_mm: float
) -> None:
    grid = cut_grid(stock_mm, kerf_mm, trim_mm)
    assert grid.step_mm <= 1.0
    assert kerf_mm - 1e-9 <= grid.kerf_mm <= kerf_mm + 0.3
    assert max(grid.capacities) <= 40_000
    for length_mm, capacity in zip(stock_mm, grid.capacities, strict=True):
        assert grid.steps(length_mm - trim_mm) <= capacity
        assert grid.steps(length_mm - trim_mm + 0.01) > capacity


def test_pieces_are_rounded_up_never_down() -> None:
    grid = cut_grid((3657.6, 4876.8), 3.0, 0.0)
    for length_mm in (100.0, 333.3, 1234.567, 3657.6):
        assert grid.steps(length_mm) * grid.step_mm >= length_mm + 3.0 - 1e-5


def test_odd_lengths_fall_back_to_whole_millimetres_with_stock_rounded_down() -> None:
    grid = cut_grid((2400.0037, 3657.6, 4876.8113), 3.0, 0.0)
    assert grid.step_mm == 1.0
    assert all(abs(c - r) <= 1 for c, r in zip(grid.capacities, (2403, 3660, 4879), strict=True))
