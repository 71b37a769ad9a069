"""Every piece and stick of the cut plan is found on a drawing, by the number it has there."""

from collections import Counter
from xml.etree import ElementTree as Xml

import pytest

from app.drawings.marked import face_svg, faces_of, marked_frame_svg, marked_plan_svg
from app.job.job import Job
from app.job.plan import Steps
from app.takeoff.chain import Takeoff, take_off
from tests import demo
from tests.builders import a_deck_field, a_job, a_plan

SVG = "{http://www.w3.org/2000/svg}"
LOW = ((200.0, 200.0), (2900.0, 200.0), (2900.0, 3900.0), (200.0, 3900.0))
HIGH = ((2910.0, 200.0), (5800.0, 200.0), (5800.0, 3900.0), (2910.0, 3900.0))


def stepped() -> Job:
    """Two decks with steps and fascia between them."""
    steps = Steps(
        id="steps",
        x_mm=2910,
        y_mm=2000,
        angle_deg=180,
        width_mm=1000,
        upper="high",
        lower="low",
        board="pine",
        frame="frame",
    )
    low = a_deck_field(id="low", outline_mm=LOW)
    high = a_deck_field(id="high", outline_mm=HIGH, level_offset_mm=400.0, has_fascia=True)
    return a_job(plan=a_plan(deck_fields=(low, high), steps=(steps,)))


def numbers(svg: str) -> Counter[str]:
    return Counter(element.text or "" for element in Xml.fromstring(svg).iter(f"{SVG}text"))


def titles(svg: str) -> set[str]:
    return {element.text or "" for element in Xml.fromstring(svg).iter(f"{SVG}title")}


def short(name: str) -> str:
    return name.rpartition("-")[2]


JOBS = {name: demo.demo_job(name) for name in ("harbour-workshop", "net-store", "quay-loft")}
JOBS["two decks with steps"] = stepped()


@pytest.fixture(scope="module", params=JOBS)
def worked(request: pytest.FixtureRequest) -> tuple[Job, Takeoff]:
    job = JOBS[request.param]
    return job, take_off(job, {})


def test_every_piece_of_the_cut_plan_stands_on_one_drawing_with_its_number(
    worked: tuple[Job, Takeoff],
) -> None:
    job, takeoff = worked
    faces = faces_of(takeoff)
    upright = [piece.id for face in faces for piece in face.pieces]
    flat = [piece.id for piece in takeoff.layout.pieces if piece.plane == "plan"]
    boards = {board.id for board in job.choices.boards}
    cut = {
        name
        for plan in takeoff.totals.cut_plans
        if plan.profile in boards
        for stick in plan.sticks
        for name in (*(name for name, _ in stick.pieces), *(name for name, _, _ in stick.beside))
    }
    assert sorted(upright + flat) == sorted(cut)
    on_plan = marked_plan_svg(job, takeoff, 50.0)
    assert {f"board {name}" for name in flat} <= titles(on_plan)
    assert not Counter(short(name) for name in flat) - numbers(on_plan)
    for face in faces:
        svg = face_svg(face, 20.0)
        assert {f"board {piece.id}" for piece in face.pieces} <= titles(svg)
        wanted = [short(piece.id) for piece in face.pieces] + [short(stick.id) for stick in face.furring]
        assert numbers(svg) == Counter(wanted)
        assert all(piece.id.startswith(f"{face.place}-") for piece in face.pieces)


def test_every_stick_that_is_cut_stands_in_the_frame_on_a_wall_or_bears_its_box(
    worked: tuple[Job, Takeoff],
) -> None:
    job, takeoff = worked
    frame = numbers(marked_frame_svg(job, takeoff, 50.0))
    behind = {stick.id for face in faces_of(takeoff) for stick in face.furring}
    boxes = {box.box for box in takeoff.layout.boxes}
    sections = {section.id for section in job.choices.sections}
    for plan in takeoff.totals.cut_plans:
        for stick in plan.sticks if plan.profile in sections else ():
            for name, _ in stick.pieces:
                box, _, number = name.rpartition("-")
                assert name in behind or number in frame or (box in boxes and number.startswith("K"))


def test_steps_and_fascia_have_faces_of_their_own() -> None:
    words = {face.words for face in faces_of(take_off(stepped(), {}))}
    assert {"steps, riser 1", "steps, riser 3"} <= words
    assert any(word.startswith("high, ") for word in words)


def test_numbers_are_read_from_below_or_from_the_right() -> None:
    job, takeoff = JOBS["harbour-workshop"], demo.answer().takeoff
    for element in Xml.fromstring(marked_plan_svg(job, takeoff)).iter(f"{SVG}text"):
        turn = float((element.get("transform") or "rotate(0 ").removeprefix("rotate(").split()[0])
        assert -91.0 <= turn <= 91.0
