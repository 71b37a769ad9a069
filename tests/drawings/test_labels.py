"""Words beside things: none over another as long as there is room."""

import itertools

from hypothesis import given, settings
from hypothesis import strategies as st

from app.drawings.canvas import Canvas
from app.drawings.labels import Label, Room, overlap_mm2, write_labels


def written(*spots: tuple[float, float]) -> list[Room]:
    canvas = Canvas((0.0, 0.0, 20_000.0, 20_000.0), 50.0, "labels")
    taken: list[Room] = []
    write_labels(canvas, [Label(f"thing-{n}", at) for n, at in enumerate(spots)], taken)
    return taken


@settings(max_examples=30, deadline=None)
@given(st.lists(st.tuples(st.integers(20, 80), st.integers(20, 80)), min_size=2, max_size=6))
def test_few_labels_never_lie_over_each_other(at: list[tuple[int, int]]) -> None:
    rooms = written(*((x * 20.0, y * 20.0) for x, y in at))
    assert len(rooms) == len(at)
    for one, other in itertools.combinations(rooms, 2):
        assert overlap_mm2(one, [other]) <= 0.1


def test_a_label_pushed_away_is_led_back_by_a_line() -> None:
    canvas = Canvas((0.0, 0.0, 20_000.0, 20_000.0), 50.0, "labels")
    write_labels(canvas, [Label("amplifier", (1000.0, 1000.0))], [(600.0, 800.0, 1400.0, 1200.0)])
    assert "leader" in canvas.svg()


def test_a_label_alone_stands_to_the_right_without_a_line() -> None:
    (room,) = written((1000.0, 1000.0))
    assert room[0] > 1000.0
    assert room[1] < 1000.0 < room[3]
