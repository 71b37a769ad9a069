"""Every stick of a box frame is drawn once, where it fits, or named beside the drawing."""

import itertools

import pytest
import shapely

from app.documents.cut_plan import marked_frames
from app.documents.records import CutPlanInputs
from app.drawings.box_frames import BoxFrame, box_frame_svg, box_frames
from app.takeoff.chain import Takeoff, take_off
from tests import demo
from tests.builders import a_job, a_plan, a_planter
from tests.drawings.test_marked import stepped

FRAMES = box_frames(demo.demo_job(), demo.answer().takeoff)


def frame_ids(takeoff: Takeoff, box: str) -> list[str]:
    return [one.id for one in takeoff.framing.sticks if one.place == box and one.role == "frame"]


def test_every_planter_bench_and_counter_has_its_frame_drawn() -> None:
    boxes = [box.box for box in demo.answer().takeoff.layout.boxes if box.frame_mm and box.kind != "steps"]
    assert [frame.box for frame in FRAMES] == boxes
    assert len(boxes) >= 4


@pytest.mark.parametrize("frame", FRAMES, ids=lambda frame: frame.box)
def test_each_stick_is_in_one_view_at_its_own_length_with_its_number(frame: BoxFrame) -> None:
    takeoff = demo.answer().takeoff
    drawn = [stick.id for stick in frame.sticks]
    assert sorted([*drawn, *frame.others]) == frame_ids(takeoff, frame.box)
    lengths = {stick.id: stick.length_mm for stick in takeoff.framing.sticks}
    svg = box_frame_svg(frame, 20.0)
    for stick in frame.sticks:
        left, low, right, high = stick.box_mm
        if stick.part == "rail":
            assert max(right - left, high - low) == pytest.approx(lengths[stick.id])
        assert -0.01 <= left < right <= frame.length_mm + 0.01
        assert -0.01 <= low < high <= frame.width_mm + 0.01
        assert f">{stick.id.rpartition('-')[2]}</text>" in svg


@pytest.mark.parametrize("frame", FRAMES, ids=lambda frame: frame.box)
def test_rails_of_a_view_touch_and_never_lie_in_each_other_and_every_post_stands_on_a_rail(
    frame: BoxFrame,
) -> None:
    for is_above in (False, True):
        rails = [
            shapely.box(*stick.box_mm)
            for stick in frame.sticks
            if stick.part == "rail" and stick.is_above is is_above
        ]
        for one, other in itertools.combinations(rails, 2):
            assert one.intersection(other).area < 1.0
        assert shapely.union_all(shapely.buffer(rails, 0.01)).geom_type == "Polygon"
        posts = [shapely.box(*stick.box_mm) for stick in frame.sticks if stick.part == "post"]
        outer = shapely.union_all(shapely.buffer(rails, 0.01))
        assert all(outer.covers(post) for post in posts)
        assert all(one.intersection(other).area < 1.0 for one, other in itertools.combinations(posts, 2))


def test_battens_under_lids_are_named_beside_the_drawing() -> None:
    inputs = CutPlanInputs(
        demo.day_plan_inputs().firm, demo.demo_job(), "J-1", demo.answer().takeoff, demo.TODAY
    )
    bench = next(made for made in marked_frames(inputs) if made.words.startswith("bench"))
    assert "battens under its lids: K22" in bench.words


def test_a_box_too_small_for_its_posts_is_left_to_the_list() -> None:
    low = a_planter(height_mm=120, media_depth_mm=60)
    takeoff = take_off(a_job(plan=a_plan(planters=(low,))), {})
    assert frame_ids(takeoff, "planter")
    assert box_frames(a_job(plan=a_plan(planters=(low,))), takeoff) == ()


def test_the_frame_of_steps_is_drawn_stick_by_stick_from_the_top_down() -> None:
    job = stepped()
    takeoff = take_off(job, {})
    (frame,) = box_frames(job, takeoff)
    lengths = {stick.id: stick.length_mm for stick in takeoff.framing.sticks}
    assert sorted(stick.id for stick in frame.sticks) == sorted(frame_ids(takeoff, "steps"))
    assert frame.others == ()
    svg = box_frame_svg(frame, 10.0)
    rails = [stick for stick in frame.sticks if stick.part == "rail"]
    for stick in frame.sticks:
        left, low, right, high = stick.box_mm
        if stick.part == "rail":
            assert max(right - left, high - low) == pytest.approx(lengths[stick.id])
        else:  # a post stands under the foot of a bearer
            assert any(
                rail.box_mm[0] == left and rail.box_mm[1] == low and rail.box_mm[3] > high for rail in rails
            )
        assert -0.01 <= left < right <= frame.length_mm + 0.01
        assert -0.01 <= low < high <= frame.width_mm + 0.01
        assert f">{stick.id.rpartition('-')[2]}</text>" in svg
    ledgers = [stick.id for stick in rails if stick.box_mm[2] - stick.box_mm[0] > 900]
    assert len(ledgers) == frame.width_mm / 280  # one behind each tread
    posts = [lengths[stick.id] for stick in frame.sticks if stick.part == "post"]
    assert posts == sorted(posts, reverse=True)  # the lower the tread, the shorter
