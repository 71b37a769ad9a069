from itertools import pairwise

import pytest
from shapely import box

from app.job.plan import FeatureWall
from app.takeoff.framing.crossings import crossings_of, direction_of
from app.takeoff.framing.records import Stick
from app.takeoff.layout.records import Piece
from tests.builders import a_deck_field, a_job, a_plan, a_survey
from tests.takeoff.framing.framed import framed


def a_piece(x0: float, y0: float, x1: float, y1: float, name: str = "D-1") -> Piece:
    outline = ((x0, y0), (x1, y0), (x1, y1), (x0, y1))
    return Piece(
        name,
        "D",
        "pine",
        "course",
        max(x1 - x0, y1 - y0),
        min(x1 - x0, y1 - y0),
        False,
        False,
        "plan",
        outline,
    )


def a_stick(start: tuple[float, float], end: tuple[float, float], name: str = "D-S1") -> Stick:
    length = ((end[0] - start[0]) ** 2 + (end[1] - start[1]) ** 2) ** 0.5
    return Stick(name, "D", "sleeper", "sleeper", start, end, length)


def test_a_board_crosses_each_sleeper_once_in_the_middle_of_its_width() -> None:
    sticks = [a_stick((x, -500), (x, 500), f"D-S{x}") for x in (0, 400, 800, 1200)]
    found = crossings_of([a_piece(-20, 0, 1220, 140)], sticks, 400)
    assert sorted((cross.x_mm, cross.y_mm) for cross in found) == [(0, 70), (400, 70), (800, 70), (1200, 70)]


def test_a_board_that_ends_short_of_a_sleeper_is_not_fixed_there() -> None:
    sticks = [a_stick((x, -500), (x, 500), f"D-S{x}") for x in (0, 400, 800)]
    assert len(crossings_of([a_piece(-20, 0, 700, 140)], sticks, 400)) == 2


def test_a_sleeper_that_ends_under_a_board_is_a_crossing_but_a_touch_at_the_corner_is_not() -> None:
    board = a_piece(0, 0, 1000, 140)
    assert len(crossings_of([board], [a_stick((500, -500), (500, 60))], 400)) == 1
    assert not crossings_of([board], [a_stick((500, -500), (500, 3))], 400)


def test_a_border_on_its_rim_is_fixed_at_the_spacing() -> None:
    found = crossings_of([a_piece(0, 0, 2000, 140)], [a_stick((0, 45), (2000, 45))], 400)
    assert len(found) == 6
    assert {cross.y_mm for cross in found} == {45}
    xs = [cross.x_mm for cross in found]
    assert max(right - left for left, right in pairwise(xs)) <= 400


def test_a_board_along_a_rim_that_crosses_enough_sleepers_is_not_fixed_twice() -> None:
    sticks = [a_stick((x, 60), (x, 900), f"D-S{x}") for x in (20, 400, 800, 1200, 1600, 1980)]
    found = crossings_of([a_piece(0, 0, 2000, 140)], [*sticks, a_stick((0, 30), (2000, 30), "D-S99")], 400)
    assert len(found) == 6


def test_a_ripped_board_is_still_fixed() -> None:
    assert len(crossings_of([a_piece(0, 0, 1000, 30)], [a_stick((500, -500), (500, 500))], 400)) == 1


def test_the_direction_of_a_square_is_the_same_whichever_way_it_is_drawn() -> None:
    assert direction_of(box(0, 0, 100, 900).exterior.coords[:-1]) == (0.0, 1.0)


def test_the_fixings_of_a_plain_deck_are_courses_times_bars() -> None:
    deck = framed(
        a_job(
            survey=a_survey(drains=()),
            plan=a_plan(deck_fields=(a_deck_field(longest_run_mm=20000, side_gap_mm=5.0),)),
        )
    )
    courses = [piece for piece in deck.layout.pieces if piece.role == "course"]
    bars = [stick for stick in deck.sticks if stick.start_mm[0] == stick.end_mm[0]]
    for piece in courses:
        mine = [cross for cross in deck.framing.crossings if cross.piece == piece.id]
        xs = [x for x, _ in piece.outline_mm]
        under = {round(bar.start_mm[0]) for bar in bars if min(xs) < bar.start_mm[0] < max(xs)}
        assert len(mine) == len(under)


def test_cladding_is_fixed_to_the_furring_it_crosses() -> None:
    wall = FeatureWall(
        id="screen",
        start_mm=(200, 3900),
        end_mm=(3200, 3900),
        height_mm=1800,
        cladding="pine",
        furring="furring",
    )
    deck = framed(a_job(plan=a_plan(feature_walls=(wall,))))
    furring = [stick for stick in deck.framing.sticks if stick.role == "furring"]
    assert len(furring) == len(deck.layout.walls[0].furring_mm) > 2
    assert all(stick.section == "furring" for stick in furring)
    pieces = [piece for piece in deck.layout.pieces if piece.plane == "screen" and piece.role == "cladding"]
    for piece in pieces:
        mine = [cross for cross in deck.framing.crossings if cross.piece == piece.id]
        assert len(mine) >= 2
    assert pieces


@pytest.mark.parametrize("spacing", [300.0, 450.0, 600.0])
def test_wider_spacing_never_asks_for_more_fixings(spacing: float) -> None:
    piece, stick = a_piece(0, 0, 3000, 140), a_stick((0, 45), (3000, 45))
    assert len(crossings_of([piece], [stick], spacing)) >= len(crossings_of([piece], [stick], spacing + 100))
