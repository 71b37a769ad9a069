"""Words beside things: none over another while there is room, in a made-up drawing and in the demo’s."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.typing import NDArray

from app.documents.rough_in import scale_of
from app.drawings import rough_in
from app.drawings.canvas import Canvas
from app.drawings.labels import Label, Room, overlaps_mm2, room_of, write_labels
from tests import demo


def rooms_on(canvas: Canvas) -> list[Room]:
    return [room_of(canvas, one) for one in canvas.written]


def hidden_mm2(rooms: list[Room]) -> NDArray[np.float64]:
    """Of each two of some rooms, how much one hides of the other."""
    hidden = overlaps_mm2(np.array(rooms), np.array(rooms))
    np.fill_diagonal(hidden, 0.0)
    return hidden


def written(*spots: tuple[float, float]) -> list[Room]:
    canvas = Canvas((0.0, 0.0, 20_000.0, 20_000.0), 50.0, "labels")
    write_labels(canvas, [Label(f"thing-{n}", at) for n, at in enumerate(spots)], [])
    return rooms_on(canvas)


@settings(max_examples=30, deadline=None)
@given(st.lists(st.tuples(st.integers(20, 80), st.integers(20, 80)), min_size=2, max_size=12))
def test_labels_never_lie_over_each_other(at: list[tuple[int, int]]) -> None:
    rooms = written(*((x * 20.0, y * 20.0) for x, y in at))
    assert len(rooms) == len(at)
    assert hidden_mm2(rooms).max() <= 0.1


def test_a_label_pushed_away_is_led_back_by_a_line() -> None:
    canvas = Canvas((0.0, 0.0, 20_000.0, 20_000.0), 50.0, "labels")
    write_labels(canvas, [Label("amplifier", (1000.0, 1000.0))], [(500.0, 750.0, 1500.0, 1250.0)])
    assert "leader" in canvas.svg()


def test_a_label_alone_stands_to_the_right_without_a_line() -> None:
    (room,) = written((1000.0, 1000.0))
    assert room[0] > 1000.0
    assert room[1] < 1000.0 < room[3]


def test_a_label_at_the_rim_stays_on_the_sheet() -> None:
    (room,) = written((19_990.0, 19_990.0))
    assert max(room) <= 20_000.0


def test_a_turned_word_takes_its_room_upright() -> None:
    canvas = Canvas((0.0, 0.0, 20_000.0, 20_000.0), 50.0, "labels")
    canvas.text((5000.0, 5000.0), "Screen wall", turn_deg=90.0)
    left, low, right, high = rooms_on(canvas)[0]
    assert high - low > 3 * (right - left)


@pytest.mark.parametrize("name", ["harbour-workshop", "quay-loft", "net-store"])
def test_no_words_lie_over_others_on_the_printed_rough_in_of_the_demo(
    name: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    """At the printed scale, all layers together and each by itself; the same again when drawn again."""
    job, takeoff = demo.demo_job(name), demo.answer(name).takeoff
    kept: list[Canvas] = []
    start = rough_in.ground
    monkeypatch.setattr(rough_in, "ground", lambda *given: kept.append(start(*given)) or kept[-1])
    scale = scale_of(job)
    for kinds in (rough_in.LAYERS, *((kind,) for kind in rough_in.LAYERS)):
        once, again = (rough_in.rough_in_svg(job, takeoff, job.units, scale, kinds) for _ in range(2))
        assert once == again
        canvas = kept[-1]
        hidden = hidden_mm2(rooms_on(canvas))
        over = [(canvas.written[a].words, canvas.written[b].words) for a, b in np.argwhere(hidden > 0.1)]
        assert not over
