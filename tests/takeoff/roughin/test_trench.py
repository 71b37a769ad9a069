"""Shared ways counted once; sleepers crossed by geometry."""

import numpy as np
import pytest

from app.takeoff.framing.records import Stick
from app.takeoff.roughin.records import Path
from app.takeoff.roughin.trench import shared_mm, stick_lines, sticks_crossed, trench_mm

SLEEPERS = np.array([[x, 0.0, x, 1000.0] for x in (100.0, 500.0, 900.0)])


@pytest.mark.parametrize(
    ("path", "crossed"),
    [
        (((0, 500), (1000, 500)), 3),
        (((0, 500), (500, 500)), 1),  # ends on a sleeper: fixed to it, not through it
        (((500, 500), (1000, 500)), 1),
        (((0, 1500), (1000, 1500)), 0),
        (((500, 0), (500, 1000)), 0),  # along it
        (((0, 200), (500, 200), (500, 800), (700, 800)), 2),  # along it, then on to the other side
        (((0, 200), (500, 200), (500, 800), (300, 800)), 1),  # along it, then back
        (((0, 200), (700, 200), (700, 300), (0, 300)), 4),
        (((500, 500), (500, 500)), 0),
    ],
)
def test_a_run_crosses_a_sleeper_when_it_passes_from_one_side_to_the_other(path: Path, crossed: int) -> None:
    assert sticks_crossed(path, SLEEPERS) == crossed


def test_a_run_passes_free_of_a_short_stick() -> None:
    assert sticks_crossed(((0.0, 600.0), (1000.0, 600.0)), np.array([[300.0, 0.0, 300.0, 400.0]])) == 0


def test_furring_and_box_frames_are_not_under_the_deck() -> None:
    sticks = [
        Stick(role, "D", "S", role, (0, 0), (0, 9), 9)  # type: ignore[arg-type]
        for role in ("sleeper", "rim", "furring", "frame", "blocking", "trimmer", "breaker sleeper")
    ]
    assert len(stick_lines(sticks)) == 5
    assert sticks_crossed(((0.0, 0.0), (1.0, 0.0)), stick_lines([])) == 0


def test_three_runs_in_one_way_are_one_trench() -> None:
    runs: list[Path] = [((0, 0), (10, 0)), ((2, 0), (6, 0)), ((0, 0), (10, 0), (10, 5)), ((10, 3), (10, 8))]
    assert trench_mm(runs) == 18


def test_crossing_ways_share_nothing_and_parallel_ones_only_where_they_lie_near() -> None:
    along: list[Path] = [((0, 0), (10, 0))]
    assert shared_mm(along, [((5, -5), (5, 5))], 2) == (0.0, None)
    assert shared_mm(along, [((0, 2), (10, 2))], 2) == (0.0, None)
    assert shared_mm(along, [((0, 1.9), (10, 1.9))], 2) == (10, (0, 0))
    assert shared_mm(along, [((4, 0), (12, 0), (12, 4))], 2) == (6, (4, 0))
    assert shared_mm([((3, 0), (3, 9))], [((3, 8), (3, 2))], 2) == (6, (3, 2))


def test_a_way_between_two_others_is_counted_once() -> None:
    assert shared_mm([((0, 0), (10, 0))], [((0, 1), (6, 1)), ((4, -1), (8, -1))], 2) == (8, (0, 0))
