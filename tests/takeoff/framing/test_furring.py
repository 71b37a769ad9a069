from app.job.plan import Bench, Counter
from tests.builders import a_job, a_plan, a_planter
from tests.takeoff.framing.framed import framed

BENCH = Bench(
    id="bench", x_mm=2500, y_mm=600, length_mm=1800, width_mm=450, height_mm=450, board="pine", frame="frame"
)
COUNTER = Counter(
    id="counter",
    x_mm=4500,
    y_mm=3500,
    length_mm=1500,
    width_mm=600,
    height_mm=900,
    cladding="pine",
    frame="frame",
    top="top",
)


def test_every_frame_stick_of_a_box_is_listed_under_its_box_with_its_length() -> None:
    deck = framed(a_job(plan=a_plan(planters=(a_planter(),), benches=(BENCH,), counters=(COUNTER,))))
    assert len(deck.layout.boxes) == 3
    for box in deck.layout.boxes:
        mine = [stick for stick in deck.framing.sticks if stick.place == box.box]
        assert [(stick.section, stick.length_mm) for stick in mine] == list(box.frame_mm)
        assert all(stick.role == "frame" for stick in mine)


def test_the_boards_of_a_box_are_fixed_at_both_ends_at_least() -> None:
    deck = framed(a_job(plan=a_plan(planters=(a_planter(),), benches=(BENCH,))))
    fixed = [cross.piece for cross in deck.framing.crossings]
    boards = [
        piece
        for piece in deck.layout.pieces
        if piece.place in ("planter", "bench") and piece.role in ("cladding", "seat")
    ]
    assert boards
    for piece in boards:
        assert fixed.count(piece.id) >= 2
        assert fixed.count(piece.id) >= piece.length_mm / 400


def test_a_wall_and_its_boxes_take_no_pads() -> None:
    deck = framed(a_job(plan=a_plan(deck_fields=(), planters=(a_planter(),))))
    assert deck.framing.pads == ()
    assert deck.framing.span_checks == ()
    assert {stick.role for stick in deck.framing.sticks} == {"frame"}
