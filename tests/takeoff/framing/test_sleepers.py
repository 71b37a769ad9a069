from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import MultiPolygon, box

from app.takeoff.framing.regions import Region
from app.takeoff.framing.rims import rims_of
from app.takeoff.framing.sleepers import sleepers_of, spread_mm
from app.takeoff.framing.strength import member_of
from tests.builders import a_section


@pytest.mark.parametrize(
    ("length_in", "spacing_in", "bars"),
    [(240, 16, 16), (240, 12, 21), (192, 16, 13), (193, 16, 13)],
    ids=["240 at 16", "240 at 12", "192 at 16", "193 at 16"],
)
def test_the_number_of_bars_is_counted_from_their_width_and_not_from_the_edges(
    length_in: float, spacing_in: float, bars: int
) -> None:
    """floor((L − t)/s) + 1, and one more for a remainder; the shortcut ceil(L/s) + 1 gives 14 for 193 in."""
    half = 1.5 * 25.4 / 2
    between = spread_mm(half, length_in * 25.4 - half, spacing_in * 25.4)
    assert len(between) + 2 == bars


@given(parts=st.integers(1, 40), spacing=st.floats(50, 900))
@settings(max_examples=50, deadline=None)
def test_a_whole_number_of_spacings_gains_no_bar_by_rounding(parts: int, spacing: float) -> None:
    assert len(spread_mm(0.1, 0.1 + sum([spacing] * parts), spacing)) == parts - 1


def a_region(*shapes, inner=None, islands=()) -> Region:
    area = MultiPolygon(list(shapes))
    return Region(area, inner or area, tuple(islands), MultiPolygon(list(islands)), False)


def test_sleepers_of_two_separate_parts_are_spread_in_each() -> None:
    region = a_region(box(0, 0, 2000, 2000), box(3000, 0, 4100, 2000))
    found = sleepers_of(region, rims_of(region.area, 89), 89, 400)
    xs = [bar.start[0] for bar in found]
    assert not [x for x in xs if 1900 < x < 3100]
    left = [44.5, *(x for x in xs if x < 2000), 1955.5]
    steps = [after - before for before, after in pairwise(left)]
    assert max(steps) <= 400
    assert max(steps) - min(steps) < 1e-3


def test_a_sleeper_stops_at_the_trimmers_of_an_island() -> None:
    island = box(700, 900, 1300, 1100)
    region = a_region(box(0, 0, 2000, 2000), islands=(island,))
    found = sleepers_of(region, rims_of(region.area, 38), 38, 400)
    cut = [bar for bar in found if abs(bar.start[0] - 1000) < 300]
    assert cut
    for bar in cut:
        low, high = sorted((bar.start[1], bar.end[1]))
        assert high <= 900 - 38 + 0.1 or low >= 1100 + 38 - 0.1


def test_rims_along_the_courses_run_through_and_the_others_stop_at_them() -> None:
    rims = rims_of(MultiPolygon([box(0, 0, 3000, 2000)]), 89)
    assert sorted(round(rim.centre_mm) for rim in rims) == [2000 - 2 * 89] * 2 + [3000] * 2
    assert [rim.is_primary for rim in sorted(rims, key=lambda rim: rim.centre_mm)] == [
        True,
        True,
        False,
        False,
    ]
    ground = sum(rim.centre_mm * 89 for rim in rims)
    assert ground == pytest.approx(3000 * 2000 - (3000 - 178) * (2000 - 178))


def test_wider_timber_as_laid_is_the_one_that_counts() -> None:
    flat = member_of(a_section(width_mm=89, depth_mm=38), is_repetitive=False)
    edge = member_of(a_section(width_mm=38, depth_mm=89), is_repetitive=False)
    assert flat is not None
    assert edge is not None
    assert edge.modulus_mm3 / flat.modulus_mm3 == pytest.approx(89 / 38)
    assert edge.inertia_mm4 / flat.inertia_mm4 == pytest.approx((89 / 38) ** 2)
    assert flat.bending_mpa == pytest.approx(1.1 * edge.bending_mpa)
